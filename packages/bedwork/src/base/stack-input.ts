import {
  type Bound,
  builtStack,
  type Fixing,
  type HandDrills,
  type Stack,
  type StackInput,
  type StackResult,
  solveStack,
} from '@bedledger/fasteners';
import {
  asBuilt,
  type BoardState,
  floorAt,
  holeAt,
  insertAt,
  type MachineRecord,
  pocketAt,
  pocketWidthAt,
  type Unknown,
} from '@bedledger/fleet';
import type { Point } from '@bedledger/geometry';
import { deepestInBed } from './bed-depth.ts';

/** Tolerance of a board that nobody has measured, mm: the wider of ANSI A208.2 (0.125) and EN 622-5 (0.2, from memory). */
const STOCK_TOLERANCE = 0.2;

/** A site as far as its stack is concerned. */
export interface StackSite {
  readonly id: string;
  /** The site's axis, surveyed frame. */
  readonly actual: Point;
  /** Of the axis, k = 2, mm. */
  readonly uncertainty: number;
}

/** What a site's stack takes from the board as a whole; lengths mm. */
export interface StackPlace {
  /** Of the axis, k = 2. */
  readonly uncertainty: number;
  /** From where the board is held. */
  readonly reach: number;
  /** The board is held here. */
  readonly held: boolean;
  /** Absent: the machine makes the hole. */
  readonly drills?: HandDrills;
}

/**
 * What is known of the stack at a site.
 * - `built`: it stands there; evaluated from what was recorded as made. `broken` are bounds that do not hold.
 * - `pocketed`: the pocket is cut, no screw is recorded in it; reckoned with the screw that the profile asks for.
 * - `planned`: nothing is cut; solved with the screw that the profile asks for, in the insert that is in the bed.
 * - `unknown`: screws have held the board, and the ledger does not say which.
 */
export type SiteStack =
  | (Evaluated & { readonly kind: 'built' | 'pocketed' })
  | {
      readonly kind: 'planned';
      readonly fixing: Fixing;
      readonly input: StackInput;
      readonly result: StackResult;
    }
  | { readonly kind: 'unknown'; readonly unknown: readonly Unknown[] };

/** A stack that follows from what is made: nothing in it is chosen. */
export interface Evaluated {
  readonly fixing: Fixing;
  readonly input: StackInput;
  readonly stack: Stack;
  readonly broken: readonly Bound[];
}

/** The fixing that the profile asks for, at a site: in the insert that is in the bed there, when one is. */
export function plannedFixing(record: MachineRecord, site: string): Fixing {
  const insert = insertAt(record.state, site);
  return insert ? { ...record.planned, insert } : record.planned;
}

/**
 * The stack at a site: what stands there, or what is planned where nothing stands. Lengths mm.
 *
 * @throws InputError when a figure is not a number of the sign it must have
 */
export function stackAt(record: MachineRecord, site: StackSite, place: StackPlace): SiteStack {
  const { state, planned } = record;
  const wished = plannedFixing(record, site.id);
  if (!state.board?.pocketed) {
    const input = stackInput(record, place, wished);
    return { kind: 'planned', fixing: wished, input, result: solveStack(input) };
  }
  const stands = asBuilt(state, site.id, planned.insert);
  if ('fixing' in stands) {
    const { fixing, built } = stands;
    const input = stackInput(record, place, fixing);
    return { kind: 'built', fixing, input, ...builtStack(input, built) };
  }
  const pocketed = state.board.skimmedPocketed ? null : inPocket(record, site.id, place, wished);
  return pocketed ? { kind: 'pocketed', ...pocketed } : { kind: 'unknown', unknown: stands.unknown };
}

/**
 * The stack that a fixing would give in the pocket that is cut at a site: with the length for which fewest bounds break,
 * the longest engagement among equals. Null where no pocket is recorded with its floor.
 */
export function inPocket(
  record: MachineRecord,
  site: string,
  place: StackPlace,
  fixing: Fixing,
): Evaluated | null {
  const pocket = pocketAt(record.state, site);
  const pocketFloor = pocket && floorAt(pocket, site);
  if (!pocket || pocketFloor === null) return null;
  const input = stackInput(record, place, fixing);
  let best: Evaluated | null = null;
  for (const screwLength of fixing.screw.lengths) {
    const made = {
      screwLength,
      pocketFloor,
      pocketDiameter: pocketWidthAt(pocket, site),
      holeDiameter: holeAt(pocket, site),
    };
    const tried = { fixing, input, ...builtStack(input, made) };
    if (best === null || fitsBetter(tried, best)) best = tried;
  }
  return best;
}

function fitsBetter(a: Evaluated, b: Evaluated): boolean {
  if (a.broken.length !== b.broken.length) return a.broken.length < b.broken.length;
  return a.stack.engagement > b.stack.engagement + 1e-9;
}

/**
 * What the stack of one site is reckoned from. Lengths mm.
 *
 * A board that nobody has measured is known to its stock's tolerance only, however well the house measures: the house's
 * own deviation is that of a reading, and there is no reading. So the stock's tolerance counts wherever the thickness is
 * the stock's, in a layout as well as in a stack.
 *
 * @param place - what the stack takes from the board as a whole
 * @param fixing - what stands there or is to stand there
 * @param board - the board to reckon with: the one on the bed, or null for the stock as sold
 */
export function stackInput(
  record: MachineRecord,
  place: StackPlace,
  fixing: Fixing,
  board: BoardState | null = record.state.board,
): StackInput {
  const { machine, house, stock } = record;
  return {
    fixing,
    rules: house.stack,
    thickness: board ? board.thinnest : stock.thickness,
    thicknessUncertainty: board
      ? house.thicknessUncertainty
      : Math.max(house.thicknessUncertainty, STOCK_TOLERANCE),
    leastThickness: machine.board.leastThickness,
    bed: {
      thickness: machine.bed.thickness,
      floor: machine.bed.floor,
      cutLimit: Math.max(0, deepestInBed(record)),
    },
    reach: place.reach,
    held: place.held,
    ...(place.drills && { drills: place.drills }),
    positionUncertainty: place.uncertainty,
    units: machine.units,
  };
}
