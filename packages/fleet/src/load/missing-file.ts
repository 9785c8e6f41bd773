import type { Diagnostic } from '@bedledger/diagnostics';
import { report } from '../report.ts';

/** A file of a machine that must be there; `help` says how to come by it. */
export function missingFile(path: string, help: string): Diagnostic {
  const name = path.split('/').at(-1);
  return report({ code: 'file/missing', place: { file: path }, message: `\`${name}\` is missing`, help });
}

export function missingLedger(path: string): Diagnostic {
  return missingFile(
    path,
    'bring it back; when nothing was ever done to this bed, write `units: mm` and `facts: []`',
  );
}
