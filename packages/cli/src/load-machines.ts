import { type Diagnostic, hasStop, InputError, raised } from '@bedledger/diagnostics';
import {
  loadFleet,
  loadShared,
  type MachineRecord,
  type ParsedMachine,
  type SharedData,
} from '@bedledger/fleet';
import { isFileTrouble, refusedFinding } from './file-trouble.ts';
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
export function sharedFindings({ house, houseAt, diagnostics }: SharedData): Diagnostic[] {
  if (house === null) return [...diagnostics];
  return raised([...diagnostics, ...houseFindings(house, houseAt)], house.raise);
}

/** Loads the machines of these identifiers. Nothing is thrown for a file that is wrong, or that the system refuses. */
export function loadMachines(root: string, ids: readonly string[]): LoadedMachines {
  const data = loadShared(root);
  const shared = sharedFindings(data);
  const raise = data.house?.raise ?? {};
  const machines = parsed(root, ids, data).map(({ id, record, diagnostics }) => {
    const findings = raised(diagnostics, raise);
    return { id, record: hasStop(findings) || hasStop(shared) ? null : record, findings };
  });
  return { machines, shared };
}

/** Every machine as its files give it; those that cannot be read at all keep no other from being read. */
function parsed(root: string, ids: readonly string[], shared: SharedData): ParsedMachine[] {
  try {
    const { machines, diagnostics } = loadFleet(root, { only: ids, shared });
    return ids.map((id) => {
      // A folder that went away since the machines were listed.
      const gone = () => diagnostics.filter((d) => d.code === 'fleet/unknown-machine');
      return machines.find((m) => m.id === id) ?? { id, record: null, diagnostics: gone() };
    });
  } catch (error) {
    if (!isFileTrouble(error)) throw error;
    const [id, ...others] = ids;
    if (id === undefined) throw error;
    if (others.length === 0) return [{ id, record: null, diagnostics: [refusedFinding(root, error)] }];
    return ids.flatMap((one) => parsed(root, [one], shared));
  }
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
