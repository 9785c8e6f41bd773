import { lengthInPocket, type Site } from '@bedledger/bedwork';
import { lengthText } from '@bedledger/diagnostics';
import { type Figure, type Fixing, type ScrewFigures, screwFigures } from '@bedledger/fasteners';
import { type FactWritten, screwAt } from '@bedledger/fleet';
import { flag, UsageError } from '../arguments.ts';
import type { RecordCall } from './call.ts';
import { writtenScrew } from './written-figures.ts';

type ScrewsWritten = Extract<FactWritten, { fact: 'screws' }>;

/**
 * Screws as driven: every figure of the fixing, the length that the pocket takes, and what was measured instead. Sites whose
 * pockets take screws of another length become a fact of their own.
 *
 * @throws UsageError when the call does not fit what stands there
 */
export function screwsFacts(call: RecordCall): ScrewsWritten[] {
  const { args, date, sites, units, record } = call;
  const chosen = sites.length === 0 ? call.plan().layout.sites : sites.map((id) => call.site(id));
  const how = flag(args, 'swapped') ? 'swapped' : 'driven';
  if (how === 'driven') noScrewsThere(call, chosen);
  const name = call.text('fixing');
  const fixing = name === undefined ? record.planned : call.fixings.need(name);
  const measured = measuredScrew(call);
  const byLength = new Map<number, string[]>();
  for (const site of chosen) {
    const length = call.length('length') ?? lengthAt(call, site, fixing);
    byLength.set(length, [...(byLength.get(length) ?? []), site.id]);
  }
  return [...byLength].map(([length, ids]) => ({
    fact: 'screws',
    date,
    how,
    ...((sites.length > 0 || byLength.size > 1) && { sites: ids }),
    ...writtenScrew(measured(screwFigures(fixing, length)), units),
  }));
}

function lengthAt(call: RecordCall, site: Site, fixing: Fixing): number {
  const { units } = call;
  const length = lengthInPocket(call.plan(), site, fixing);
  if (length !== null) return length;
  const has = fixing.screw.lengths.map((l) => lengthText(l, units)).join(', ');
  throw new UsageError(
    `no pocket with its floor is on record at ${site.id}, so the length of its screw is not known`,
    `measure the screw and give --length (${fixing.id} has ${has}), or record the pockets first`,
  );
}

function noScrewsThere({ record, sites }: RecordCall, chosen: readonly Site[]): void {
  const standing = chosen.find((site) => screwAt(record.state, site.id) !== null);
  if (!standing) return;
  const screw = screwAt(record.state, standing.id);
  throw new UsageError(
    `screws of ${screw?.fixing} stand in the board at ${standing.id} already`,
    `when they were swapped for others: \`bedledger record ${record.machine.id} screws${sites.length > 0 ? ` ${sites.join(' ')}` : ''} --swapped\``,
  );
}

/** What was measured of the screws, each figure good to what the house measures a thickness to. */
function measuredScrew(call: RecordCall): (screw: ScrewFigures) => ScrewFigures {
  const { thicknessUncertainty } = call.record.house;
  const figure = (option: string): Figure | undefined => {
    const value = call.length(option);
    return value === undefined ? undefined : { value, uncertainty: thicknessUncertainty };
  };
  const height = figure('head-height');
  const diameter = figure('head-diameter');
  const thickness = figure('washer-thickness');
  const outside = figure('washer-outside');
  const socket = figure('socket');
  const bare = flag(call.args, 'no-washer');
  if (bare && (thickness || outside))
    throw new UsageError('a washer that is not there has no size', 'drop --no-washer or the size');
  return (screw) => {
    if (!screw.washer && (thickness || outside))
      throw new UsageError(
        `${screw.fixing} has no washer`,
        'name the fixing with the washer that was used: --fixing NAME',
      );
    const washer = bare
      ? null
      : screw.washer && {
          ...screw.washer,
          ...(thickness && { thickness }),
          ...(outside && { outside }),
        };
    return {
      ...screw,
      head: { ...screw.head, ...(height && { height }), ...(diameter && { diameter }) },
      washer,
      ...(socket && { socket }),
    };
  };
}
