import { type Diagnostic, hasStop, InputError, raised } from '@bedledger/diagnostics';
import { loadFleet, loadShared, type MachineRecord } from '@bedledger/fleet';
import { houseFindings } from './house-findings.ts';
import { selectMachine } from './select-machines.ts';
import { steadily } from './steadily.ts';

/** One machine as loaded: its findings are as heavy as the house has them. */
export interface LoadedMachine {
  readonly id: string;
  /** Null when a finding of the machine or of a shared file is a stop. */
  readonly record: MachineRecord | null;
  readonly findings: readonly Diagnostic[];
}

export interface LoadedMachines {
  readonly machines: readonly LoadedMachine[];
  /** Findings that belong to no single machine: those of the shared files. */
  readonly shared: readonly Diagnostic[];
}

/** What is wrong with the shared files, the house's list of raised rules included. */
export function sharedFindings(root: string): Diagnostic[] {
  const { house, houseAt, diagnostics } = loadShared(root);
  if (house === null) return [...diagnostics];
  return raised([...diagnostics, ...houseFindings(house, houseAt)], house.raise);
}

/** Loads the machines of these identifiers. A wrong file is a finding; nothing is thrown for it. */
export function loadMachines(root: string, ids: readonly string[]): LoadedMachines {
  const shared = sharedFindings(root);
  const raise = loadShared(root).house?.raise ?? {};
  const loaded = loadFleet(root, { only: ids });
  const machines = ids.map((id) => {
    // A folder that went away since the machines were listed.
    const gone = {
      record: null,
      diagnostics: loaded.diagnostics.filter((d) => d.code === 'fleet/unknown-machine'),
    };
    const { record, diagnostics } = loaded.machines.find((m) => m.id === id) ?? gone;
    const findings = raised(diagnostics, raise);
    return { id, record: hasStop(findings) || hasStop(shared) ? null : record, findings };
  });
  return { machines, shared };
}

/**
 * The record of the one machine a call names, and what was found on the way (warnings and notes).
 *
 * @throws InputError with every finding when the profile, its ledger or a shared file is wrong, or never stands still.
 */
export function loadMachine(
  root: string,
  name: string,
): { record: MachineRecord; findings: readonly Diagnostic[] } {
  const id = selectMachine(root, name);
  const { machines, shared } = steadily(root, id, () => loadMachines(root, [id]));
  const { record, findings } = machines[0] ?? { record: null, findings: [] };
  const all = [...shared, ...findings];
  if (record === null) throw new InputError(all);
  return { record, findings: all };
}
