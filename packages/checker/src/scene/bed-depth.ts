import type { MachineRecord } from '@bedledger/fleet';

/**
 * The lowest Z that a program may command in the bed, as a depth below Z 0, mm. Where Z 0 was set too low by its error,
 * at a place where the bed lies high by its unevenness, the tip then stands at the cut limit and no deeper.
 */
export function commandLimit({ machine, house }: MachineRecord): number {
  return machine.bed.cutLimit - (house.zZeroError + house.bedUnevenness);
}
