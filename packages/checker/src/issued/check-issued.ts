import { type Diagnostic, raised } from '@bedledger/diagnostics';
import type { Stack } from '@bedledger/fasteners';
import type { MachineRecord, ManifestProgram } from '@bedledger/fleet';
import type { Point } from '@bedledger/geometry';
import type { CheckReport, IssuedFiles, ProgramFigures, ProgramFile } from '../model.ts';
import { type Case, roundingOf, simulatedCutter } from '../programs/case.ts';
import { checkFeeds } from '../programs/feeds.ts';
import { checkExtraction } from '../programs/outputs.ts';
import { checkPlaces } from '../programs/places.ts';
import { checkLinks, checkRapids } from '../programs/rapids.ts';
import { checkRestarts, checkSpindle } from '../programs/spindle.ts';
import { checkBedDepth, checkSolids, checkTravel } from '../programs/travel.ts';
import { checkVisiting } from '../programs/visiting.ts';
import { readProgram } from '../reader/read-program.ts';
import { inFile, report } from '../report.ts';
import { stackAt } from '../scene/fasteners.ts';
import { buildScene, type Scene, type Setting } from '../scene/scene.ts';
import { flatShape } from '../simulation/cutter-shape.ts';
import { type SimulatedCutter, simulate } from '../simulation/simulate.ts';
import { checkDocuments, isFile } from './documents.ts';
import { type HoleRow, readHoleTable } from './hole-table.ts';
import { checkHoles } from './holes-rules.ts';
import { forbidden } from './interlocks.ts';
import { dutyOf, onlyVisits, settingOf, zeroHeightOf } from './operation.ts';
import { checkRows } from './row-rules.ts';
import { checkSections } from './section-rules.ts';
import { checkLeak } from './sequence.ts';
import { checkSurface } from './surface-rules.ts';
import { checkTrim } from './trim-rules.ts';
import { checkTurning } from './turning-rules.ts';
import {
  checkBedMarks,
  checkBreakThrough,
  checkSites,
  checkVisits,
  pocketTarget,
  type Target,
} from './work-rules.ts';

/** A pointer that touches nothing: what is simulated when nothing is in the spindle. */
const POINTER: SimulatedCutter = {
  shape: flatShape(0.01),
  parts: [{ name: 'tip', radius: 0.005, from: 0, to: 1 }],
};

const sceneMemory = new WeakMap<MachineRecord, Map<string, Scene>>();

/** Scenes of a record by what stands on the bed; each is built once for as long as the record lives. */
function scenesOf(record: MachineRecord): (setting: Setting) => Scene {
  const known = sceneMemory.get(record) ?? new Map<string, Scene>();
  sceneMemory.set(record, known);
  return (setting) => {
    const key = `${setting.board} ${setting.screws} ${setting.clamps}`;
    const scene = known.get(key) ?? buildScene(record, setting);
    known.set(key, scene);
    return scene;
  };
}

/** The hole table read and judged, and the checker's own stack of each of its sites. */
interface Table {
  readonly record: MachineRecord;
  readonly holes: readonly HoleRow[];
  readonly stacks: ReadonlyMap<string, Stack>;
  readonly findings: readonly Diagnostic[];
}

const tableMemory = new WeakMap<ProgramFile, Table>();

function tableOf(record: MachineRecord, issued: IssuedFiles): Table {
  const known = tableMemory.get(issued.holes);
  if (known?.record === record) return known;
  const findings: Diagnostic[] = [];
  const { rows: holes, fault } = readHoleTable(issued.holes, record.machine.units);
  if (fault) findings.push(fault);
  const scene = scenesOf(record)({ board: 'none', screws: false, clamps: false });
  const stacks = new Map<string, Stack>();
  for (const hole of holes) {
    const solved = stackAt(record, [hole.x, hole.y], uncertaintyOf(scene, hole));
    if (solved.feasible) stacks.set(hole.site, solved.stack);
  }
  findings.push(...checkHoles(record, issued, holes, scene, stacks));
  const table = { record, holes, stacks, findings };
  tableMemory.set(issued.holes, table);
  return table;
}

/** Uncertainty (k = 2) of a site's place: the survey's, for its nominal position. */
function uncertaintyOf(scene: Scene, hole: HoleRow): number {
  return scene.placement.uncertaintyAt([hole.nominalX, hole.nominalY]);
}

/** One program checked on its own: everything that does not need the other files. */
interface CheckedAlone {
  readonly record: MachineRecord;
  readonly entry: ManifestProgram;
  /** The part of the same skim that ran before it. */
  readonly before: CheckedAlone | null;
  readonly findings: readonly Diagnostic[];
  /** Null when the cutter is not known and nothing could be simulated. */
  readonly c: Case | null;
  readonly figures: ProgramFigures | null;
  /** Sites that it visits or cuts. */
  readonly sites: readonly string[];
  /** Heights of the passes of a skim so far, this part's included, mm above the bed. */
  readonly levels: readonly number[];
}

function isSkim(entry: ManifestProgram): boolean {
  return entry.operation === 'surface' || entry.operation === 'underside-skim';
}

const programMemory = new WeakMap<ProgramFile, CheckedAlone>();

/** Checks one program; the same file object with the same entry and record is not checked twice. */
function checkProgram(
  record: MachineRecord,
  entry: ManifestProgram,
  file: ProgramFile,
  { holes, stacks }: Table,
  before: CheckedAlone | null,
): CheckedAlone {
  const known = programMemory.get(file);
  if (known && known.record === record && known.entry === entry && known.before === before) return known;
  const done = checkProgramAnew(record, entry, file, holes, stacks, before);
  programMemory.set(file, done);
  return done;
}

function checkProgramAnew(
  record: MachineRecord,
  entry: ManifestProgram,
  file: ProgramFile,
  holes: readonly HoleRow[],
  stacks: ReadonlyMap<string, Stack>,
  before: CheckedAlone | null,
): CheckedAlone {
  const { machine } = record;
  const findings: Diagnostic[] = [];
  const trace = readProgram(file.text, file.path, machine.controller);
  findings.push(...trace.findings);
  findings.push(...checkLeak(record, file, trace));

  const scene = scenesOf(record)(settingOf(entry.operation, record));
  const zeroHeight = zeroHeightOf(entry.operation, entry, record);
  const duty = dutyOf(entry.operation, record);
  const cutter = duty === null ? null : (record.cutters.get(duty) ?? null);
  if (duty !== null && !cutter) {
    findings.push(
      report({
        code: 'program/cutter',
        ...inFile(file),
        message: `cutter \`${duty}\` of the profile is not in the shared list`,
        facts: { cutter: duty },
      }),
    );
    return { record, entry, before, findings, c: null, figures: null, sites: [], levels: [] };
  }
  const simulation = simulate(trace, scene, cutter ? simulatedCutter(record, cutter) : POINTER, {
    zeroHeight,
    cuts: cutter !== null,
    field: before?.c?.simulation.field?.copy() ?? null,
  });
  const c: Case = { record, file, trace, scene, simulation, cutter, zeroHeight };
  const why = forbidden(entry, record);
  if (why !== null) {
    const rule =
      entry.operation === 'clearance-holes' && entry.form === 'first-fit'
        ? 'interlock/first-fit'
        : entry.operation === 'bed-mark'
          ? 'interlock/bed-mark'
          : 'interlock/withheld';
    findings.push(
      report({
        code: rule,
        ...inFile(file),
        message: `${entry.operation}${entry.form ? ` (${entry.form})` : ''} may not be issued: ${why}`,
      }),
    );
  }
  findings.push(
    ...checkTravel(c),
    ...checkPlaces(c),
    ...checkRapids(c),
    ...checkSolids(c),
    ...checkLinks(c),
    ...checkRestarts(c),
  );
  const done = (
    sites: readonly string[],
    measures: ProgramFigures['sites'],
    unsurfacedArea: number | null,
    levels: readonly number[] = [],
  ): CheckedAlone => ({
    record,
    entry,
    before,
    findings,
    levels,
    c,
    figures: figuresOf(c, measures, unsurfacedArea),
    sites,
  });
  if (onlyVisits(entry.operation, record)) {
    findings.push(...checkVisiting(c));
    const visit = checkVisits(c, placesToVisit(record, entry, holes), { complete: entry.parts === 1 });
    findings.push(...visit.findings);
    return done(visit.visited, [], null);
  }

  findings.push(...checkSpindle(c), ...checkFeeds(c), ...checkExtraction(c));
  const mayCutBed =
    entry.operation === 'bed-mark' ||
    entry.operation === 'datum-mark' ||
    (entry.operation === 'clearance-holes' && entry.form === 'first-fit');
  findings.push(...checkBedDepth(c, mayCutBed ? 'to-cut-limit' : 'not-at-all'));
  if (isSkim(entry)) {
    const surface = checkSurface(c, entry, entry.part === entry.parts, before?.levels);
    findings.push(...surface.findings, ...checkRows(c));
    return done([], [], surface.unsurfacedArea, surface.levels);
  }
  if (entry.operation === 'trim') {
    findings.push(...checkTrim(c));
    return done([], [], null);
  }
  const marks = entry.operation === 'datum-mark';
  const rows = marks ? datumRows(record) : holes;
  const named = marks ? { ...entry, sites: rows.map((r) => r.site) } : entry;
  const work = checkSites(c, named, rows, targetsOf(record, entry, stacks, c));
  findings.push(...work.findings, ...checkTurning(c));
  if (entry.operation === 'bed-mark') findings.push(...checkBedMarks(c, work.cuts));
  if (entry.operation === 'clearance-holes') findings.push(...checkBreakThrough(c, work.cuts));
  return done(
    work.cuts.map((cut) => cut.hole.site),
    work.measures,
    null,
  );
}

/**
 * Reads the issued files of one machine as its controller and its operator would, and proves them against the record:
 * each program simulated over the bed as the ledger has it, the operations by what they are to make, the documents
 * against each other, the interlocks, and the order. Pure; the text is the only thing it believes nothing of.
 */
export function checkIssued(record: MachineRecord, issued: IssuedFiles): CheckReport {
  const findings: Diagnostic[] = [];
  const figures: ProgramFigures[] = [];
  const table = tableOf(record, issued);
  findings.push(...table.findings);

  const cases: { entry: ManifestProgram; file: ProgramFile; c: Case }[] = [];
  const cutSites = new Map<string, Set<string>>();
  const skims = new Map<string, CheckedAlone>();
  for (const entry of issued.manifest.programs) {
    const file = issued.programs.find((p) => isFile(p, entry.file));
    if (!file) continue; // told by the document rules
    // The parts of one skim cut one board: each goes on where the one before it ended.
    const before = entry.part > 1 ? (skims.get(entry.operation) ?? null) : null;
    const alone = checkProgram(record, entry, file, table, before);
    if (isSkim(entry)) skims.set(entry.operation, alone);
    findings.push(...alone.findings);
    if (alone.figures) figures.push(alone.figures);
    if (alone.c) cases.push({ entry, file, c: alone.c });
    if (!['surface', 'underside-skim', 'trim'].includes(entry.operation))
      noteSites(cutSites, entry, alone.sites);
  }
  // the parts of one operation are one program
  const operations = new Map<string, { entry: ManifestProgram; c: Case }[]>();
  for (const one of cases) {
    const key = `${one.entry.operation} ${one.entry.form ?? ''}`;
    operations.set(key, [...(operations.get(key) ?? []), one]);
  }
  for (const parts of operations.values()) {
    const cases = parts.map((p) => p.c);
    findings.push(...checkSections(cases, sectionsAre(parts[0]!.entry, record)));
  }
  findings.push(...checkDocuments(record, issued, cases, cutSites));
  return { findings: raised(findings, record.house.raise), figures };
}

/** How alike the sections of an operation must be. */
function sectionsAre(entry: ManifestProgram, record: MachineRecord): 'sites' | 'marks' | 'rows' | 'visits' {
  if (onlyVisits(entry.operation, record)) return 'visits';
  if (entry.operation === 'datum-mark') return 'marks';
  return entry.operation === 'surface' || entry.operation === 'underside-skim' || entry.operation === 'trim'
    ? 'rows'
    : 'sites';
}

function noteSites(into: Map<string, Set<string>>, entry: ManifestProgram, sites: readonly string[]): void {
  const key = `${entry.operation} ${entry.form ?? ''}`.trim();
  const set = into.get(key) ?? new Set<string>();
  for (const site of sites) set.add(site);
  into.set(key, set);
}

/** The two datum marks as rows of a hole table. */
function datumRows(record: MachineRecord): HoleRow[] {
  const { mark, second } = record.machine.datum;
  const row = (site: string, at: Point): HoleRow => ({
    line: 1,
    site,
    state: 'none',
    nominalX: at[0],
    nominalY: at[1],
    x: at[0],
    y: at[1],
    pocketDiameter: null,
    pocketFloor: null,
    holeDiameter: null,
    refitDiameter: null,
    boreDiameter: null,
    boreDepth: null,
    screwLength: null,
    web: null,
    cover: null,
  });
  return [row('datum mark', mark), row('second mark', second)];
}

/** Where a visiting program must stop. Survey features are visited where the drawing has them. */
function placesToVisit(
  record: MachineRecord,
  entry: ManifestProgram,
  holes: readonly HoleRow[],
): { name: string; x: number; y: number }[] {
  const { machine } = record;
  const inTravel = (x: number, y: number): boolean =>
    x >= machine.travel.x[0] &&
    x <= machine.travel.x[1] &&
    y >= machine.travel.y[0] &&
    y <= machine.travel.y[1];
  if (entry.operation === 'survey-visit') {
    return (record.survey?.features ?? [])
      .filter((f) => inTravel(f.nominal[0], f.nominal[1]))
      .map((f) => ({ name: f.id, x: f.nominal[0], y: f.nominal[1] }));
  }
  if (entry.operation === 'datum-mark') {
    return datumRows(record).map((r) => ({ name: r.site, x: r.x, y: r.y }));
  }
  return holes.filter((h) => inTravel(h.x, h.y)).map((h) => ({ name: h.site, x: h.x, y: h.y }));
}

/** What each site is to get, by the checker's own stack. */
function targetsOf(
  record: MachineRecord,
  entry: ManifestProgram,
  stacks: ReadonlyMap<string, Stack>,
  c: Case,
): (hole: HoleRow) => Target | null {
  const { machine, state, house } = record;
  const { cutLimit } = machine.bed;
  const shape = c.simulation.cutter.shape;
  switch (entry.operation) {
    case 'datum-mark':
      return () => ({
        diameter: 2 * shape.radius,
        floor: -Math.min(machine.datum.depth, cutLimit),
        flat: false,
      });
    case 'bed-mark':
      return (hole) => {
        const stack = stacks.get(hole.site);
        if (!stack) return null;
        const bore = stack.handDrill.diameter;
        // a pointed cutter wider than the bore stops where it is as wide as the bore; a drill may go to the limit
        const spot = shape.form === 'cone' && 2 * shape.radius > bore;
        const floor = spot ? -Math.min(cutLimit, shape.slope * (bore / 2)) : -cutLimit;
        const bores = shape.form === 'flat' && 2 * shape.radius <= bore;
        return { diameter: bores ? bore : 2 * shape.radius, floor, flat: bores };
      };
    case 'socket-pockets':
      return (hole) => {
        const stack = stacks.get(hole.site);
        return stack ? pocketTarget(stack) : null;
      };
    case 'clearance-holes':
      return (hole) => {
        const stack = stacks.get(hole.site);
        if (!stack) return null;
        const diameter = entry.form === 'refit' ? stack.refitDiameter : stack.clearanceDiameter;
        const flat = shape.form === 'flat';
        if (entry.form === 'refit') return { diameter, floor: house.stack.refitSkin, flat };
        const site = state.sites.get(hole.site);
        const through = site?.state === 'bored' && (site.diameter ?? 0) >= diameter;
        if (!through) return { diameter, floor: 0, flat };
        const floor = -Math.min(cutLimit, site?.depth ?? cutLimit, shape.pointLength + 0.5);
        // below the bed surface only the tip goes on; at the surface the board must be open at its full width
        return { diameter, floor, flat: false, ...(flat ? { openAt: 0 } : {}) };
      };
    default:
      return () => null;
  }
}

function figuresOf(c: Case, sites: ProgramFigures['sites'], unsurfacedArea: number | null): ProgramFigures {
  const { simulation, trace } = c;
  const e = simulation.extents;
  const nearest = simulation.approaches.find((a) => a.solid.metal || a.solid.kind === 'screw');
  const rounding = roundingOf(c.record.machine.controller);
  return {
    path: c.file.path,
    extents:
      e && e.minX <= e.maxX && e.minY <= e.maxY && e.minZ <= e.maxZ
        ? { x: [e.minX, e.maxX], y: [e.minY, e.maxY], z: [e.minZ, e.maxZ] }
        : null,
    deepestBed:
      simulation.deepestBed && simulation.deepestBed.z < -rounding ? -simulation.deepestBed.z : null,
    deepestBoard: simulation.deepestBoard ? simulation.deepestBoard.z : null,
    nearestMetal: nearest
      ? { distance: nearest.distance, name: nearest.solid.name, line: trace.line[nearest.motion]! }
      : null,
    removedVolume: simulation.removedVolume,
    unsurfacedArea,
    minutes: simulation.totalSeconds / 60,
    sites,
  };
}
