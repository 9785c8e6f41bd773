import { type HandDrills, type HoleAsked, holeAsked } from '@bedledger/fasteners';
import type { MachineRecord } from '@bedledger/fleet';
import { type Hold, holdOf } from './hold.ts';
import { inTravel } from './safe-heights.ts';
import { plannedFixing, type StackPlace, type StackSite, stackInput } from './stack-input.ts';

/** Sizes of drills that one board asks for at most (common practice, no source). */
export const MOST_DRILLS = 4;

/** What the sites of one board have in common: where it is held, and with what its holes are opened. */
export interface BoardWork {
  readonly hold: Hold;
  /** Of the drills at hand, those that this board is opened with, mm, ascending. */
  readonly drills: readonly number[];
}

/** Where the board is held, and which few of the house's drills open its holes with the least room wasted. */
export function boardWork(record: MachineRecord, sites: readonly StackSite[]): BoardWork {
  const hold = holdOf(record, sites);
  const every = { hold, drills: record.house.drills[record.machine.units] };
  const asked = sites
    .map((site) =>
      holeAsked(stackInput(record, stackPlace(record, every, site), plannedFixing(record, site.id))),
    )
    .filter(({ opened }) => opened);
  return { hold, drills: fewDrills(asked, every.drills) };
}

/** What of the board's work a site's stack is reckoned with. */
export function stackPlace(record: MachineRecord, { hold, drills }: BoardWork, site: StackSite): StackPlace {
  const opening = handDrills(record, site, drills);
  return {
    uncertainty: site.uncertainty,
    reach: hold.reachFrom(site.actual),
    held: hold.site === site.id,
    ...(opening && { drills: opening }),
  };
}

/**
 * Who makes the hole at a site of a board that is to be cut. Over inserts the machine leaves it narrow, and a drill in a hand
 * opens it; a machine without a cutter for holes, or one that does not get there, leaves it to the hand altogether.
 */
function handDrills(
  { machine, cutters, state }: MachineRecord,
  { actual: [x, y] }: StackSite,
  sizes: readonly number[],
): HandDrills | undefined {
  if (state.board?.pocketed) return undefined;
  const everyHole = !inTravel(machine, x, y) || !cutters.has(machine.cutters.drill);
  return everyHole || state.inserts.length > 0 ? { sizes, everyHole } : undefined;
}

/**
 * At most four of the sizes, so that every hole gets the next of them and the room that it gets too much, summed over the
 * board, is least. The holes in order of size fall into runs of one drill each, so the best runs up to a hole follow from the
 * best runs before it. Holes that no size reaches are left out.
 */
export function fewDrills(holes: readonly HoleAsked[], sizes: readonly number[]): readonly number[] {
  const nextSize = (need: number): number | undefined => sizes.find((size) => size >= need - 1e-6);
  const sorted = holes
    .filter(({ need }) => nextSize(need) !== undefined)
    .toSorted((a, b) => a.need - b.need || a.widest - b.widest);
  interface Runs {
    readonly waste: number;
    readonly sizes: readonly number[];
  }
  // best[k]: of the holes so far, in k runs
  let best: (Runs | null)[] = [{ waste: 0, sizes: [] }];
  const upTo: (Runs | null)[][] = [best];
  for (let end = 1; end <= sorted.length; end++) {
    const size = nextSize(sorted[end - 1]!.need)!;
    best = [null];
    for (let runs = 1; runs <= MOST_DRILLS; runs++) {
      let least: Runs | null = null;
      let waste = 0;
      for (let start = end - 1; start >= 0; start--) {
        const { need, widest } = sorted[start]!;
        // a drill so wide that the head no longer bears is worth any other choice
        waste += size - need + (size > widest + 1e-9 ? TOO_WIDE : 0);
        const before = upTo[start]![runs - 1];
        if (before && (least === null || before.waste + waste < least.waste - 1e-9)) {
          least = { waste: before.waste + waste, sizes: [...before.sizes, size] };
        }
      }
      best.push(least);
    }
    upTo.push(best);
  }
  const found = upTo.at(-1)!.filter((runs) => runs !== null);
  const [first, ...others] = found;
  if (!first) return [];
  const chosen = others.reduce((a, b) => (b.waste < a.waste - 1e-9 ? b : a), first);
  return [...new Set(chosen.sizes)];
}

/** Counts for more than all the room that drills can waste, mm. */
const TOO_WIDE = 1e6;
