import { join } from 'node:path';
import type { Diagnostic } from '@bedledger/diagnostics';
import { type MachineLockOptions, whileMachineIsOurs } from '../durable/machine-lock.ts';
import { writeFileAtomic } from '../durable/write-file.ts';
import { tryAppendFacts } from '../ledger/append.ts';
import { examineLedger } from '../ledger/recover.ts';
import type { Machine } from '../model/machine.ts';
import type { FactWritten } from '../written/ledger.ts';
import { isFleetFolder, readFleetFile } from './files.ts';
import { missingLedger } from './missing-file.ts';

/**
 * Append facts to `machines/<id>/ledger.yaml`, all of them or none. The machine's lock keeps two writers apart, so that neither loses the
 * other's entries: the second waits a moment. The file is replaced whole. Returns what was found; nothing was written when
 * there is a stop among it.
 * @throws the system's error when the ledger or the lock beside it cannot be written
 */
export function recordFacts(
  root: string,
  id: string,
  facts: readonly FactWritten[],
  machine?: Machine,
  surveyLimit?: number,
  lock: MachineLockOptions = {},
): readonly Diagnostic[] {
  const path = `machines/${id}/ledger.yaml`;
  if (!isFleetFolder(root, `machines/${id}`)) return [missingLedger(path)];
  const append = (): readonly Diagnostic[] => {
    const found: Diagnostic[] = [];
    const file = readFleetFile(root, path, found);
    if (!file) return found.length > 0 ? found : [missingLedger(path)];
    const damage = examineLedger(path, file.text);
    if (damage) return damage.diagnostics;
    const { text, diagnostics } = tryAppendFacts(file.text, facts, {
      file: path,
      ...(machine ? { machine } : {}),
      ...(surveyLimit === undefined ? {} : { surveyLimit }),
    });
    if (text !== null) writeFileAtomic(join(root, path), text, lock.disk);
    return diagnostics;
  };
  const done = whileMachineIsOurs(root, id, 'record', append, lock);
  return 'locked' in done ? [done.locked] : done.value;
}
