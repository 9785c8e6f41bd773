import { lengthText } from '@bedledger/diagnostics';
import type { MachineRecord } from '@bedledger/fleet';

/**
 * How far below the bed surface a program may be told to go, mm: the cut limit, less the error of the Z zero and less the
 * unevenness of the bed, so that the cutter stays within the limit wherever the bed lies high and however Z 0 was set.
 * Negative where the limit is used up by the two.
 *
 * @param on - over a board whose top is Z 0 the bed is where the board's thickness puts it: what that may err comes off too
 */
export function deepestInBed(
  { machine, house }: Pick<MachineRecord, 'machine' | 'house'>,
  on: 'bed' | 'board' = 'bed',
): number {
  const byThickness = on === 'board' && machine.zZero === 'board-top' ? house.thicknessUncertainty : 0;
  return machine.bed.cutLimit - house.zZeroError - house.bedUnevenness - byThickness;
}

/** Why no program may cut this bed at all, as far as its depth goes; null when one may. */
export function noDepthInBed({ machine, house }: Pick<MachineRecord, 'machine' | 'house'>): string | null {
  const { bed, units } = machine;
  if (!(bed.cutLimit > 0)) return 'the bed may not be cut at all (cut limit 0)';
  if (deepestInBed({ machine, house }) > 0) return null;
  return `the cut limit of ${lengthText(bed.cutLimit, units)} is used up by the error of the Z zero (${lengthText(house.zZeroError, units)}) and the unevenness of the bed (${lengthText(house.bedUnevenness, units)})`;
}
