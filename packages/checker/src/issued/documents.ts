import { createHash } from 'node:crypto';
import { type Diagnostic, fixed } from '@bedledger/diagnostics';
import type { MachineRecord, ManifestProgram, OperationName } from '@bedledger/fleet';
import type { IssuedFiles, ProgramFile } from '../model.ts';
import type { Case } from '../programs/case.ts';
import { inFile, report } from '../report.ts';
import { checkHeader, manifestDisagreements, minutesFit, ownClaims } from './claims.ts';
import { checkRunSheet } from './run-sheet-rules.ts';

export interface CheckedProgram {
  readonly entry: ManifestProgram;
  readonly file: ProgramFile;
  readonly c: Case;
}

const OPERATIONS: readonly (readonly [OperationName, ManifestProgram['form']])[] = [
  ['survey-visit', null],
  ['air-pass', null],
  ['datum-mark', null],
  ['bed-mark', null],
  ['underside-skim', null],
  ['socket-pockets', null],
  ['clearance-holes', 'first-fit'],
  ['clearance-holes', 'refit'],
  ['surface', null],
  ['trim', null],
];

/** The text's bytes as they are written: program text is 7-bit, the papers are UTF-8. */
function sha256(text: string): string {
  return createHash('sha256').update(text, 'utf8').digest('hex');
}

function named(entry: { operation: OperationName; form: ManifestProgram['form'] }): string {
  return entry.form === null ? entry.operation : `${entry.operation} (${entry.form})`;
}

/** Is this the file of that path below `issued/`? */
export function isFile(file: ProgramFile, path: string): boolean {
  return file.path === path || file.path.endsWith(`/${path}`);
}

/** Manifest, programs, hole table and run sheet against each other, against the record and against what the programs do. */
export function checkDocuments(
  record: MachineRecord,
  issued: IssuedFiles,
  checked: readonly CheckedProgram[],
  cutSites: ReadonlyMap<string, ReadonlySet<string>>,
): Diagnostic[] {
  const { machine, state } = record;
  const { manifest } = issued;
  const found: Diagnostic[] = [];
  const manifestFile: ProgramFile = { path: `machines/${machine.id}/issued/manifest.json`, text: '' };
  const add = (message: string, facts: Record<string, string | number> = {}): void => {
    found.push(report({ code: 'documents/manifest', ...inFile(manifestFile), message, facts }));
  };
  const differs = (name: string, claimed: unknown, expected: unknown): void => {
    if (claimed !== expected) add(`${name} is \`${String(claimed)}\`, expected \`${String(expected)}\``);
  };

  differs('schema', manifest.schema, 1);
  differs('machine', manifest.machine, machine.id);
  differs('title', manifest.title, machine.title);
  differs('revision', manifest.revision, record.revision);
  differs('units', manifest.units, machine.units);
  differs('boardThickness', manifest.boardThickness, state.board?.thickness ?? null);
  for (const source of record.sources) {
    const input = manifest.inputs.find((i) => i.path === source.path);
    if (!input) add(`input ${source.path} is missing`, { file: source.path });
    else if (input.sha256 !== source.sha256) {
      add(`input ${source.path} has changed since the files were issued`, { file: source.path });
    }
  }
  for (const input of manifest.inputs) {
    if (!record.sources.some((s) => s.path === input.path))
      add(`input ${input.path} is not one of the machine’s`, { file: input.path });
  }

  // every file that is there against its line in the manifest
  for (const file of [...issued.programs, issued.holes, issued.runSheet]) {
    const line = manifest.files.find((f) => isFile(file, f.path));
    if (!line) add(`${file.path} is there and the manifest does not list it`, { file: file.path });
    else {
      if (line.sha256 !== sha256(file.text))
        add(`${line.path} has another hash than the manifest says`, { file: line.path });
      if (line.bytes !== Buffer.byteLength(file.text, 'utf8'))
        add(`${line.path} has another length than the manifest says`, { file: line.path });
    }
  }
  for (const file of issued.programs) {
    const entries = manifest.programs.filter((p) => isFile(file, p.file));
    if (entries.length !== 1) {
      add(`${file.path} is described ${entries.length} times among the manifest’s programs, expected once`, {
        file: file.path,
      });
    } else if (entries[0]!.sha256 !== sha256(file.text)) {
      add(`${entries[0]!.file} has another hash than its description says`, { file: file.path });
    }
  }
  for (const entry of manifest.programs) {
    if (!issued.programs.some((f) => isFile(f, entry.file))) {
      add(`${entry.file} is described in the manifest and not among the files`, { file: entry.file });
    }
  }

  // every operation issued or withheld, and not both; parts complete
  for (const [operation, form] of OPERATIONS) {
    const programs = manifest.programs.filter((p) => p.operation === operation && p.form === form);
    const withheld = manifest.withheld.filter((w) => w.operation === operation && w.form === form);
    const name = named({ operation, form });
    if (programs.length > 0 && withheld.length > 0) {
      found.push(
        report({
          code: 'interlock/withheld',
          ...inFile(manifestFile),
          message: `${name} is withheld (${withheld[0]!.reason}) and issued all the same`,
          facts: { operation },
        }),
      );
    }
    if (programs.length === 0 && withheld.length === 0)
      add(`${name} is neither issued nor withheld`, { operation });
    const parts = programs[0]?.parts ?? 0;
    const numbers = programs.map((p) => p.part).sort((a, b) => a - b);
    if (
      programs.some((p) => p.parts !== parts) ||
      numbers.some((n, k) => n !== k + 1) ||
      numbers.length !== parts
    ) {
      add(`${name} has parts ${numbers.join(', ')} of ${parts}`, { operation });
    }
    const cut = cutSites.get(`${operation} ${form ?? ''}`.trim());
    if (cut) {
      for (const program of programs) {
        for (const site of program.sites) {
          if (!cut.has(site)) add(`site ${site} of ${name} is worked on by no part`, { site });
        }
      }
    }
  }

  for (const { entry, c } of checked) {
    const own = ownClaims(c, entry);
    found.push(...checkHeader(c, entry, own));
    if (!minutesFit(entry.minutes, own, c, entry.parts)) {
      found.push(
        report({
          code: 'documents/minutes',
          ...inFile(manifestFile),
          message: `${entry.file}: ${entry.minutes} minutes are claimed, the motions take ${fixed(own.minutes, 1)}`,
          facts: { file: entry.file, found: entry.minutes, expected: own.minutes },
        }),
      );
    }
    for (const message of manifestDisagreements(c, entry, own, record)) {
      add(`${entry.file}: ${message}`, { file: entry.file });
    }
  }
  found.push(...checkRunSheet(record, issued));
  return found;
}
