import type { SharedData } from '../load/shared.ts';
import type { Machine } from '../model/machine.ts';
import type { MachineWritten } from '../written/machine.ts';
import { bedFaults } from './bed.ts';
import { boardFaults } from './board.ts';
import type { Fault } from './fault.ts';
import { motionFaults, unitsFault } from './motion.ts';
import { referenceFaults } from './references.ts';
import { shapeFaults } from './shapes.ts';

/** Everything in a profile that is well formed, but cannot be. Each cause once. */
export function machineFaults(
  written: MachineWritten,
  machine: Machine,
  folder: string,
  shared: SharedData,
): Fault[] {
  const units = unitsFault(machine);
  if (units) return [units, ...referenceFaults(written, machine, folder, shared)];
  const shapes = shapeFaults(written);
  const others = [
    ...referenceFaults(written, machine, folder, shared),
    ...motionFaults(machine),
    ...boardFaults(written, machine, shared),
  ];
  // Without complete shapes there is no bed to hold anything against.
  return shapes.length > 0 ? [...shapes, ...others] : [...others, ...bedFaults(machine)];
}
