import type { Units } from '@bedledger/diagnostics';
import type { BoardState, FactKind, FactOf, IsoDate, SiteRecord } from '../model/ledger.ts';
import type { Findings, Locator } from '../report.ts';

/** The bed as far as the facts have been read. */
export interface Fold {
  readonly sites: Map<string, SiteRecord>;
  board: BoardState | null;
  /** Boards fitted so far. */
  boards: number;
  latestHeights: string | null;
  latestSurvey: IsoDate | null;
  /** Deviation of the drawing that the owner vouches for, mm. */
  vouched: number | null;
  readonly units: Units;
  /** Zones of the bed; null where the machine is not known. */
  readonly zones: ReadonlySet<string> | null;
}

/**
 * One step of the fold: changes what the fact changes, and yields what cannot have happened so. `at` locates below the
 * fact's entry.
 */
export type Step<K extends FactKind> = (fold: Fold, fact: FactOf<K>, at: Locator) => Findings;
