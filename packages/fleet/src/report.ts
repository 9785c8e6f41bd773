import { type Diagnostic, type Place, reporter } from '@bedledger/diagnostics';
import type { Path } from './model/path.ts';
import { FILE_RULES } from './rules/files.ts';
import { LEDGER_RULES } from './rules/ledger.ts';
import { PROFILE_RULES } from './rules/profile.ts';
import { SHARED_RULES } from './rules/shared.ts';
import { TABLE_RULES } from './rules/tables.ts';

/** Everything that can be found wrong with the files of a fleet, by code. */
export const FLEET_RULES = {
  ...FILE_RULES,
  ...LEDGER_RULES,
  ...PROFILE_RULES,
  ...SHARED_RULES,
  ...TABLE_RULES,
};

export type FleetCode = keyof typeof FLEET_RULES;

/** The builder of every finding of this package. */
export const report = reporter<FleetCode>(FLEET_RULES);

/** What a check finds. Checks are generators: each yields its findings one by one. */
export type Findings = Iterable<Diagnostic>;

/** Where something stands: its place and the line there. Both are absent where there is no file. */
export interface Spot {
  readonly place?: Place;
  readonly excerpt?: string;
}

/** Finds the place of a value by its path in a file: of the value itself, or of its key. */
export type Locator = (path: Path, part?: 'value' | 'key') => Spot;

/** For data that does not come from a file. */
export const nowhere: Locator = () => ({});

/** A locator of paths below `path`. */
export function below(at: Locator, ...path: Path): Locator {
  return (inner, part) => at([...path, ...inner], part);
}

/** A second place that has to do with a finding; nothing where there is no file. */
export function relatedTo(spot: Spot, message: string): Diagnostic['related'] {
  return spot.place && [{ place: spot.place, message }];
}
