import { closeSync, openSync, rmSync } from 'node:fs';
import { join } from 'node:path';
import type { Diagnostic } from '@bedledger/diagnostics';
import { tryAppendFact } from '../ledger/append.ts';
import { examineLedger } from '../ledger/recover.ts';
import type { Machine } from '../model/machine.ts';
import { report } from '../report.ts';
import type { FactWritten } from '../written/ledger.ts';
import { writeFileAtomic } from './atomic-write.ts';
import { readFleetFile } from './files.ts';
import { missingLedger } from './missing-file.ts';

/**
 * Append one fact to `machines/<id>/ledger.yaml`. A lock file keeps two writers apart, so that neither loses the other's
 * entry; the file is replaced whole. Returns what was found; nothing was written when there is a stop among it.
 */
export function recordFact(
  root: string,
  id: string,
  fact: FactWritten,
  machine?: Machine,
  surveyLimit?: number,
): readonly Diagnostic[] {
  const path = `machines/${id}/ledger.yaml`;
  const lock = join(root, `machines/${id}/.ledger.lock`);
  let held: number;
  try {
    held = openSync(lock, 'wx');
  } catch (error) {
    const code = (error as NodeJS.ErrnoException).code;
    const busy = code === 'EEXIST';
    return [
      report({
        code: 'ledger/locked',
        place: { file: path },
        message: busy
          ? 'somebody is writing to the ledger right now'
          : `the ledger cannot be written: ${code ?? 'unknown reason'}`,
        help: busy
          ? `try again; when nobody is, remove machines/${id}/.ledger.lock`
          : 'check the folder and its permissions',
      }),
    ];
  }
  try {
    const found: Diagnostic[] = [];
    const file = readFleetFile(root, path, found);
    if (!file) {
      return found.length > 0 ? found : [missingLedger(path)];
    }
    const damage = examineLedger(path, file.text);
    if (damage) return damage.diagnostics;
    const { text, diagnostics } = tryAppendFact(file.text, fact, {
      file: path,
      ...(machine ? { machine } : {}),
      ...(surveyLimit === undefined ? {} : { surveyLimit }),
    });
    if (text !== null) writeFileAtomic(join(root, path), text);
    return diagnostics;
  } finally {
    closeSync(held);
    rmSync(lock, { force: true });
  }
}
