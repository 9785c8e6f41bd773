import type { Diagnostic } from '@bedledger/diagnostics';
import type { SharedData } from '../load/shared.ts';
import type { Machine } from '../model/machine.ts';
import type { Locator } from '../report.ts';
import type { MachineWritten } from '../written/machine.ts';
import { bedFindings } from './bed.ts';
import { boardFindings } from './board.ts';
import { cutterFindings } from './cutters.ts';
import { farLengths } from './far-lengths.ts';
import { inWrongUnits, motionFindings, unitsFinding } from './motion.ts';
import { referenceFindings } from './references.ts';
import { shapeFindings } from './shapes.ts';

/** Everything in a profile that is well formed, but cannot be. Each cause once. `at` locates in the profile. */
export function machineFindings(
  written: MachineWritten,
  machine: Machine,
  folder: string,
  shared: SharedData,
  at: Locator,
): Diagnostic[] {
  const references = referenceFindings(written, machine, folder, shared, at);
  if (inWrongUnits(machine)) return [...unitsFinding(machine, at), ...references];
  const far = [...farLengths(written, at)];
  if (far.length > 0) return [...far, ...references];
  const shapes = [...shapeFindings(written, at)];
  return [
    ...references,
    ...shapes,
    ...motionFindings(machine, at),
    ...boardFindings(written, machine, shared, at),
    ...cutterFindings(machine, shared, at),
    // Without complete shapes there is no bed to hold anything against.
    ...(shapes.length > 0 ? [] : bedFindings(machine, at)),
  ];
}
