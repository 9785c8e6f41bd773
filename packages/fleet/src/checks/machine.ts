import type { SharedData } from '../load/shared.ts';
import type { Machine } from '../model/machine.ts';
import type { MachineWritten } from '../written/machine.ts';
import type { Fault } from './fault.ts';
import { referenceFaults } from './references.ts';
import { shapeFaults } from './shapes.ts';

/** Everything in a profile that is well formed, but cannot be. Each cause once. */
export function machineFaults(
  written: MachineWritten,
  machine: Machine,
  folder: string,
  shared: SharedData,
): Fault[] {
  return [...shapeFaults(written), ...referenceFaults(written, machine, folder, shared)];
}
