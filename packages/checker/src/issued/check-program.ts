import type { Diagnostic } from '@bedledger/diagnostics';
import type { MachineRecord, ManifestProgram, OperationName } from '@bedledger/fleet';
import type { ProgramFigures, ProgramFile } from '../model.ts';
import { type Case, homeInProgram, roundingOf, simulatedCutter } from '../programs/case.ts';
import { checkFeeds } from '../programs/feeds.ts';
import { checkExtraction, checkOutputs } from '../programs/outputs.ts';
import { checkPlaces } from '../programs/places.ts';
import { checkLinks, checkRapids } from '../programs/rapids.ts';
import { checkRestartPoints } from '../programs/restart-points.ts';
import { checkRestarts, checkSpindle } from '../programs/spindle.ts';
import { checkOwnTool } from '../programs/tools.ts';
import {
  checkBedDepth,
  checkBedKnown,
  checkBesideBed,
  checkSolids,
  checkTravel,
} from '../programs/travel.ts';
import { checkVisiting } from '../programs/visiting.ts';
import { readProgram } from '../reader/read-program.ts';
import { inFile, report } from '../report.ts';
import { sceneOf } from '../scene/scene.ts';
import { flatShape } from '../simulation/cutter-shape.ts';
import { knownExtents } from '../simulation/motions.ts';
import { type SimulatedCutter, simulate } from '../simulation/simulate.ts';
import type { Trace } from '../trace.ts';
import { checkApproach } from './approach-rules.ts';
import { openBoard } from './open-board.ts';
import type { SitesOfRecord, Work } from './operation-view.ts';
import { cutterOf, OPERATION_VIEWS, zeroHeightOf } from './operations.ts';
import { checkPatch } from './patch-rules.ts';
import { checkRims, rimTarget } from './rim-rules.ts';
import { checkRows } from './row-rules.ts';
import { checkLeak } from './sequence.ts';
import { checkSites } from './site-rules.ts';
import { checkSurface } from './surface-rules.ts';
import { checkTrim } from './trim-rules.ts';
import { checkTurning } from './turning-rules.ts';
import { checkVisits } from './visit-rules.ts';

/** A pointer that touches nothing: what is simulated when nothing is in the spindle. */
const POINTER: SimulatedCutter = {
  shape: flatShape(0.01),
  parts: [{ name: 'tip', radius: 0.005, from: 0, to: 1 }],
};

/** What the rules of an operation find in one program. */
interface Judged {
  readonly findings: readonly Diagnostic[];
  /** Sites that it visits or cuts; null when its work has no sites. */
  readonly sites: readonly string[] | null;
  readonly measures: ProgramFigures['sites'];
  /** mm² that a skim leaves uncut; null when it is none. */
  readonly unsurfacedArea: number | null;
  /** Heights of the passes of a skim so far, this part's included, mm above the bed. */
  readonly levels: readonly number[];
}

/** One program checked on its own: everything that does not need the other files. */
export interface CheckedProgram {
  readonly record: MachineRecord;
  readonly entry: ManifestProgram;
  readonly file: ProgramFile;
  /** The part of the same skim that ran before it. */
  readonly before: CheckedProgram | null;
  readonly findings: readonly Diagnostic[];
  /** Null when the cutter is not known and nothing could be simulated. */
  readonly simulated: Simulated | null;
}

interface Simulated extends Judged {
  readonly c: Case;
  readonly figures: ProgramFigures;
}

/** A program of the manifest with its text. */
interface IssuedProgram {
  readonly record: MachineRecord;
  readonly entry: ManifestProgram;
  readonly file: ProgramFile;
}

const checkedByFile = new WeakMap<ProgramFile, CheckedProgram>();

/** Checks one program; the same file object with the same entry and record is not checked twice. */
export function checkProgram(
  program: IssuedProgram,
  own: SitesOfRecord,
  before: CheckedProgram | null,
): CheckedProgram {
  const { record, entry, file } = program;
  const known = checkedByFile.get(file);
  if (known && known.record === record && known.entry === entry && known.before === before) return known;
  const checked = { ...program, before, ...checkAnew(program, own, before) };
  checkedByFile.set(file, checked);
  return checked;
}

function checkAnew(
  program: IssuedProgram,
  own: SitesOfRecord,
  before: CheckedProgram | null,
): Pick<CheckedProgram, 'findings' | 'simulated'> {
  const { record, entry, file } = program;
  const home = homeInProgram(record.machine, zeroHeightOf(entry.operation, record));
  const options = home ? { home } : {};
  const trace = readProgram(file.text, file.path, record.machine.controller, options);
  const findings = [...trace.findings, ...checkLeak(record, file, trace, options)];
  const id = cutterOf(entry.operation, record);
  if (id !== null && !record.cutters.has(id)) {
    const message = `cutter \`${id}\` of the profile is not in the shared list`;
    findings.push(report({ code: 'program/cutter', ...inFile(file), message, facts: { cutter: id } }));
    return { findings, simulated: null };
  }
  const c = simulated(program, own, trace, before);
  const judged = judge(c, entry, own, before?.simulated?.levels ?? []);
  findings.push(
    ...checkInterlock(program),
    ...checkTravel(c),
    ...checkPlaces(c),
    ...checkRapids(c),
    ...checkSolids(c),
    ...checkLinks(c),
    ...checkRestarts(c),
    ...checkRestartPoints(c, entry.restarts),
    ...checkOutputs(c, 'issued'),
    ...checkOwnTool(
      c,
      c.cutter?.number ?? null,
      entry.restarts.map(({ line }) => line),
    ),
    ...judged.findings,
  );
  return { findings, simulated: { ...judged, c, figures: figuresOf(c, judged) } };
}

/** Runs the program over the bed as the ledger has it; the parts of one skim cut one board, rims are those of open pockets. */
function simulated(
  { record, entry, file }: IssuedProgram,
  own: SitesOfRecord,
  trace: Trace,
  before: CheckedProgram | null,
): Case {
  const view = OPERATION_VIEWS[entry.operation];
  const scene = sceneOf(record, view.setting(record));
  const zeroHeight = zeroHeightOf(entry.operation, record);
  const id = cutterOf(entry.operation, record);
  const cutter = id === null ? null : record.cutters.get(id)!;
  const simulation = simulate(trace, scene, cutter ? simulatedCutter(record, cutter) : POINTER, {
    zeroHeight,
    cuts: cutter !== null,
    field:
      view.work(record).kind === 'rims'
        ? openBoard(scene, own)
        : (before?.simulated?.c.simulation.field?.copy() ?? null),
  });
  return { record, file, trace, scene, simulation, cutter, zeroHeight };
}

/** A program that the ledger forbids today. */
function checkInterlock({ record, entry, file }: IssuedProgram): Diagnostic[] {
  const { operation, form } = entry;
  const { forbidden, interlock } = OPERATION_VIEWS[operation];
  const why = forbidden(record, entry);
  if (why === null) return [];
  const message = `${operation}${form ? ` (${form})` : ''} may not be issued: ${why}`;
  return [report({ code: interlock(form), ...inFile(file), message })];
}

/** The rules of the operation's kind of work. `earlier` are the heights of a skim's passes in the parts before. */
function judge(c: Case, entry: ManifestProgram, own: SitesOfRecord, earlier: readonly number[]): Judged {
  const work = OPERATION_VIEWS[entry.operation].work(c.record);
  switch (work.kind) {
    case 'visits': {
      const { findings, visited } = checkVisits(c, work.places(c.record, own.holes), entry.parts === 1);
      const all = [...checkVisiting(c), ...findings];
      return { findings: all, sites: visited, measures: [], unsurfacedArea: null, levels: [] };
    }
    case 'skim': {
      const skim = checkSurface(c, entry, earlier);
      const findings = [...checkCutting(c, entry), ...skim.findings, ...checkRows(c)];
      const { unsurfacedArea, levels } = skim;
      return { findings, sites: null, measures: [], unsurfacedArea, levels };
    }
    case 'trim': {
      const findings = [...checkCutting(c, entry), ...checkTrim(c)];
      return { findings, sites: null, measures: [], unsurfacedArea: null, levels: [] };
    }
    case 'patch': {
      const findings = [...checkCutting(c, entry), ...checkPatch(c), ...checkTurning(c, 'open')];
      return { findings, sites: null, measures: [], unsurfacedArea: null, levels: [] };
    }
    case 'rims': {
      const { cuts, ...rims } = checkRims(c, entry.sites, own.holes, rimTarget(c, own));
      const findings = [...checkCutting(c, entry), ...rims.findings, ...checkTurning(c, 'open')];
      const sites = cuts.map(({ site }) => site.site);
      return { findings, sites, measures: rims.measures, unsurfacedArea: null, levels: [] };
    }
    case 'sites':
    case 'marks':
      return judgeRoundCuts(c, entry, own, work);
  }
}

function judgeRoundCuts(
  c: Case,
  entry: ManifestProgram,
  own: SitesOfRecord,
  work: Extract<Work, { kind: 'sites' | 'marks' }>,
): Judged {
  const sites = work.sites(c.record, own.holes);
  const expected = work.kind === 'marks' ? sites.map(({ site }) => site) : entry.sites;
  const { findings, cuts, measures } = checkSites(c, expected, sites, work.target(c, entry.form, own));
  return {
    findings: [
      ...checkCutting(c, entry),
      ...findings,
      ...checkTurning(c, 'solid'),
      ...(work.also ? work.also(c, cuts) : []),
    ],
    sites: cuts.map(({ site }) => site.site),
    measures,
    unsurfacedArea: null,
    levels: [],
  };
}

/** Does the program follow a plane that may lean with the board? */
function follows({ record }: Case, operation: OperationName): boolean {
  return operation === 'surface' && record.machine.surfacing.skim.plane === 'best';
}

/** What holds for every program with a turning cutter. */
function checkCutting(c: Case, { operation, form }: ManifestProgram): Diagnostic[] {
  const mayCutBed = OPERATION_VIEWS[operation].mayCutBed(form);
  return [
    ...checkSpindle(c),
    ...checkFeeds(c),
    ...checkExtraction(c),
    ...checkBedDepth(c, mayCutBed ? 'to-cut-limit' : 'not-at-all'),
    ...checkBedKnown(c),
    ...checkBesideBed(c),
    ...checkApproach(c, follows(c, operation)),
  ];
}

function figuresOf(c: Case, { measures, unsurfacedArea }: Judged): ProgramFigures {
  const { simulation, trace } = c;
  const nearest = simulation.approaches.find((a) => a.solid.metal || a.solid.kind === 'screw');
  const bed = simulation.deepestBed;
  const rounding = roundingOf(c.record.machine.controller);
  return {
    path: c.file.path,
    extents: knownExtents(simulation.extents),
    deepestBed: bed && bed.z < -rounding ? -bed.z : null,
    deepestBoard: simulation.deepestBoard?.z ?? null,
    nearestMetal: nearest
      ? { distance: nearest.distance, name: nearest.solid.name, line: trace.line[nearest.motion]! }
      : null,
    removedVolume: simulation.removedVolume,
    unsurfacedArea,
    minutes: simulation.totalSeconds / 60,
    sites: measures,
  };
}
