import { type Stack, type StackResult, solveFittedStack, solveStack } from '@bedledger/fasteners';
import type { MachineRecord } from '@bedledger/fleet';
import type { Point } from '@bedledger/geometry';

/** Thickness tolerance of a board nobody has measured, mm (EN 622-5, from memory: ±0.2 up to 19 mm). */
const UNMEASURED = 0.2;

/**
 * The stack of one site, solved from the facts alone: the thinnest place of the ledger's board (or the stock as sold
 * before there is one), the bed, the house rules, the distance from the datum and the uncertainty of the place. What the
 * ledger has for a board already pocketed is given, not chosen.
 */
export function stackAt(record: MachineRecord, at: Point, uncertainty: number): StackResult {
  const { machine, house, state } = record;
  const board = state.board;
  const dx = at[0] - machine.datum.mark[0];
  const dy = at[1] - machine.datum.mark[1];
  const given: { screwLength?: number; pocketFloor?: number } = {};
  if (board?.pocketed) {
    if (board.screwLength !== undefined) given.screwLength = board.screwLength;
    if (board.pocketFloor !== undefined) given.pocketFloor = board.pocketFloor;
  }
  const input = {
    fixing: record.fixing,
    rules: house.stack,
    thickness: board?.thinnest ?? record.stock.thickness,
    thicknessUncertainty: board
      ? house.thicknessUncertainty
      : Math.max(house.thicknessUncertainty, UNMEASURED),
    leastThickness: machine.board.leastThickness,
    bed: {
      thickness: machine.bed.thickness,
      floor: machine.bed.floor,
      cutLimit: machine.bed.cutLimit,
    },
    reach: Math.sqrt(dx * dx + dy * dy),
    positionUncertainty: uncertainty,
    ...(Object.keys(given).length > 0 ? { given } : {}),
  };
  return board?.pocketed ? solveFittedStack(input, board.thicknessWhenFitted) : solveStack(input);
}

/** Height of the highest thing of a screw above the bed at its worst, mm: head and washer with their tolerances. */
export function headTopAtWorst(record: MachineRecord, stack: Stack): number {
  const { screw, washer } = record.fixing;
  return stack.headTop + screw.headHeight.uncertainty + (washer?.thickness.uncertainty ?? 0);
}
