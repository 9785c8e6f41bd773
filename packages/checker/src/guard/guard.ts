import { type Diagnostic, raised } from '@bedledger/diagnostics';
import type { MachineRecord } from '@bedledger/fleet';
import type { GuardOptions, GuardReport, ProgramFigures, ProgramFile } from '../model.ts';
import type { Case } from '../programs/case.ts';
import { checkFeeds } from '../programs/feeds.ts';
import { checkHomes } from '../programs/homes.ts';
import { checkOutputs } from '../programs/outputs.ts';
import { checkSpindle } from '../programs/spindle.ts';
import { checkTools, type ToolStretch, toolStretches } from '../programs/tools.ts';
import { checkBedDepth, checkBesideBed, checkSolids, checkTravel } from '../programs/travel.ts';
import { inFile, report } from '../report.ts';
import { makesPathUnknown } from '../rules/table.ts';
import type { HeightField } from '../simulation/height-field.ts';
import { knownExtents, motionsOf } from '../simulation/motions.ts';
import { type Simulation, simulate } from '../simulation/simulate.ts';
import { NOT_SAID, type Trace } from '../trace.ts';
import { checkBeside, checkDepths, deepestFirst, deepestOf, nearestOf } from './depths.ts';
import { checkDividers } from './divider.ts';
import { inAJob, oneOfEachKind } from './habits.ts';
import { type GuardPicture, pictureOf } from './picture.ts';
import { checkJobPlaces, checkMachinePlaces, checkOffsets, withHomeLifts } from './places.ts';
import { checkJobRapids } from './rapids.ts';
import { forEachReading, type Reading } from './readings.ts';
import { type JobSetting, settingOf } from './setting.ts';
import { traceOf } from './stretches.ts';
import { toolsOf } from './tools.ts';

/** What nobody can know from job and record: no verdict on the job, but none against it either. */
const UNKNOWABLE: ReadonlySet<string> = new Set([
  'guard/no-tool',
  'guard/cutter-contradiction',
  'guard/tool-change',
  'guard/screws-unknown',
  'program/machine-coordinates',
  'program/home-low',
  'guard/offset-unknown',
  'guard/budget',
  'program/unknown-place',
]);

/** Of these, what leaves open where the cutter goes: behind it nothing that is found is certain. */
const PATH_UNKNOWN: ReadonlySet<string> = new Set([
  'program/machine-coordinates',
  'program/home-low',
  'guard/offset-unknown',
  'program/unknown-place',
]);

/** Steps of simulation that a job may take in all its readings, see `Simulation.steps`. */
const BUDGET = 1_200_000_000;

/**
 * May this job's program run on this bed today? Reads it as the machine's controller would, in every way in which it can
 * be read, and runs it over the bed as the ledger has it.
 *
 * @throws RangeError when an option is not usable
 */
export function guard(record: MachineRecord, program: ProgramFile, options: GuardOptions): GuardReport {
  return runAll(record, program, options, false).report;
}

/** What a picture of the job must show, see {@link GuardPicture}. */
export function guardPicture(
  record: MachineRecord,
  program: ProgramFile,
  options: GuardOptions,
): GuardPicture {
  return guardWithPicture(record, program, options).picture;
}

/** Report and picture in one reading. */
export function guardWithPicture(
  record: MachineRecord,
  program: ProgramFile,
  options: GuardOptions,
): { report: GuardReport; picture: GuardPicture } {
  const { report, picture } = runAll(record, program, options, true);
  return { report, picture: picture! };
}

function checkOptions(record: MachineRecord, { allowedDepth, cutter, cutters, work }: GuardOptions): void {
  if (!(allowedDepth >= 0 && Number.isFinite(allowedDepth))) {
    throw new RangeError(`allowedDepth must be a depth in mm, at least 0, found ${allowedDepth}`);
  }
  for (const named of [cutter, ...(cutters?.values() ?? [])]) {
    if (typeof named !== 'string' || record.cutters.has(named)) continue;
    const known = [...record.cutters.keys()].sort().join(', ');
    throw new RangeError(`no cutter \`${named}\` in the shared list; known are ${known}`);
  }
  if (work && !(work.thickness > 0 && Number.isFinite(work.thickness))) {
    throw new RangeError(`the thickness of the sheet must be a length in mm, found ${work.thickness}`);
  }
  if (work?.place && !work.place.size.every((side) => side > 0 && Number.isFinite(side))) {
    throw new RangeError(`the sheet must have a size in mm, found ${work.place.size.join(' by ')}`);
  }
}

/** One reading of the job, run over the bed as it stands. */
interface Run {
  readonly understood: boolean;
  readonly findings: readonly Diagnostic[];
  readonly figures: ProgramFigures;
  readonly deepest: GuardReport['deepest'];
  readonly nearest: GuardReport['nearest'];
  readonly assumptions: readonly string[];
  readonly steps: number;
}

function runAll(
  record: MachineRecord,
  program: ProgramFile,
  options: GuardOptions,
  drawn: boolean,
): { report: GuardReport; picture: GuardPicture | null } {
  checkOptions(record, options);
  const setting = settingOf(record, options);
  const runs: Run[] = [];
  let picture: GuardPicture | null = null;
  let left = BUDGET;
  forEachReading(program, record.machine, setting.zeroHeight, (reading) => {
    const cases: Case[] = [];
    const run = runOnce({ record, program, options, setting, reading, budget: left }, cases);
    left = Math.max(0, left - run.steps);
    runs.push(run);
    if (drawn && picture === null) picture = pictureOf(cases);
  });
  const findings = raised(unique(runs.flatMap((run) => run.findings)), record.house.raise);
  return {
    report: {
      verdict: verdictOf(
        findings,
        runs.every((run) => run.understood),
      ),
      assumptions: [...setting.assumptions, ...(runs[0]?.assumptions ?? [])],
      findings: oneOfEachKind(findings),
      notUnderstood: oneOfEachKind(findings.filter(isUnknown)),
      figures: runs.map((run) => run.figures),
      deepest: deepestFirst(runs.flatMap((run) => run.deepest)),
      nearest: nearestOf(runs.flatMap((run) => run.nearest)),
    },
    picture,
  };
}

function isUnknown({ code, severity }: Diagnostic): boolean {
  return severity === 'stop' && (makesPathUnknown(code) || UNKNOWABLE.has(code));
}

/** What comes before the first thing that leaves the path open is certain, and weighs more than what is not known. */
function verdictOf(findings: readonly Diagnostic[], understood: boolean): GuardReport['verdict'] {
  const unknown = findings.filter(isUnknown);
  const open = unknown.filter(({ code }) => makesPathUnknown(code) || PATH_UNKNOWN.has(code));
  const firstOpen =
    open.length > 0 ? Math.min(...open.map((d) => d.place?.line ?? 0)) : understood ? Infinity : 0;
  const stops = findings.filter((d) => d.severity === 'stop' && !isUnknown(d));
  if (stops.some((d) => firstOpen === Infinity || (d.place?.line ?? Infinity) < firstOpen)) return 'may-not';
  return unknown.length > 0 || !understood ? 'cannot-vouch' : 'may-run';
}

/** The one stretch of a job without a motion. */
const NOTHING: ToolStretch = { tool: NOT_SAID, from: 0, to: 0, line: 1 };

interface Job {
  readonly record: MachineRecord;
  readonly program: ProgramFile;
  readonly options: GuardOptions;
  readonly setting: JobSetting;
  readonly reading: Reading;
  readonly budget: number;
}

/** Runs one reading, stretch by stretch, each with the cutter that is in the spindle then; puts the stretches into `cases`. */
function runOnce({ record, program, options, setting, reading, budget }: Job, cases: Case[]): Run {
  const { scene, zeroHeight } = setting;
  const trace = withHomeLifts(reading.trace, record, zeroHeight);
  const tools = toolsOf(record, program, trace, options);
  const stretches = trace.length > 0 ? toolStretches(trace) : [NOTHING];
  const finest = Math.min(...stretches.map(({ tool }) => tools.spindleFor(tool).simulated.shape.radius));
  const findings: Diagnostic[] = [
    ...checkBoard(record, program),
    ...checkScrews(scene.unknownScrews, program),
    ...tools.missing,
  ];
  let field: HeightField | null = null;
  let steps = 0;
  let first: Case | null = null;
  for (const stretch of stretches) {
    const own = traceOf(trace, stretch);
    const { cutter, simulated } = tools.spindleFor(stretch.tool);
    const simulation = simulate(own, scene, simulated, {
      zeroHeight,
      field,
      finest,
      budget: Math.max(0, budget - steps),
    });
    field = simulation.field;
    steps += simulation.steps;
    const c: Case = { record, file: program, trace: own, scene, simulation, cutter, zeroHeight };
    cases.push(c);
    first ??= c;
    findings.push(...checkStretch(c, setting, options));
    if (simulation.gaveUpAt === null) continue;
    findings.push(gaveUp(c, simulation.gaveUpAt));
    break;
  }
  const whole: Case = {
    ...first!,
    trace,
    simulation: {
      ...first!.simulation,
      motions: motionsOf(trace, zeroHeight),
      inside: joined(cases, new Uint8Array(trace.length), ({ inside }) => inside),
      removed: joined(cases, new Float64Array(trace.length), ({ removed }) => removed),
    },
  };
  findings.push(
    ...checkTools(whole),
    ...checkHomes({ ...whole, trace: reading.trace }),
    ...checkMachinePlaces({ ...whole, trace: reading.trace }),
    ...checkOffsets(program, trace),
    ...checkOutputs(whole, 'elsewhere'),
  );
  const told = [...trace.findings.map((d) => inAJob(d, first!, Boolean(options.work))), ...findings];
  return {
    understood: trace.understood,
    findings: told.map((d) => withLabel(d, reading.label)),
    figures: figuresOf(program, cases),
    deepest: cases.flatMap(deepestOf),
    nearest: cases.flatMap(nearestTo),
    assumptions: [...tools.assumptions, ...offsetAssumption(record, trace)],
    steps,
  };
}

/** A column of the stretches that were simulated, one after another; zeros behind where guard gave up. */
function joined<T extends Uint8Array | Float64Array>(
  cases: readonly Case[],
  into: T,
  column: (simulation: Simulation) => T,
): T {
  let at = 0;
  for (const { simulation } of cases) {
    const part = column(simulation);
    into.set(part, at);
    at += part.length;
  }
  return into;
}

function checkStretch(c: Case, { feedRecord }: JobSetting, options: GuardOptions): Diagnostic[] {
  const sheet = Boolean(options.work);
  const judged = [
    ...checkTravel(c),
    ...checkSolids(c),
    ...checkJobRapids(c),
    ...checkSpindle(c),
    ...checkFeeds({ ...c, record: feedRecord }),
  ];
  return [
    ...judged.map((finding) => inAJob(finding, c, sheet)),
    ...checkJobPlaces(c),
    ...checkDepths(c, options.allowedDepth),
    ...checkBeside(c),
    ...checkBedDepth(c, 'to-cut-limit'),
    ...checkBesideBed(c),
    ...checkDividers(c),
  ];
}

function gaveUp(c: Case, motion: number): Diagnostic {
  const message = `the job is more than can be followed: guard gave up at motion ${motion + 1} of ${c.trace.length}`;
  return report({ code: 'guard/budget', ...inFile(c.file, c.trace.line[motion]!), message });
}

function offsetAssumption({ machine }: MachineRecord, trace: Trace): string[] {
  if (machine.controller.workOffset === 'none' || !trace.workOffset.includes(0)) return [];
  return ['offset: the job states none at first; G54, which a program end leaves, is taken to be in force'];
}

function withLabel(finding: Diagnostic, label: string): Diagnostic {
  return label === '' ? finding : { ...finding, message: `${finding.message} (${label})` };
}

function nearestTo(c: Case): GuardReport['nearest'] {
  return c.simulation.approaches.map((a) => ({
    name: a.solid.name,
    distance: a.distance,
    line: c.trace.line[a.motion]!,
  }));
}

/** What the stretches of one reading do together. */
function figuresOf(program: ProgramFile, cases: readonly Case[]): ProgramFigures {
  const extents = cases.map(({ simulation }) => knownExtents(simulation.extents)).filter((e) => e !== null);
  const over = (axis: 'x' | 'y' | 'z'): readonly [number, number] => [
    Math.min(...extents.map((e) => e[axis][0])),
    Math.max(...extents.map((e) => e[axis][1])),
  ];
  const depths = (of: 'deepestBed' | 'deepestBoard'): number | null => {
    const found = cases.map(({ simulation }) => simulation[of]?.z).filter((z) => z !== undefined);
    return found.length === 0 ? null : Math.min(...found);
  };
  const bed = depths('deepestBed');
  const [nearest] = nearestOf(cases.flatMap(nearestTo));
  return {
    path: program.path,
    extents: extents.length === 0 ? null : { x: over('x'), y: over('y'), z: over('z') },
    deepestBed: bed === null ? null : -bed,
    deepestBoard: depths('deepestBoard'),
    nearestMetal: nearest ?? null,
    removedVolume: cases.reduce((sum, { simulation }) => sum + simulation.removedVolume, 0),
    unsurfacedArea: null,
    minutes: cases.reduce((sum, { simulation }) => sum + simulation.totalSeconds, 0) / 60,
    sites: [],
  };
}

function checkScrews(unknown: readonly string[], program: ProgramFile): Diagnostic[] {
  const [site] = unknown;
  if (site === undefined) return [];
  const message = `the ledger does not say which screws stand in the board (${unknown.length === 1 ? `at ${site}` : `at ${unknown.length} sites, ${site} among them`})`;
  return [report({ code: 'guard/screws-unknown', ...inFile(program), message })];
}

function checkBoard({ state }: MachineRecord, program: ProgramFile): Diagnostic[] {
  if (state.board) return [];
  const message = 'the ledger has no fitted board; the job is checked over the bare bed';
  return [report({ code: 'guard/no-board', ...inFile(program), message })];
}

/** The same thing found in several readings is told once, by the first. */
function unique(list: readonly Diagnostic[]): Diagnostic[] {
  const seen = new Set<string>();
  return list.filter((d) => {
    const key = `${d.code} ${d.place?.line ?? 0} ${d.message.replace(/ \((?:with block delete on|[^()]*read the other way)\)/g, '')}`;
    if (seen.has(key)) return false;
    seen.add(key);
    return true;
  });
}
