import type { Diagnostic } from '@bedledger/diagnostics';
import { hasStop, sortDiagnostics } from '@bedledger/diagnostics';
import { type Fault, faultToDiagnostic } from '../checks/fault.ts';
import { heightFindings } from '../checks/heights.ts';
import { ledgerFaults } from '../checks/ledger.ts';
import { machineFaults } from '../checks/machine.ts';
import { resolveControllerFaults } from '../controller/resolve.ts';
import { parseHeights } from '../csv/heights.ts';
import { parseSurvey } from '../csv/survey.ts';
import { currentHeights } from '../ledger/current-map.ts';
import { inForce } from '../ledger/datum.ts';
import { examineLedger } from '../ledger/recover.ts';
import { foldLedger } from '../ledger/state.ts';
import { DUTIES, type Machine } from '../model/machine.ts';
import type { HeightMap, MachineRecord, SourceFile, Survey } from '../model/record.ts';
import { normaliseLedger } from '../normal/ledger.ts';
import { normaliseMachine } from '../normal/machine.ts';
import { validateYaml } from '../source/validate.ts';
import { ledgerSchema } from '../written/ledger.ts';
import { machineSchema } from '../written/machine.ts';
import type { Units } from '../written/quantity.ts';
import { canonicalJson } from './canonical.ts';
import { type FileText, sha256 } from './files.ts';
import { SHARED_PATHS, type SharedData } from './shared.ts';

/** The files of one machine's folder, as read. */
export interface MachineFiles {
  /** Name of the folder. */
  readonly id: string;
  readonly profile: FileText | null;
  readonly ledger: FileText | null;
  readonly survey: FileText | null;
  /** Every `heights/*.csv`. */
  readonly heights: readonly FileText[];
  readonly package: FileText | null;
}

export interface ParsedMachine {
  readonly id: string;
  /** Null when anything of severity stop was found. */
  readonly record: MachineRecord | null;
  readonly diagnostics: readonly Diagnostic[];
}

/** `1.4.0`, optionally with a pre-release part. */
const VERSION = /^\d{1,6}\.\d{1,6}\.\d{1,6}(?:-[0-9A-Za-z.-]{1,30})?$/;

function missingFile(path: string, what: string, help: string): Diagnostic {
  return {
    code: 'file/missing',
    severity: 'stop',
    message: `${what} is missing`,
    place: { file: path },
    help,
  };
}

function parseVersion(file: FileText | null, id: string, diagnostics: Diagnostic[]): string | null {
  const path = `machines/${id}/package.json`;
  if (!file) {
    diagnostics.push(
      missingFile(
        path,
        '`package.json`',
        "write one with a `version`: it is the revision on the machine's papers",
      ),
    );
    return null;
  }
  let data: unknown;
  try {
    data = JSON.parse(file.text);
  } catch (error) {
    diagnostics.push({
      code: 'file/not-json',
      severity: 'stop',
      message: `the file is not JSON: ${(error as Error).message}`,
      place: { file: file.path },
      help: 'correct its syntax',
    });
    return null;
  }
  const version =
    typeof data === 'object' && data !== null ? (data as Record<string, unknown>).version : undefined;
  if (typeof version !== 'string' || !VERSION.test(version)) {
    diagnostics.push({
      code: 'file/version',
      severity: 'stop',
      message: `\`version\` is ${version === undefined ? 'missing' : JSON.stringify(version)}, expected three numbers such as \`1.4.0\``,
      place: { file: file.path },
      help: 'give the machine a version: it is the revision on its papers',
    });
    return null;
  }
  return version;
}

/**
 * One machine from the texts of its files. No input or output, nothing thrown: everything wrong, in every file of the
 * machine, is in `diagnostics`, sorted, each with file, line and column.
 */
export function parseMachine(files: MachineFiles, shared: SharedData): ParsedMachine {
  const diagnostics: Diagnostic[] = [];
  const folder = `machines/${files.id}`;

  let machine: Machine | null = null;
  let units: Units = 'mm';
  if (!files.profile) {
    diagnostics.push(
      missingFile(
        `${folder}/machine.yaml`,
        '`machine.yaml`',
        `run \`bedledger new ${files.id}\` for a first one`,
      ),
    );
  } else {
    const profile = validateYaml(machineSchema, files.profile.path, files.profile.text, 'profile');
    diagnostics.push(...profile.diagnostics);
    const data = profile.source.data as { units?: unknown } | undefined;
    if (data?.units === 'in') units = 'in';
    if (profile.written) {
      const written = profile.written;
      machine = normaliseMachine(written).machine;
      const faults: Fault[] = [
        ...resolveControllerFaults(written.controller, written.units, machine.motion.maxFeed.xy).faults,
        ...machineFaults(written, machine, files.id, shared),
      ];
      diagnostics.push(...faults.map((f) => faultToDiagnostic(f, profile.source, 'profile')));
    }
  }
  // A machine that is wrong must not make a good ledger look wrong.
  const sound = machine !== null && !hasStop(diagnostics) ? machine : null;

  let survey: Survey | null = null;
  if (files.survey) {
    const parsed = parseSurvey(files.survey.path, files.survey.text, units, 'survey.csv');
    diagnostics.push(...parsed.diagnostics);
    survey = parsed.survey;
  }
  const heights: HeightMap[] = [];
  const maps: { map: HeightMap; lines: readonly number[]; path: string }[] = [];
  for (const file of files.heights) {
    const parsed = parseHeights(file.path, file.text, units, file.path.slice(folder.length + 1));
    diagnostics.push(...parsed.diagnostics);
    if (parsed.heights) {
      heights.push(parsed.heights);
      maps.push({ map: parsed.heights, lines: parsed.lines, path: file.path });
    }
  }

  let ledger: MachineRecord['ledger'] | null = null;
  let state: MachineRecord['state'] | null = null;
  if (!files.ledger) {
    diagnostics.push(
      missingFile(
        `${folder}/ledger.yaml`,
        '`ledger.yaml`',
        'when nothing was ever done to this bed, write `units: mm` and `facts: []`; otherwise bring the file back',
      ),
    );
  } else {
    const parsed = validateYaml(ledgerSchema, files.ledger.path, files.ledger.text, 'ledger');
    diagnostics.push(...parsed.diagnostics);
    if (parsed.diagnostics.length > 0) {
      const damage = examineLedger(files.ledger.path, files.ledger.text);
      // A file that ends in the middle of an entry is damage; a mistake in an entry that is whole is a mistake.
      const torn =
        parsed.diagnostics.some((d) => d.code.startsWith('yaml/')) ||
        damage?.diagnostics[0]?.facts?.damaged === 1;
      if (damage && torn && damage.rest !== files.ledger.text) diagnostics.push(...damage.diagnostics);
    }
    if (parsed.written) {
      ledger = normaliseLedger(parsed.written);
      const limit = shared.house?.survey.limit ?? 0;
      const today = sound ? inForce(ledger, survey, sound, limit) : { ledger, survey, faults: [] };
      survey = today.survey;
      const folded = foldLedger(today.ledger, sound ?? undefined);
      state = folded.state;
      const faults = [
        ...today.faults,
        ...folded.faults,
        ...missingMaps(ledger, files),
        ...(sound ? ledgerFaults(ledger, sound, shared) : []),
      ];
      diagnostics.push(...faults.map((f) => faultToDiagnostic(f, parsed.source, 'ledger')));
      const current = currentHeights(heights, state);
      const own = maps.find((m) => m.map === current);
      if (own && sound) diagnostics.push(...heightFindings(own.map, own.lines, own.path, sound, state.board));
    }
  }

  const revision = parseVersion(files.package, files.id, diagnostics);
  const fixing = machine ? shared.fixing(machine.fixing.use) : null;
  if (fixing) diagnostics.push(...fixing.diagnostics);
  const stock = machine ? shared.boards?.get(machine.board.stock) : undefined;

  const sorted = sortDiagnostics(diagnostics);
  if (
    hasStop(sorted) ||
    !machine ||
    !ledger ||
    !state ||
    !revision ||
    !fixing?.fixing ||
    !stock ||
    !shared.cutters ||
    !shared.house
  ) {
    return { id: files.id, record: null, diagnostics: sorted };
  }
  const record: MachineRecord = {
    machine,
    ledger,
    state,
    survey,
    heights,
    house: shared.house,
    fixing: fixing.fixing,
    stock,
    cutters: shared.cutters,
    revision,
    sources: sourcesOf(files, machine, shared, revision),
  };
  return { id: files.id, record, diagnostics: sorted };
}

function missingMaps(ledger: MachineRecord['ledger'], files: MachineFiles): Fault[] {
  const have = new Set(files.heights.map((h) => h.path.slice(`machines/${files.id}/`.length)));
  const faults: Fault[] = [];
  for (const [i, f] of ledger.facts.entries()) {
    const path = f.fact === 'heights' ? f.file : f.fact === 'skim' ? f.heights : undefined;
    if (path !== undefined && !have.has(path)) {
      faults.push({
        word: 'missing-map',
        path: ['facts', i, f.fact === 'heights' ? 'file' : 'heights'],
        message: `there is no file \`${path}\` in machines/${files.id}`,
        help: 'height maps are kept in `heights/`; bring the file back or correct its name',
      });
    }
    if (f.fact === 'survey' && !files.survey) {
      faults.push({
        word: 'missing-survey',
        path: ['facts', i, 'file'],
        message: `the bed was surveyed, but there is no \`survey.csv\` in machines/${files.id}`,
        help: 'bring the file back',
      });
    }
  }
  return faults;
}

/** Input files of one machine; of the shared lists only the entries it uses, so that others do not touch it. */
function sourcesOf(
  files: MachineFiles,
  machine: Machine,
  shared: SharedData,
  revision: string,
): SourceFile[] {
  const sources: SourceFile[] = [];
  for (const f of [files.profile, files.ledger, files.survey, ...files.heights]) {
    if (f) sources.push({ path: f.path, sha256: f.sha256 });
  }
  sources.push({ path: `machines/${files.id}/package.json#version`, sha256: sha256(revision) });
  const entry = (path: string, id: string, value: unknown) =>
    sources.push({ path: `${path}#${id}`, sha256: sha256(canonicalJson(value)) });
  const used = [...new Set(DUTIES.flatMap((duty) => machine.cutters[duty] ?? []))].sort();
  for (const id of used) entry(SHARED_PATHS.cutters, id, shared.cutters?.get(id));
  entry(SHARED_PATHS.boards, machine.board.stock, shared.boards?.get(machine.board.stock));
  entry(SHARED_PATHS.fixings, machine.fixing.use, shared.fixings?.get(machine.fixing.use));
  if (shared.houseFile) sources.push({ path: shared.houseFile.path, sha256: shared.houseFile.sha256 });
  return sources.sort((a, b) => (a.path < b.path ? -1 : a.path > b.path ? 1 : 0));
}
