import { type Diagnostic, hasStop, sortDiagnostics, type Units } from '@bedledger/diagnostics';
import { heightFindings } from '../checks/heights.ts';
import { bedFactFindings } from '../checks/ledger.ts';
import { machineFindings } from '../checks/machine.ts';
import { parseHeights } from '../csv/heights.ts';
import { parseSurvey } from '../csv/survey.ts';
import { currentHeights } from '../ledger/current-map.ts';
import { type InForce, inForce } from '../ledger/datum.ts';
import { foldLedger } from '../ledger/fold.ts';
import { mergeFindings } from '../ledger/merged.ts';
import { examineLedger } from '../ledger/recover.ts';
import { strikeWithdrawn } from '../ledger/withdrawn.ts';
import type { BedState, Ledger } from '../model/ledger.ts';
import { DUTIES, type Machine } from '../model/machine.ts';
import type { HeightMap, MachineRecord, SourceFile, Survey } from '../model/record.ts';
import { normaliseLedger } from '../normal/ledger.ts';
import { normaliseMachine } from '../normal/machine.ts';
import { below, type Findings, type Locator, report, type Spot } from '../report.ts';
import { mergeMarkers } from '../source/merge-markers.ts';
import { validateYaml } from '../source/validate.ts';
import { ledgerSchema } from '../written/ledger.ts';
import { machineSchema } from '../written/machine.ts';
import { canonicalJson } from './canonical.ts';
import { type FileText, sha256 } from './files.ts';
import { missingFile, missingLedger } from './missing-file.ts';
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

/**
 * One machine from the texts of its files. No input or output, nothing thrown: everything wrong, in every file of the
 * machine, is in `diagnostics`, sorted, each with file, line and column.
 */
export function parseMachine(files: MachineFiles, shared: SharedData): ParsedMachine {
  const diagnostics: Diagnostic[] = [];
  const { machine, units } = readProfile(files, shared, diagnostics);
  // A machine that is wrong must not make a good ledger look wrong.
  const sound = hasStop(diagnostics) ? null : machine;
  const drawn = readSurvey(files, units, diagnostics);
  const maps = readHeights(files, units, diagnostics);
  const ledger = readLedger(files, { units, machine: sound, survey: drawn, shared }, diagnostics);
  const heights = maps.map(({ map }) => ledger?.today?.heights(map) ?? map);
  if (ledger && sound) {
    const { today, state } = ledger;
    const map = currentHeights(heights, state);
    const spot = map && maps[heights.indexOf(map)]?.spot;
    if (map && spot) diagnostics.push(...heightFindings(map, today?.machine ?? sound, state.board, spot));
  }
  const revision = readVersion(files, diagnostics);
  const resolved = machine && shared.fixing(machine.fixing.use, units);
  if (resolved) diagnostics.push(...resolved.diagnostics);
  const fixing = resolved?.fixing;
  const plannedStock = machine && shared.boards?.get(machine.board.stock);
  const fitted = ledger?.state.board;
  const stock = fitted ? shared.boards?.get(fitted.stock) : plannedStock;

  const sorted = sortDiagnostics(diagnostics);
  const { id } = files;
  const { cutters, house } = shared;
  const complete = machine && ledger && revision && fixing && stock && plannedStock && cutters && house;
  if (hasStop(sorted) || !complete) return { id, record: null, diagnostics: sorted };
  const record: MachineRecord = {
    machine: ledger.today?.machine ?? machine,
    ledger: ledger.ledger,
    state: ledger.state,
    survey: ledger.survey,
    heights,
    house,
    planned: fixing,
    stock,
    plannedStock,
    cutters,
    revision,
    sources: sourcesOf(files, { machine, fitted: stock.id, shared, revision }),
  };
  return { id, record, diagnostics: sorted };
}

/** The machine of a profile, right or wrong, and the units that the profile states. */
function readProfile(
  { id, profile }: MachineFiles,
  shared: SharedData,
  diagnostics: Diagnostic[],
): { machine: Machine | null; units: Units } {
  if (!profile) {
    diagnostics.push(
      missingFile(`machines/${id}/machine.yaml`, `run \`bedledger new ${id}\` for a first one`),
    );
    return { machine: null, units: 'mm' };
  }
  const {
    written,
    source,
    diagnostics: found,
  } = validateYaml(machineSchema, profile.path, profile.text, 'profile');
  diagnostics.push(...found);
  const stated = (source.data as { units?: unknown } | null | undefined)?.units;
  const units = stated === 'in' ? 'in' : 'mm';
  if (!written) return { machine: null, units };
  const { machine, diagnostics: controller } = normaliseMachine(written, source.at);
  diagnostics.push(...controller, ...machineFindings(written, machine, id, shared, source.at));
  return { machine, units };
}

function readSurvey({ survey }: MachineFiles, units: Units, diagnostics: Diagnostic[]): Survey | null {
  if (!survey) return null;
  const parsed = parseSurvey(survey.path, survey.text, units, SURVEY_FILE);
  diagnostics.push(...parsed.diagnostics);
  return parsed.survey;
}

interface ReadMap {
  readonly map: HeightMap;
  /** Place of a point's row by its index; of the file for null. */
  readonly spot: (index: number | null) => Spot;
}

function readHeights(files: MachineFiles, units: Units, diagnostics: Diagnostic[]): ReadMap[] {
  return files.heights.flatMap(({ path, text }) => {
    const parsed = parseHeights(path, text, units, path.slice(`machines/${files.id}/`.length));
    diagnostics.push(...parsed.diagnostics);
    if (!parsed.heights) return [];
    const spot = (index: number | null): Spot => {
      const line = index === null ? undefined : parsed.lines[index];
      return { place: line === undefined ? { file: path } : { file: path, line, column: 1 } };
    };
    return [{ map: parsed.heights, spot }];
  });
}

interface LedgerCase {
  readonly units: Units;
  /** Null where the profile is wrong. */
  readonly machine: Machine | null;
  readonly survey: Survey | null;
  readonly shared: SharedData;
}

/** The ledger as it stands in its file, and survey and bed as they are today. */
function readLedger(
  files: MachineFiles,
  { units, machine, survey, shared }: LedgerCase,
  diagnostics: Diagnostic[],
): (Pick<InForce, 'ledger' | 'survey'> & { today: InForce | null; state: BedState }) | null {
  const file = files.ledger;
  if (!file) {
    diagnostics.push(missingLedger(`machines/${files.id}/ledger.yaml`));
    return null;
  }
  const parsed = validateYaml(ledgerSchema, file.path, file.text, 'ledger');
  diagnostics.push(...parsed.diagnostics);
  if (!parsed.written) {
    diagnostics.push(...damageOf(file, parsed.diagnostics));
    return null;
  }
  const { at } = parsed.source;
  const standing = strikeWithdrawn(normaliseLedger(parsed.written), at);
  const { ledger } = standing;
  const limit = shared.house?.survey.limit ?? 0;
  const today = machine && inForce(ledger, survey, machine, limit, at);
  const folded = foldLedger(today?.ledger ?? ledger, machine, units, at);
  diagnostics.push(
    ...standing.diagnostics,
    ...(today?.diagnostics ?? []),
    ...folded.diagnostics,
    ...mergeFindings(ledger, units, file.text, at),
    ...missingReadings(ledger, files, at),
    ...(machine ? bedFactFindings(ledger, machine, shared, at) : []),
  );
  return { ledger, survey: today ? today.survey : survey, today: today ?? null, state: folded.state };
}

/** A file that ends in the middle of an entry is damage; a mistake in an entry that is whole is a mistake. */
function damageOf(file: FileText, found: readonly Diagnostic[]): readonly Diagnostic[] {
  const damage = examineLedger(file.path, file.text);
  if (!damage || damage.rest === file.text) return [];
  const torn = found.some((d) => d.code.startsWith('yaml/')) || damage.diagnostics[0]?.facts?.damaged === 1;
  return torn ? damage.diagnostics : [];
}

/** The one file that the readings of a survey are taken from, in the machine's folder. */
export const SURVEY_FILE = 'survey.csv';

/** Height maps and survey that the ledger names must be there. */
function* missingReadings(ledger: Ledger, files: MachineFiles, ledgerAt: Locator): Findings {
  const folder = `machines/${files.id}`;
  const latestSurvey = ledger.facts.findLastIndex((f) => f.fact === 'survey');
  const have = new Set(files.heights.map((h) => h.path.slice(folder.length + 1)));
  for (const [i, f] of ledger.facts.entries()) {
    const at = below(ledgerAt, 'facts', i);
    const [field, path] =
      f.fact === 'heights' ? ['file', f.file] : f.fact === 'skim' ? ['heights', f.heights] : [];
    if (field !== undefined && path !== undefined && !have.has(path)) {
      yield report({
        code: 'ledger/missing-map',
        ...at([field]),
        message: `there is no file \`${path}\` in ${folder}`,
        help: 'height maps are kept in `heights/`; bring the file back or correct its name',
      });
    }
    if (f.fact === 'survey' && i === latestSurvey && f.file !== SURVEY_FILE) {
      yield report({
        code: 'ledger/missing-survey',
        ...at(['file']),
        message: `the bed was surveyed into \`${f.file}\`, but the readings are taken from \`${SURVEY_FILE}\` in ${folder} and from no other file`,
        help: `copy the readings into \`${SURVEY_FILE}\` and correct the name`,
      });
    } else if (f.fact === 'survey' && !files.survey) {
      yield report({
        code: 'ledger/missing-survey',
        ...at(['file']),
        message: `the bed was surveyed, but there is no \`${SURVEY_FILE}\` in ${folder}`,
      });
    }
  }
}

/** `1.4.0`, optionally with a pre-release part. */
const VERSION = /^\d{1,6}\.\d{1,6}\.\d{1,6}(?:-[0-9A-Za-z.-]{1,30})?$/;

/** The version of the machine's package; null, with a finding, where there is none. */
function readVersion(files: MachineFiles, diagnostics: Diagnostic[]): string | null {
  const file = files.package;
  if (!file) {
    const help = "write one with a `version`: it is the revision on the machine's papers";
    diagnostics.push(missingFile(`machines/${files.id}/package.json`, help));
    return null;
  }
  const markers = mergeMarkers(file.path, file.text);
  if (markers) {
    diagnostics.push(markers);
    return null;
  }
  const place = { file: file.path };
  let data: unknown;
  try {
    data = JSON.parse(file.text);
  } catch (error) {
    const message = `the file is not JSON: ${(error as Error).message}`;
    diagnostics.push(report({ code: 'file/not-json', place, message }));
    return null;
  }
  const version = (data as { version?: unknown } | null)?.version;
  if (typeof version === 'string' && VERSION.test(version)) return version;
  const found = version === undefined ? 'missing' : JSON.stringify(version);
  const message = `\`version\` is ${found}, expected three numbers such as \`1.4.0\``;
  diagnostics.push(report({ code: 'file/version', place, message }));
  return null;
}

/** Input files of one machine; of the shared lists only the entries it uses, so that others do not touch it. */
function sourcesOf(
  files: MachineFiles,
  {
    machine,
    fitted,
    shared,
    revision,
  }: {
    readonly machine: Machine;
    /** Stock of the board on the bed. */
    readonly fitted: string;
    readonly shared: SharedData;
    readonly revision: string;
  },
): SourceFile[] {
  const sources: SourceFile[] = [];
  for (const f of [files.profile, files.ledger, files.survey, ...files.heights, shared.houseFile]) {
    if (f) sources.push({ path: f.path, sha256: f.sha256 });
  }
  sources.push({ path: `machines/${files.id}/package.json#version`, sha256: sha256(revision) });
  const entry = (path: string, id: string, value: unknown) =>
    sources.push({ path: `${path}#${id}`, sha256: sha256(canonicalJson(value)) });
  const used = new Set(DUTIES.flatMap((duty) => machine.cutters[duty] ?? []));
  for (const id of used) entry(SHARED_PATHS.cutters, id, shared.cutters?.get(id));
  for (const id of new Set([machine.board.stock, fitted]))
    entry(SHARED_PATHS.boards, id, shared.boards?.get(id));
  entry(SHARED_PATHS.fixings, machine.fixing.use, shared.fixings?.get(machine.fixing.use));
  return sources.sort((a, b) => (a.path < b.path ? -1 : a.path > b.path ? 1 : 0));
}
