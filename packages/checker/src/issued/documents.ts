import { createHash } from 'node:crypto';
import { type Diagnostic, fixed } from '@bedledger/diagnostics';
import { type Form, type MachineRecord, OPERATION_NAMES, type OperationName } from '@bedledger/fleet';
import type { IssuedFiles, ProgramFile } from '../model.ts';
import { inFile, report } from '../report.ts';
import type { CheckedProgram } from './check-program.ts';
import { manifestDisagreements, minutesFit, ownClaims } from './claims.ts';
import { checkHeader } from './header-rules.ts';
import { OPERATION_VIEWS } from './operations.ts';
import { checkRunSheet } from './run-sheet-rules.ts';
import { checkSheetWords } from './sheet-words.ts';
import { checkHeaderWords } from './words.ts';

/** Manifest, programs, hole table and run sheet against each other, against the record and against what the programs do. */
export function checkDocuments(
  record: MachineRecord,
  issued: IssuedFiles,
  programs: readonly CheckedProgram[],
): Diagnostic[] {
  return [
    ...checkHead(record, issued),
    ...checkInputs(record, issued),
    ...checkFiles(record, issued),
    ...checkEntries(record, issued),
    ...OPERATION_NAMES.flatMap((operation) =>
      OPERATION_VIEWS[operation].forms.flatMap((form) =>
        checkComplete(record, issued, programs, operation, form),
      ),
    ),
    ...programs.flatMap((program) => checkClaims(program)),
    ...checkRunSheet(record, issued, programs),
    ...checkSheetWords(record, issued, programs),
    ...checkNumbers(record, issued),
  ];
}

/** The text's bytes as they are written: program text is 7-bit, the papers are UTF-8. */
function sha256(text: string): string {
  return createHash('sha256').update(text, 'utf8').digest('hex');
}

/** An operation with its form, for a person. */
export function nameOf({ operation, form }: { operation: OperationName; form: Form | null }): string {
  return form === null ? operation : `${operation} (${form})`;
}

/** Is this the file of that path below `issued/`? */
export function isFile(file: ProgramFile, path: string): boolean {
  return file.path === path || file.path.endsWith(`/${path}`);
}

/** The manifest for findings: read as data, so that there is no text to point into. */
function manifestFile({ machine }: MachineRecord): ProgramFile {
  return { path: `machines/${machine.id}/issued/manifest.json`, text: '' };
}

function manifestFinding(
  record: MachineRecord,
  message: string,
  facts?: Readonly<Record<string, string | number>>,
): Diagnostic {
  return report({ code: 'documents/manifest', ...inFile(manifestFile(record)), message, facts });
}

/** What the manifest says of the machine as a whole. */
function checkHead(record: MachineRecord, { manifest }: IssuedFiles): Diagnostic[] {
  const { machine, state } = record;
  const expected = {
    schema: 1,
    machine: machine.id,
    title: machine.title,
    revision: record.revision,
    units: machine.units,
    boardThickness: state.board?.thickness ?? null,
  } as const;
  return (Object.keys(expected) as (keyof typeof expected)[])
    .filter((name) => manifest[name] !== expected[name])
    .map((name) =>
      manifestFinding(record, `${name} is \`${manifest[name]}\`, expected \`${expected[name]}\``),
    );
}

/** The files that the issued ones were made from are those of the machine, unchanged. */
function checkInputs(record: MachineRecord, { manifest }: IssuedFiles): Diagnostic[] {
  const found: Diagnostic[] = [];
  for (const { path, sha256: hash } of record.sources) {
    const input = manifest.inputs.find((i) => i.path === path);
    if (!input) found.push(manifestFinding(record, `input ${path} is missing`, { file: path }));
    else if (input.sha256 !== hash) {
      const message = `input ${path} has changed since the files were issued`;
      found.push(manifestFinding(record, message, { file: path }));
    }
  }
  for (const { path } of manifest.inputs) {
    if (record.sources.some((s) => s.path === path)) continue;
    found.push(manifestFinding(record, `input ${path} is not one of the machine’s`, { file: path }));
  }
  return found;
}

/** Every file that is there against its line in the manifest. */
function checkFiles(record: MachineRecord, issued: IssuedFiles): Diagnostic[] {
  const found: Diagnostic[] = [];
  const add = (message: string, file: string): void => {
    found.push(manifestFinding(record, message, { file }));
  };
  for (const file of [...issued.programs, issued.holes, issued.runSheet]) {
    const line = issued.manifest.files.find((f) => isFile(file, f.path));
    if (!line) {
      add(`${file.path} is there and the manifest does not list it`, file.path);
      continue;
    }
    if (line.sha256 !== sha256(file.text)) {
      add(`${line.path} has another hash than the manifest says`, line.path);
    }
    if (line.bytes !== Buffer.byteLength(file.text, 'utf8')) {
      add(`${line.path} has another length than the manifest says`, line.path);
    }
  }
  return found;
}

/** Every program that is there is described once, and every one described is there. */
function checkEntries(record: MachineRecord, issued: IssuedFiles): Diagnostic[] {
  const { programs } = issued.manifest;
  const found: Diagnostic[] = [];
  const add = (message: string, file: string): void => {
    found.push(manifestFinding(record, message, { file }));
  };
  for (const file of issued.programs) {
    const entries = programs.filter((p) => isFile(file, p.file));
    if (entries.length !== 1) {
      add(
        `${file.path} is described ${entries.length} times among the manifest’s programs, expected once`,
        file.path,
      );
    } else if (entries[0]!.sha256 !== sha256(file.text)) {
      add(`${entries[0]!.file} has another hash than its description says`, file.path);
    }
  }
  for (const { file, operation } of programs) {
    if (!issued.programs.some((f) => isFile(f, file))) {
      add(`${file} is described in the manifest and not among the files`, file);
    }
    if (!Object.hasOwn(OPERATION_VIEWS, operation)) {
      add(`${file} is of the operation \`${operation}\`, which is not known`, file);
    }
  }
  return found;
}

/** Where programs begin with a number, each has its own. */
function checkNumbers({ machine }: MachineRecord, { programs }: IssuedFiles): Diagnostic[] {
  const { programWord } = machine.controller.start;
  if (programWord === 'none') return [];
  const begins = new RegExp(`^${programWord}(\\d+)`, 'm');
  const seen = new Map<number, ProgramFile>();
  return programs.flatMap((file) => {
    const number = begins.exec(file.text)?.[1];
    if (number === undefined) return [];
    const first = seen.get(Number(number));
    seen.set(Number(number), first ?? file);
    if (!first) return [];
    const message = `${programWord}${number} is the number of ${first.path} too`;
    return [report({ code: 'documents/program-number', ...inFile(file, 1), message })];
  });
}

/** An operation is issued or withheld and not both, in all its parts, and the parts together work on every site. */
function checkComplete(
  record: MachineRecord,
  { manifest }: IssuedFiles,
  checked: readonly CheckedProgram[],
  operation: OperationName,
  form: Form | null,
): Diagnostic[] {
  const isOwn = (entry: { operation: OperationName; form: Form | null }): boolean =>
    entry.operation === operation && entry.form === form;
  const programs = manifest.programs.filter(isOwn);
  const withheld = manifest.withheld.find(isOwn);
  const name = nameOf({ operation, form });
  const found: Diagnostic[] = [];
  if (programs.length > 0 && withheld) {
    const message = `${name} is withheld (${withheld.reason}) and issued all the same`;
    const place = inFile(manifestFile(record));
    found.push(report({ code: 'interlock/withheld', ...place, message, facts: { operation } }));
  }
  if (programs.length === 0 && !withheld) {
    found.push(manifestFinding(record, `${name} is neither issued nor withheld`, { operation }));
  }
  const parts = programs[0]?.parts ?? 0;
  const numbers = programs.map((p) => p.part).sort((a, b) => a - b);
  const complete = numbers.length === parts && numbers.every((n, k) => n === k + 1);
  if (!complete || programs.some((p) => p.parts !== parts)) {
    const message = `${name} has parts ${numbers.join(', ')} of ${parts}`;
    found.push(manifestFinding(record, message, { operation }));
  }
  const worked = sitesWorkedOn(checked.filter(({ entry }) => isOwn(entry)));
  for (const site of worked ? programs.flatMap((p) => p.sites) : []) {
    if (worked!.has(site)) continue;
    found.push(manifestFinding(record, `site ${site} of ${name} is worked on by no part`, { site }));
  }
  return found;
}

/** Sites that the parts of an operation work on; null when its work has none, or when nothing could be simulated. */
function sitesWorkedOn(parts: readonly CheckedProgram[]): ReadonlySet<string> | null {
  const lists = parts.flatMap(({ simulated }) => (simulated?.sites ? [simulated.sites] : []));
  return lists.length === 0 ? null : new Set(lists.flat());
}

/** What header and manifest claim of a program against what it does. */
function checkClaims({ record, entry, simulated }: CheckedProgram): Diagnostic[] {
  if (!simulated) return [];
  const { c } = simulated;
  const own = ownClaims(c, entry);
  const found = [...checkHeader(c, entry, own), ...checkHeaderWords(c, entry)];
  if (!minutesFit(entry.minutes, own, c, entry.parts)) {
    found.push(
      report({
        code: 'documents/minutes',
        ...inFile(manifestFile(record)),
        message: `${entry.file}: ${entry.minutes} minutes are claimed, the motions take ${fixed(own.minutes, 1)}`,
        facts: { file: entry.file, found: entry.minutes, expected: own.minutes },
      }),
    );
  }
  for (const message of manifestDisagreements(c, entry, own)) {
    found.push(manifestFinding(record, `${entry.file}: ${message}`, { file: entry.file }));
  }
  return found;
}
