import { type StackInput, type StackResult, solveFittedStack, solveStack } from '@bedledger/fasteners';
import type { BoardState, MachineRecord } from '@bedledger/fleet';
import { distance, type Point } from '@bedledger/geometry';

/** Tolerance of a board that nobody has measured, mm: the wider of ANSI A208.2 (0.125) and EN 622-5 (0.2, from memory). */
const STOCK_TOLERANCE = 0.2;

/**
 * What the stack of one site is solved from. Lengths mm.
 *
 * A board that nobody has measured is known to its stock's tolerance only, however well the house measures: the house's
 * own deviation is that of a reading, and there is no reading. So the stock's tolerance counts wherever the thickness is
 * the stock's, in a layout as well as in a stack.
 *
 * @param at - the site's axis, surveyed frame
 * @param positionUncertainty - of the axis, k = 2
 * @param board - the board to reckon with: the one on the bed, or null for the stock as sold
 */
export function stackInput(
  record: MachineRecord,
  at: Point,
  positionUncertainty: number,
  board: BoardState | null = record.state.board,
): StackInput {
  const { machine, house, stock, fixing } = record;
  // What is cut into the board already is given, not chosen.
  const given = board?.pocketed
    ? {
        ...(board.screwLength === undefined ? {} : { screwLength: board.screwLength }),
        ...(board.pocketFloor === undefined ? {} : { pocketFloor: board.pocketFloor }),
      }
    : {};
  return {
    fixing,
    rules: house.stack,
    thickness: board ? board.thinnest : stock.thickness,
    thicknessUncertainty: board
      ? house.thicknessUncertainty
      : Math.max(house.thicknessUncertainty, STOCK_TOLERANCE),
    leastThickness: machine.board.leastThickness,
    bed: { thickness: machine.bed.thickness, floor: machine.bed.floor, cutLimit: machine.bed.cutLimit },
    reach: distance(machine.datum.mark, at),
    positionUncertainty,
    units: machine.units,
    ...(Object.keys(given).length === 0 ? {} : { given }),
  };
}

/**
 * The stack of one site on the board that is recorded, or on the stock as sold. Where pockets are cut already, what is in
 * the board is kept.
 * @throws InputError when figures of fixing or house make no stack at all
 */
export function stackAt(record: MachineRecord, at: Point, positionUncertainty: number): StackResult {
  const { board } = record.state;
  const input = stackInput(record, at, positionUncertainty);
  return board?.pocketed ? solveFittedStack(input, board.thicknessWhenFitted) : solveStack(input);
}
