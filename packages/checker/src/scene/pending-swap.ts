import { type Bound, builtStack, type Fixing, type Stack } from '@bedledger/fasteners';
import { asBuilt, insertAt, type MachineRecord } from '@bedledger/fleet';
import { inputFor, type OwnStack } from './fasteners.ts';
import type { BoardReading, PlacedSite } from './hold.ts';

/**
 * Heads that may stand in the board before anybody records them: the profile asks for other screws, and every pocket of the
 * board takes them, so the run sheet has them swapped. Empty where nothing is asked for, or one pocket does not take them.
 */
export function pendingSwap(
  record: MachineRecord,
  board: BoardReading,
  sites: readonly PlacedSite[],
): ReadonlyMap<string, OwnStack> {
  const pending = new Map<string, OwnStack>();
  if (!record.state.board?.pocketed) return pending;
  for (const { site, at } of sites) {
    const wished: Fixing = {
      ...record.planned,
      insert: insertAt(record.state, site) ?? record.planned.insert,
    };
    const stands = asBuilt(record.state, site, wished.insert);
    if (!('fixing' in stands) || sameAbove(stands.fixing, wished)) continue;
    const place = { site, at, uncertainty: 0 };
    const now = builtStack(inputFor(record, board, place, stands.fixing), stands.built);
    const input = inputFor(record, board, place, wished);
    const fits = wished.screw.lengths
      .map((screwLength) => builtStack(input, { ...stands.built, screwLength }))
      .find((tried) => !isWorse(tried.broken, now.broken) && enters(wished, tried.stack));
    if (wished.screw.thread.designation !== wished.insert.thread.designation || !fits) return new Map();
    pending.set(site, { fixing: wished, stack: fits.stack, unknown: false });
  }
  return pending;
}

/** Nothing of head and washer differs by more than the ledger rounds. */
function sameAbove(a: Fixing, b: Fixing): boolean {
  const height = ({ screw, washer }: Fixing): number =>
    screw.headHeight.value + (washer?.thickness.value ?? 0);
  const width = ({ screw, washer }: Fixing): number =>
    screw.headDiameter.value + (washer?.outside.value ?? 0);
  return Math.abs(height(a) - height(b)) < 0.02 && Math.abs(width(a) - width(b)) < 0.02;
}

/** A rule is broken that the screw which stands there keeps, or keeps better. */
function isWorse(broken: readonly Bound[], now: readonly Bound[]): boolean {
  return broken.some((bound) => {
    const before = now.find(({ id }) => id === bound.id);
    return !before || bound.margin < before.margin - 1e-6;
  });
}

function enters({ screw, washer, socket }: Fixing, stack: Stack): boolean {
  const parts = [screw.headDiameter, socket.outside, ...(washer ? [washer.outside] : [])];
  return parts.every((part) => part.value + part.uncertainty <= stack.pocketDiameter);
}
