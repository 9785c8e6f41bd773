import { type Diagnostic, exactLength, exactPlace, raised } from '@bedledger/diagnostics';
import type { Cutter, MachineRecord } from '@bedledger/fleet';
import { bedAsItStands } from '../issued/operations.ts';
import type { GuardOptions, GuardReport, ProgramFigures, ProgramFile } from '../model.ts';
import { type Case, roundingOf, simulatedCutter } from '../programs/case.ts';
import { checkFeeds } from '../programs/feeds.ts';
import { checkRapids } from '../programs/rapids.ts';
import { checkSpindle } from '../programs/spindle.ts';
import { checkBedDepth, checkSolids, checkTravel } from '../programs/travel.ts';
import { readProgram } from '../reader/index.ts';
import { inFile, report } from '../report.ts';
import { makesPathUnknown } from '../rules/table.ts';
import { sceneOf } from '../scene/scene.ts';
import { flatShape } from '../simulation/cutter-shape.ts';
import { isPlaced, knownExtents } from '../simulation/motions.ts';
import { type SimulatedCutter, simulate } from '../simulation/simulate.ts';
import { MACHINE, RAPID, type Trace } from '../trace.ts';
import { checkDividers } from './divider.ts';
import { type GuardPicture, pictureOf } from './picture.ts';

/** What is not known of cutter or bed: no verdict on the job, but none against it either. */
const UNKNOWABLE: ReadonlySet<string> = new Set(['guard/no-tool', 'guard/screws-unknown']);

/** How many of the deepest and nearest places are listed. */
const LISTED = 10;

/**
 * May this job's program run on this bed today? Reads it as the machine's controller would, in both positions of the
 * block delete switch where that matters, and runs it over the bed as the ledger has it.
 *
 * @throws RangeError when an option is not usable
 */
export function guard(record: MachineRecord, program: ProgramFile, options: GuardOptions): GuardReport {
  return guardWithPicture(record, program, options).report;
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
  if (!(options.allowedDepth >= 0 && Number.isFinite(options.allowedDepth))) {
    throw new RangeError(`allowedDepth must be a depth in mm, at least 0, found ${options.allowedDepth}`);
  }
  if (typeof options.cutter === 'string' && !record.cutters.has(options.cutter)) {
    throw new RangeError(
      `no cutter \`${options.cutter}\` in the shared list; known are ${[...record.cutters.keys()].sort().join(', ')}`,
    );
  }
  const { machine } = record;
  const first = readProgram(program.text, program.path, machine.controller, { strict: false });
  const traces: { trace: Trace; label: string }[] = [{ trace: first, label: '' }];
  if (first.deletable > 0) {
    traces.push({
      trace: readProgram(program.text, program.path, machine.controller, {
        strict: false,
        blockDelete: true,
      }),
      label: 'with block delete on',
    });
  }
  const runs = traces.map(({ trace, label }) => runOnce(record, program, options, trace, label));
  const { raise } = record.house;
  const findings = raised(unique(runs.flatMap((run) => run.findings)), raise);
  const notUnderstood = raised(unique(runs.flatMap((run) => run.notUnderstood)), raise);
  const pathUnknown = runs.some((run) => !run.trace.understood) || notUnderstood.length > 0;
  const firstUnknown = Math.min(
    ...notUnderstood.map((d) => d.place?.line ?? 0),
    ...runs.filter((run) => !run.trace.understood && notUnderstood.length === 0).map(() => 0),
    Infinity,
  );
  const stops = findings.filter(
    (d) => d.severity === 'stop' && !makesPathUnknown(d.code) && !UNKNOWABLE.has(d.code),
  );
  // what comes before the first thing not understood is certain; behind it nothing is
  const certain = stops.some((d) => d.place?.line !== undefined && d.place.line < firstUnknown);
  const verdict = pathUnknown
    ? certain
      ? 'may-not'
      : 'cannot-vouch'
    : stops.length > 0
      ? 'may-not'
      : 'may-run';
  return {
    report: {
      verdict,
      findings,
      notUnderstood,
      figures: runs.map((run) => run.figures),
      deepest: runs
        .flatMap((run) => run.deepest)
        .sort((a, b) => a.z - b.z || a.line - b.line)
        .slice(0, LISTED),
      nearest: nearestOf(runs.flatMap((run) => run.nearest)),
    },
    picture: runs[0]!.picture,
  };
}

interface Run {
  readonly trace: Trace;
  readonly findings: Diagnostic[];
  readonly notUnderstood: Diagnostic[];
  readonly figures: ProgramFigures;
  readonly deepest: GuardReport['deepest'];
  readonly nearest: GuardReport['nearest'];
  readonly picture: GuardPicture;
}

/** One reading of the job, run over the bed as it stands. `label` says which, where there are two. */
function runOnce(
  record: MachineRecord,
  program: ProgramFile,
  options: GuardOptions,
  trace: Trace,
  label: string,
): Run {
  const spindle = spindleOf(record, program, trace, options.cutter);
  const { cutter, simulated } = spindle;
  const scene = sceneOf(record, bedAsItStands(record));
  const missing = [...spindle.missing, ...checkScrews(scene.unknownScrews, program)];
  const zeroHeight = zeroHeightOf(record, options.zero);
  const simulation = simulate(trace, scene, simulated, { zeroHeight });
  const c: Case = { record, file: program, trace, scene, simulation, cutter, zeroHeight };
  const findings = [
    ...trace.findings,
    ...checkBoard(record, program),
    ...missing,
    ...checkTravel(c),
    ...checkSolids(c),
    ...checkRapids(c),
    ...checkSpindle(c),
    ...checkFeeds(c),
    ...checkJobPlaces(c),
    ...checkDepths(c, options.allowedDepth),
    ...checkBeside(c),
    ...checkBedDepth(c, 'to-cut-limit'),
    ...checkDividers(c),
  ];
  const nearest = simulation.approaches.map((a) => ({
    name: a.solid.name,
    distance: a.distance,
    line: trace.line[a.motion]!,
  }));
  return {
    trace,
    findings: label === '' ? findings : findings.map((d) => ({ ...d, message: `${d.message} (${label})` })),
    notUnderstood: [...trace.findings.filter((d) => makesPathUnknown(d.code)), ...missing],
    figures: {
      path: program.path,
      extents: knownExtents(simulation.extents),
      deepestBed: simulation.deepestBed ? -simulation.deepestBed.z : null,
      deepestBoard: simulation.deepestBoard?.z ?? null,
      nearestMetal: nearest[0] ?? null,
      removedVolume: simulation.removedVolume,
      unsurfacedArea: null,
      minutes: simulation.totalSeconds / 60,
      sites: [],
    },
    deepest: deepestOf(c),
    nearest,
    picture: pictureOf(c),
  };
}

/** Height of the job's Z 0 above the bed, mm. */
function zeroHeightOf({ machine, state }: MachineRecord, zero: GuardOptions['zero']): number {
  const onTop = zero === 'board-top' || (zero === 'profile' && machine.zZero === 'board-top');
  return onTop ? (state.board?.thickness ?? 0) : 0;
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

/** How high a cutter of which only the diameter is known turns above its tip, mm. */
const UNKNOWN_LENGTH = 100;

/** What is in the spindle; its axis alone, and a finding in `missing`, when nobody names a cutter. */
function spindleOf(
  record: MachineRecord,
  program: ProgramFile,
  trace: Trace,
  given: GuardOptions['cutter'],
): { cutter: Cutter | null; simulated: SimulatedCutter; missing: Diagnostic[] } {
  const chosen = chooseCutter(record, trace, given);
  const plain = (name: string, diameter: number): SimulatedCutter => ({
    shape: flatShape(diameter),
    parts: [{ name, radius: diameter / 2, from: 0, to: UNKNOWN_LENGTH }],
  });
  if (chosen === null) {
    const message = 'neither the call nor the program names a cutter of the shared list';
    const missing = [report({ code: 'guard/no-tool', ...inFile(program), message })];
    return { cutter: null, simulated: plain('cutter axis', 0.01), missing };
  }
  if (typeof chosen === 'number') return { cutter: null, simulated: plain('cutter', chosen), missing: [] };
  return { cutter: chosen, simulated: simulatedCutter(record, chosen), missing: [] };
}

/** By the call, else by the tool word, else by the header's cutter line; null when none of them names one. */
function chooseCutter(
  record: MachineRecord,
  trace: Trace,
  given: string | number | null,
): Cutter | number | null {
  if (typeof given === 'number') return given;
  if (typeof given === 'string') return record.cutters.get(given) ?? null;
  const tools = new Set<number>();
  for (const e of trace.events) if (e.kind === 'tool' || e.kind === 'tool-select') tools.add(e.value);
  const numbered = [...record.cutters.values()].filter((cutter) => tools.has(cutter.number));
  if (tools.size === 1 && numbered.length === 1) return numbered[0]!;
  const header = trace.header.find((h) => h.key.toUpperCase() === 'CUTTER');
  const id = header?.value.trim().split(/\s+/)[0]?.toLowerCase();
  for (const cutter of record.cutters.values()) if (cutter.id.toLowerCase() === id) return cutter;
  return null;
}

/** Motions from or to places that the job has not given, and motions in another work offset. */
function checkJobPlaces(c: Case): Diagnostic[] {
  const { machine } = c.record;
  const { trace } = c;
  const m = c.simulation.motions;
  const found: Diagnostic[] = [];
  const ceiling = c.scene.surface.highest + 1;
  let unplaced = false;
  let offset = false;
  for (let i = 0; i < m.length; i++) {
    if ((trace.flags[i]! & MACHINE) !== 0) continue; // reported by the reader
    if (
      !offset &&
      machine.controller.workOffset !== 'none' &&
      trace.workOffset[i] !== machine.datum.workOffset
    ) {
      offset = true;
      found.push(
        report({
          code: 'program/work-offset',
          ...inFile(c.file, trace.line[i]!, 'G'),
          message: `this motion is in work offset ${trace.workOffset[i]}, the datum of the machine is offset ${machine.datum.workOffset}`,
        }),
      );
    }
    if (unplaced || isPlaced(m, i)) continue;
    const z = m.toZ(i);
    // rapids that lift, or that cross at a height already known to be free, are a normal start
    const harmless =
      trace.kind[i] === RAPID &&
      (z >= ceiling || (Number.isNaN(z) && Number.isNaN(m.fromZ(i)))) &&
      (Number.isNaN(m.fromZ(i)) || m.fromZ(i) >= ceiling);
    if (!harmless) {
      unplaced = true;
      found.push(
        report({
          code: 'program/unknown-place',
          ...inFile(c.file, trace.line[i]!),
          message: 'this motion begins or ends at a place that the program has not given',
        }),
      );
    }
  }
  return found;
}

/** Below the bed surface, and deeper into the board than allowed. */
function checkDepths(c: Case, allowedDepth: number): Diagnostic[] {
  const { units } = c.record.machine;
  const { machine } = c.record;
  const { simulation, scene, trace } = c;
  const rounding = roundingOf(machine.controller);
  const found: Diagnostic[] = [];
  const { deepestBed, deepestBoard } = simulation;
  if (deepestBed && deepestBed.z < -rounding) {
    found.push(
      report({
        code: 'guard/into-bed',
        ...inFile(c.file, trace.line[deepestBed.motion]!, 'Z'),
        message: `the tip goes ${exactLength(-deepestBed.z, units)} below the bed surface at ${exactPlace([deepestBed.x, deepestBed.y], units)}`,
        facts: { found: -deepestBed.z, x: deepestBed.x, y: deepestBed.y },
      }),
    );
  }
  if (deepestBoard) {
    const depth = (c.record.state.board?.thickness ?? scene.boardTop) - deepestBoard.z;
    if (depth > allowedDepth + rounding) {
      found.push(
        report({
          code: 'guard/too-deep',
          ...inFile(c.file, trace.line[deepestBoard.motion]!, 'Z'),
          message: `the tip goes ${exactLength(depth, units)} into the board at ${exactPlace([deepestBoard.x, deepestBoard.y], units)}, allowed are ${exactLength(allowedDepth, units)}`,
          facts: { found: depth, allowed: allowedDepth, x: deepestBoard.x, y: deepestBoard.y },
        }),
      );
    }
  }
  return found;
}

/** A board's edge and what is near it may be trimmed; farther out there is nothing to cut, mm. */
const BESIDE = 25;

/** The first place where the tip is below the board's top beside the board. */
function checkBeside(c: Case): Diagnostic[] {
  const { scene, simulation, trace } = c;
  const { units, controller } = c.record.machine;
  if (!scene.board) return [];
  const m = simulation.motions;
  const r = simulation.cutter.shape.radius;
  const top = scene.boardTop - roundingOf(controller);
  for (let i = 0; i < m.length; i++) {
    const low = Math.min(m.fromZ(i), m.toZ(i));
    if (!(low < top) || !isPlaced(m, i)) continue;
    const [x, y] = [m.toX(i), m.toY(i)];
    const box = { minX: x, maxX: x, minY: y, maxY: y };
    if (scene.overBoard(box, r + BESIDE) || !scene.overBed(box, r)) continue;
    const message = `the tip is at Z ${exactLength(low, units)} beside the board, at ${exactPlace([x, y], units)}`;
    return [report({ code: 'guard/outside-board', ...inFile(c.file, trace.line[i]!), message })];
  }
  return [];
}

function deepestOf(c: Case): GuardReport['deepest'] {
  const { motions: m, inside } = c.simulation;
  const list: { x: number; y: number; z: number; line: number; what: string }[] = [];
  for (let i = 0; i < m.length; i++) {
    if (inside[i] !== 1) continue;
    const z = Math.min(m.fromZ(i), m.toZ(i));
    if (list.length === LISTED && z >= list[list.length - 1]!.z - 1e-9) continue;
    const atEnd = m.toZ(i) <= m.fromZ(i);
    const x = atEnd ? m.toX(i) : m.fromX(i);
    const y = atEnd ? m.toY(i) : m.fromY(i);
    if (list.some((p) => Math.abs(p.z - z) < 1e-9 && Math.abs(p.x - x) + Math.abs(p.y - y) < 25)) continue;
    list.push({ x, y, z, line: c.trace.line[i]!, what: z < 0 ? 'bed' : 'board' });
    list.sort((a, b) => a.z - b.z || a.line - b.line);
    if (list.length > LISTED) list.pop();
  }
  return list;
}

function nearestOf(all: GuardReport['nearest']): GuardReport['nearest'] {
  const best = new Map<string, GuardReport['nearest'][number]>();
  for (const one of all) {
    const known = best.get(one.name);
    if (!known || one.distance < known.distance) best.set(one.name, one);
  }
  return [...best.values()]
    .sort((a, b) => a.distance - b.distance || (a.name < b.name ? -1 : 1))
    .slice(0, LISTED);
}

function unique(list: readonly Diagnostic[]): Diagnostic[] {
  const seen = new Set<string>();
  return list.filter((d) => {
    const key = `${d.code} ${d.place?.line ?? 0} ${d.message.replace(' (with block delete on)', '')}`;
    if (seen.has(key)) return false;
    seen.add(key);
    return true;
  });
}
