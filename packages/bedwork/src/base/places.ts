import type { Place } from '@bedledger/diagnostics';
import type { MachineRecord } from '@bedledger/fleet';

/** The machine's profile, as findings name it: relative to the fleet's root. */
export function profilePlace(record: MachineRecord): Place {
  const found = record.sources.find((s) => s.path.endsWith('machine.yaml'));
  return { file: found?.path ?? `machines/${record.machine.id}/machine.yaml` };
}

export function ledgerPlace(record: MachineRecord): Place {
  const found = record.sources.find((s) => s.path.endsWith('ledger.yaml'));
  return { file: found?.path ?? `machines/${record.machine.id}/ledger.yaml` };
}

/** The survey, as findings name it; null when the machine has none. */
export function surveyPlace(record: MachineRecord): Place | null {
  const file = record.survey?.file;
  if (file === undefined) return null;
  const found = record.sources.find((s) => s.path === file || s.path.endsWith(`/${file}`));
  return { file: found?.path ?? `machines/${record.machine.id}/${file}` };
}
