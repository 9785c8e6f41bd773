import type { Diagnostic } from '@bedledger/diagnostics';
import {
  type FactWritten,
  fileText,
  loadShared,
  type MachineRecord,
  parseMachine,
  readMachineFiles,
  tryAppendFacts,
} from '@bedledger/fleet';

/** What a machine would be with some facts more in its ledger. Nothing is written. */
export interface Trial {
  /** Null when the facts cannot be recorded, or the machine could not be read with them. */
  readonly record: MachineRecord | null;
  readonly diagnostics: readonly Diagnostic[];
}

export function tryFacts(root: string, before: MachineRecord, facts: readonly FactWritten[]): Trial {
  const { machine, house } = before;
  const path = `machines/${machine.id}/ledger.yaml`;
  const { files, diagnostics } = readMachineFiles(root, machine.id);
  if (!files.ledger) return { record: null, diagnostics };
  const appended = tryAppendFacts(files.ledger.text, facts, {
    file: path,
    machine,
    surveyLimit: house.survey.limit,
  });
  if (appended.text === null) return { record: null, diagnostics: appended.diagnostics };
  return parseMachine({ ...files, ledger: fileText(path, appended.text) }, loadShared(root));
}
