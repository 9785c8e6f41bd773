import { type Diagnostic, hasStop, InputError } from '@bedledger/diagnostics';
import { loadFleet, type MachineRecord } from '@bedledger/fleet';
import { selectMachine } from './select-machines.ts';

/**
 * The record of the one machine a call names, and what was found on the way (warnings and notes).
 *
 * @throws InputError with every stop when the profile, its ledger or a shared file is wrong.
 */
export function loadMachine(
  root: string,
  name: string,
): { record: MachineRecord; findings: readonly Diagnostic[] } {
  const id = selectMachine(root, name);
  const loaded = loadFleet(root, { only: [id] });
  const record = loaded.machines.find((m) => m.id === id)?.record ?? null;
  if (record === null || hasStop(loaded.diagnostics)) throw new InputError(loaded.diagnostics);
  return { record, findings: loaded.diagnostics };
}
