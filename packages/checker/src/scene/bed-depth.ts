import type { MachineRecord } from '@bedledger/fleet';

/**
 * The lowest Z that a program may command in the bed, as a depth below Z 0, mm. Where Z 0 was set too low by its error,
 * at a place where the bed lies high by its unevenness, the tip then stands at the cut limit and no deeper.
 *
 * @param zeroHeight - of the program's Z 0 above the bed: on a board its thickness was read, and the bed lies higher by as
 * much as the reading was too great
 */
export function commandLimit({ machine, house }: MachineRecord, zeroHeight = 0): number {
  const reading = zeroHeight > 0 ? house.thicknessUncertainty : 0;
  return machine.bed.cutLimit - (house.zZeroError + house.bedUnevenness + reading);
}
