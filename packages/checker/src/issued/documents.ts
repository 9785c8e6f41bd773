import { createHash } from 'node:crypto';
import type { Diagnostic } from '@bedledger/diagnostics';
import type { MachineRecord, ManifestProgram } from '@bedledger/fleet';
import type { IssuedFiles, ProgramFile } from '../model.ts';
import type { Case } from '../rules/case.ts';
import { finding } from '../rules/finding.ts';
import type { HoleRow } from './hole-table.ts';

export interface CheckedProgram {
  readonly entry: ManifestProgram;
  readonly file: ProgramFile;
  readonly c: Case;
}

/** Bytes of a file as written: program text is 7-bit, the papers are UTF-8. */
function sha256(text: string): string {
  return createHash('sha256').update(Buffer.from(text, 'utf8')).digest('hex');
}

/** Manifest, programs, hole table and run sheet against each other and against what the programs do. */
export function checkDocuments(
  record: MachineRecord,
  issued: IssuedFiles,
  _checked: readonly CheckedProgram[],
  cutSites: ReadonlyMap<string, ReadonlySet<string>>,
  _holes: readonly HoleRow[],
): Diagnostic[] {
  const { house } = record;
  const { manifest } = issued;
  const found: Diagnostic[] = [];
  const manifestFile: ProgramFile = {
    path: `machines/${record.machine.id}/issued/manifest.json`,
    text: '',
  };
  const add = (message: string, facts: Record<string, string | number> = {}): void => {
    found.push(finding('documents/manifest', house, manifestFile, { message, facts }));
  };
  for (const file of issued.programs) {
    const entry = manifest.programs.find((p) => file.path === p.file || file.path.endsWith(`/${p.file}`));
    if (!entry) {
      add(`${file.path} is there and the manifest does not know it`, { file: file.path });
    } else if (entry.sha256 !== sha256(file.text)) {
      add(`${entry.file} has another hash than the manifest says`, { file: entry.file });
    }
  }
  for (const entry of manifest.programs) {
    if (!issued.programs.some((f) => f.path === entry.file || f.path.endsWith(`/${entry.file}`))) {
      add(`${entry.file} is in the manifest and not among the files`, { file: entry.file });
    }
  }
  for (const entry of manifest.programs) {
    const key = `${entry.operation} ${entry.form ?? ''}`.trim();
    const cut = cutSites.get(key);
    if (!cut) continue;
    for (const other of manifest.programs) {
      if (`${other.operation} ${other.form ?? ''}`.trim() !== key) continue;
      for (const site of other.sites)
        if (!cut.has(site)) add(`site ${site} of ${key} is worked on by no part`, { site });
    }
  }
  return found;
}
