import {
  type Bound,
  builtStack,
  type Fixing,
  type Insert,
  type Stack,
  type StackInput,
  solveStack,
} from '@bedledger/fasteners';
import {
  asBuilt,
  floorAt,
  holeAt,
  insertAt,
  type MachineRecord,
  pocketAt,
  pocketWidthAt,
} from '@bedledger/fleet';
import type { Point } from '@bedledger/geometry';
import { commandLimit } from './bed-depth.ts';
import { type BoardReading, drillsFor, growsOver } from './hold.ts';

/** Thickness tolerance of a board nobody has measured, mm (EN 622-5, from memory: ±0.2 up to 19 mm). */
const UNMEASURED = 0.2;

/** One site as the checker reckons it, from the facts alone. */
export interface OwnStack {
  /** What stands there, or what is to stand there where nothing is recorded as driven. */
  readonly fixing: Fixing;
  /** Null where no stack holds, or where it is not known what stands there. */
  readonly stack: Stack | null;
  /** A board was held by screws at this site, and no fact says by which. */
  readonly unknown: boolean;
}

export interface Place {
  readonly site: string;
  readonly at: Point;
  /** Of the place, k = 2, mm. */
  readonly uncertainty: number;
}

/**
 * The stack of one site. What is in the bed and in the board is taken as recorded; the profile's fixing counts only for
 * what is not made yet.
 *
 * @param claimedLength - length of the screw that is still to be driven, as the papers have it, mm; its own choice without
 */
export function stackAt(
  record: MachineRecord,
  board: BoardReading,
  place: Place,
  claimedLength: number | null = null,
): OwnStack {
  const { state } = record;
  const wished: Fixing = { ...record.planned, insert: insertOf(record, place.site) };
  if (!state.board?.pocketed) {
    const solved = solveStack(inputFor(record, board, place, wished));
    return { fixing: wished, stack: solved.feasible ? solved.stack : null, unknown: false };
  }
  const stands = asBuilt(state, place.site, wished.insert);
  if ('fixing' in stands) {
    const { stack } = builtStack(inputFor(record, board, place, stands.fixing), stands.built);
    return { fixing: stands.fixing, stack, unknown: false };
  }
  const pocket = pocketAt(state, place.site);
  const floor = pocket && floorAt(pocket, place.site);
  if (floor === null || state.board.skimmedPocketed) return { fixing: wished, stack: null, unknown: true };
  const input = inputFor(record, board, place, wished);
  return {
    fixing: wished,
    stack: toBeDriven(record, place.site, input, floor, claimedLength),
    unknown: false,
  };
}

/** The insert at a site: as recorded when it was set, else the one that the profile asks for. */
function insertOf(record: MachineRecord, site: string): Insert {
  return insertAt(record.state, site) ?? record.planned.insert;
}

/** The stack of a screw that is not driven yet, in the pocket that is cut: the longest whose bounds hold. */
function toBeDriven(
  record: MachineRecord,
  site: string,
  input: StackInput,
  floor: number,
  claimedLength: number | null,
): Stack {
  const pocket = pocketAt(record.state, site);
  const { fixing } = input;
  const lengths =
    claimedLength === null ? fixing.screw.lengths : [nearest(fixing.screw.lengths, claimedLength)];
  let best: { stack: Stack; broken: readonly Bound[] } | null = null;
  for (const screwLength of lengths) {
    const made = {
      screwLength,
      pocketFloor: floor,
      pocketDiameter: pocket ? pocketWidthAt(pocket, site) : null,
      holeDiameter: pocket ? holeAt(pocket, site) : null,
    };
    const tried = builtStack(input, made);
    const better = best === null ? 1 : best.broken.length - tried.broken.length;
    if (best === null || better > 0 || (better === 0 && tried.stack.engagement > best.stack.engagement))
      best = tried;
  }
  return best!.stack;
}

/** A claimed length counts as the length that is sold; one that is not sold shows as a difference. */
function nearest(lengths: readonly number[], wanted: number): number {
  return lengths.reduce((a, b) => (Math.abs(b - wanted) < Math.abs(a - wanted) ? b : a));
}

/** What a site's stack is reckoned from, with a fixing that stands there or is to. */
export function inputFor(
  record: MachineRecord,
  whole: BoardReading,
  place: Place,
  fixing: Fixing,
): StackInput {
  const { machine, house, state } = record;
  const { board } = state;
  const drills = drillsFor(record, place.at, whole.sizes);
  return {
    fixing,
    rules: house.stack,
    thickness: board?.thinnest ?? record.stock.thickness,
    thicknessUncertainty: board
      ? house.thicknessUncertainty
      : Math.max(house.thicknessUncertainty, UNMEASURED),
    leastThickness: machine.board.leastThickness,
    bed: {
      thickness: machine.bed.thickness,
      floor: machine.bed.floor,
      cutLimit: Math.max(0, commandLimit(record)),
    },
    reach: growsOver(whole, place.at),
    held: whole.held?.site === place.site,
    ...(drills && { drills }),
    positionUncertainty: place.uncertainty,
  };
}

/** Height of the highest thing of a screw above the bed at its worst, mm: pocket floor, washer and head with their tolerances. */
export function headTopAtWorst({
  fixing,
  stack,
}: {
  readonly fixing: Fixing;
  readonly stack: Stack;
}): number {
  const { screw, washer } = fixing;
  return stack.headTop + screw.headHeight.uncertainty + (washer?.thickness.uncertainty ?? 0);
}
