import { type Diagnostic, exactLength, exactPlace, slopeText } from '@bedledger/diagnostics';
import { currentHeights, type ManifestProgram, oddHeights, possibleTops } from '@bedledger/fleet';
import { bounds } from '@bedledger/geometry';
import { type Case, roundingOf } from '../programs/case.ts';
import { inFile, report } from '../report.ts';
import type { CheckerCode } from '../rules/table.ts';
import { headTopAtWorst, stackAt } from '../scene/fasteners.ts';
import { readBoard } from '../scene/hold.ts';
import { pendingSwap } from '../scene/pending-swap.ts';
import { isPlaced } from '../simulation/motions.ts';
import { RAPID } from '../trace.ts';
import { floorBelowCommand } from './lean-rules.ts';
import { LEVEL, type Slope, slopeOf } from './target-plane.ts';
import { checkUncut } from './uncut-rules.ts';

/** Passes are equal to this, mm: where their heights are rounded and the board’s top is a mean. */
const UNEVEN_PASSES = 0.12;

interface SurfaceReport {
  readonly findings: Diagnostic[];
  /** mm² of the board that stay uncut; 0 before the last part. */
  readonly unsurfacedArea: number;
  /** Heights of the passes in this part and the parts before it, mm above the bed. */
  readonly levels: readonly number[];
}

/** A height that the cutter runs at, with the first line that does. */
interface Level {
  readonly z: number;
  readonly line: number;
}

/** A skim as its rules look at it. Heights are counted from the plane through X0 Y0 that its rows lie in, mm. */
interface Skim {
  readonly c: Case;
  /** The underside of the board lies up. */
  readonly turned: boolean;
  readonly slope: Slope;
  /** Top of the material before the first pass. */
  readonly top: number;
  readonly earlier: readonly number[];
  readonly levels: readonly Level[];
  readonly lowest: number;
  readonly lowestLine: number;
  /** How far the real floor lies below `lowest` because the spindle leans. */
  readonly drop: number;
}

/**
 * Everything reachable cut to one height, in passes that are not too deep, with cover and thickness left.
 * @param earlier heights of the passes that earlier parts of the program cut, mm above the bed
 */
export function checkSurface(c: Case, entry: ManifestProgram, earlier: readonly number[]): SurfaceReport {
  const lastPart = entry.part === entry.parts;
  const skim = skimOf(c, entry.operation === 'underside-skim', earlier);
  if (skim.lowest === Infinity) {
    const message = 'the program surfaces nothing';
    const findings = [report({ code: 'work/unsurfaced', ...inFile(c.file), message })];
    return { findings, unsurfacedArea: 0, levels: earlier };
  }
  const uncut = lastPart
    ? checkUncut(c, (x, y) => skim.lowest + rise(skim.slope, x, y), skim.lowest)
    : { findings: [], area: 0 };
  return {
    findings: [
      ...checkPassDepths(skim),
      ...(lastPart ? [...checkEvenPasses(skim), ...checkSkimDepth(skim)] : []),
      ...checkThickness(skim),
      ...checkCover(skim),
      ...uncut.findings,
    ],
    unsurfacedArea: uncut.area,
    levels: [...earlier, ...skim.levels.map((level) => level.z)],
  };
}

/** How much higher the plane lies at a place than at X0 Y0, mm. */
function rise(slope: Slope, x: number, y: number): number {
  return slope.b * x + slope.c * y;
}

/** The height map that a skim goes by, if it does. */
function mapOf(c: Case, turned: boolean): ReturnType<typeof currentHeights> {
  const { heights, state, machine } = c.record;
  const map = turned || machine.surfacing.skim.from === 'depth' ? null : currentHeights(heights, state);
  return map && map.points.length > 0 ? map : null;
}

/** Greatest height of the board over the plane through X0 Y0: as mapped, and as thick as it may be where nobody measured. */
function topOver(c: Case, turned: boolean, slope: Slope): number {
  if (mapOf(c, turned) === null) return c.scene.boardTop;
  return possibleTops(c.record).reduce((most, [x, y, z]) => Math.max(most, z - rise(slope, x, y)), -Infinity);
}

function skimOf(c: Case, turned: boolean, earlier: readonly number[]): Skim {
  const { machine, house } = c.record;
  const leans = machine.surfacing.skim.plane === 'best' && mapOf(c, turned) !== null;
  const slope = leans ? slopeOf(c, house.surfacing.maxTilt) : LEVEL;
  const top = topOver(c, turned, slope);
  const { levels, lowest, lowestLine } = levelsOf(c, slope);
  return {
    c,
    turned,
    slope,
    top,
    earlier,
    levels,
    lowest: Math.min(lowest, ...earlier),
    lowestLine,
    drop: floorBelowCommand(c),
  };
}

/** Heights of the level cutting motions, and the lowest point of all. */
function levelsOf(c: Case, slope: Slope): Pick<Skim, 'levels' | 'lowest' | 'lowestLine'> {
  const { motions: m, inside } = c.simulation;
  const rounding = roundingOf(c.record.machine.controller);
  const levels = new Map<number, Level>();
  let lowest = Infinity;
  let lowestLine = 0;
  for (let i = 0; i < m.length; i++) {
    if (c.trace.kind[i] === RAPID || inside[i] !== 1 || !isPlaced(m, i)) continue;
    const start = m.fromZ(i) - slope.b * m.fromX(i) - slope.c * m.fromY(i);
    const end = m.toZ(i) - slope.b * m.toX(i) - slope.c * m.toY(i);
    const z = Math.min(start, end);
    if (z < lowest) {
      lowest = z;
      lowestLine = c.trace.line[i]!;
    }
    // On a slope both ends are rounded on their own.
    if (Math.abs(end - start) > (slope === LEVEL ? rounding : 2 * rounding)) continue;
    const key = Math.round(z / (2 * rounding));
    if (!levels.has(key)) levels.set(key, { z, line: c.trace.line[i]! });
  }
  return { levels: [...levels.values()], lowest, lowestLine };
}

/** A finding at a Z word of the skim; at its lowest motion when no line is given. */
function heightFinding(
  skim: Skim,
  code: CheckerCode,
  message: string,
  facts: Readonly<Record<string, string | number>>,
  line = skim.lowestLine,
): Diagnostic {
  return report({ code, ...inFile(skim.c.file, line, 'Z'), message, facts });
}

/** Every level of this part against the one above it, in this part or an earlier one. */
function checkPassDepths(skim: Skim): Diagnostic[] {
  const { surfacing, controller, units } = skim.c.record.machine;
  const rounding = roundingOf(controller);
  const all = [skim.top, ...skim.earlier, ...skim.levels.map((level) => level.z)];
  const allowed = surfacing.depthPerPass;
  return skim.levels.flatMap(({ z, line }) => {
    const above = Math.min(...all.filter((other) => other > z + 2 * rounding));
    const step = above - z;
    if (!Number.isFinite(step) || step <= allowed + 2 * rounding + 1e-3) return [];
    const message = `a pass at ${exactLength(z, units)} takes ${exactLength(step, units)}, the depth per pass is ${exactLength(allowed, units)}`;
    return [heightFinding(skim, 'work/pass-depth', message, { found: step, allowed }, line)];
  });
}

/** Passes share what is to be taken off; one that differs from the next hides a slip in the other. */
function checkEvenPasses(skim: Skim): Diagnostic[] {
  const { controller, units } = skim.c.record.machine;
  const rounding = roundingOf(controller);
  const heights = [skim.top, ...skim.earlier, ...skim.levels.map((level) => level.z)].sort((a, b) => b - a);
  const steps = heights
    .slice(1)
    .map((z, k) => heights[k]! - z)
    .filter((step) => step > 2 * rounding);
  const most = Math.max(...steps);
  const least = Math.min(...steps);
  if (steps.length <= 1 || most - least <= UNEVEN_PASSES) return [];
  return [
    report({
      code: 'work/uneven-passes',
      ...inFile(skim.c.file, skim.lowestLine),
      message: `the passes take between ${exactLength(least, units)} and ${exactLength(most, units)}: passes should be equally deep`,
      facts: { least, most },
    }),
  ];
}

function checkThickness(skim: Skim): Diagnostic[] {
  const { scene, record } = skim.c;
  const { board, controller, units } = record.machine;
  const box = scene.board ? bounds(scene.board) : null;
  const corners = box
    ? [box.minX, box.maxX].flatMap((x) => [box.minY, box.maxY].map((y) => rise(skim.slope, x, y)))
    : [0];
  const thinnest = skim.lowest - skim.drop + Math.min(...corners);
  const allowed = board.leastThickness;
  if (thinnest >= allowed - roundingOf(controller)) return [];
  const message = `the board would be ${exactLength(thinnest, units)} thick${leaning(skim)}, its least thickness is ${exactLength(allowed, units)}`;
  return [heightFinding(skim, 'work/least-thickness', message, { found: thinnest, allowed })];
}

/** Board left over the heads of the screws that hold it; the first site where it is too little. */
function checkCover(skim: Skim): Diagnostic[] {
  const { record } = skim.c;
  const { state, house, machine } = record;
  const { units } = machine;
  if (skim.turned || !state.board?.pocketed) return [];
  const needed = house.stack.coverMin;
  const board = readBoard(record, state.inserts);
  const pending = pendingSwap(record, board, state.inserts);
  const heads = state.inserts.flatMap(({ site, at }) => [
    { site, at, when: '', own: stackAt(record, board, { site, at, uncertainty: 0 }) },
    { site, at, when: ' that is to be swapped in', own: pending.get(site) },
  ]);
  for (const { site, at, when, own } of heads) {
    const stack = own?.stack;
    if (!own || !stack) continue;
    const found = skim.lowest - skim.drop + rise(skim.slope, at[0], at[1]) - stack.headTop;
    if (found >= needed - roundingOf(machine.controller)) continue;
    const worst = headTopAtWorst({ fixing: own.fixing, stack });
    const message = `${exactLength(found, units)} of board would be left over the head${when} at ${site} (its top may reach ${exactLength(worst, units)}), the house needs ${exactLength(needed, units)}${leaning(skim)}`;
    return [heightFinding(skim, 'work/cover', message, { site, found, needed })];
  }
  return [];
}

/** What the lean of the spindle has to do with a height; nothing when it does not lean. */
function leaning({ drop, c }: Skim): string {
  if (drop === 0) return '';
  return ` (the lean of the spindle cuts ${exactLength(drop, c.record.machine.units)} below the program's heights)`;
}

/** What the profile and the ledger say a skim is to take off, against what the program does. */
function checkSkimDepth(skim: Skim): Diagnostic[] {
  if (!skim.c.record.state.board) return [];
  const map = mapOf(skim.c, skim.turned);
  return [
    ...checkTilt(skim),
    ...(map ? [...checkReadings(skim, map), ...checkMargin(skim, map)] : checkStatedDepth(skim)),
  ];
}

function checkTilt(skim: Skim): Diagnostic[] {
  const { house, machine } = skim.c.record;
  const { b, c } = skim.slope;
  const found = Math.sqrt(b * b + c * c);
  const allowed = Math.tan(house.surfacing.maxTilt);
  if (found <= allowed * 1.01 + 1e-6) return [];
  const message = `the finished surface leans by ${slopeText(found, machine.units)}, the house allows ${slopeText(allowed, machine.units)}`;
  return [heightFinding(skim, 'work/skim-depth', message, { found, allowed })];
}

/** No single reading that its neighbours or the ledger contradict decides how deep the board is cut. */
function checkReadings(skim: Skim, map: NonNullable<ReturnType<typeof mapOf>>): Diagnostic[] {
  const { state, machine } = skim.c.record;
  const odd = oddHeights(map.points, state.board)[0];
  if (odd === undefined) return [];
  const [x, y, z] = odd.reading;
  const message = `${map.file} has ${exactLength(z, machine.units)} at ${exactPlace([x, y], machine.units)}, ${exactLength(Math.abs(odd.by), machine.units)} ${odd.by > 0 ? 'above' : 'below'} ${odd.against === 'neighbours' ? 'the readings around it' : 'the thickness on record'}`;
  return [heightFinding(skim, 'work/odd-height', message, { found: odd.by })];
}

/** The finished surface lies the profile's margin below every point of the height map. */
function checkMargin(skim: Skim, map: NonNullable<ReturnType<typeof mapOf>>): Diagnostic[] {
  const { surfacing, units } = skim.c.record.machine;
  let least = Infinity;
  for (const [x, y, z] of map.points) least = Math.min(least, z - rise(skim.slope, x, y) - skim.lowest);
  if (least >= surfacing.margin - depthTolerance(skim)) return [];
  const message = `the surface lies ${exactLength(least, units)} below the lowest point of ${map.file}, the profile's margin is ${exactLength(surfacing.margin, units)}: places would stay uncut`;
  return [heightFinding(skim, 'work/skim-depth', message, { found: least, needed: surfacing.margin })];
}

/** The finished surface lies the stated depth below the thinnest place that was measured. */
function checkStatedDepth(skim: Skim): Diagnostic[] {
  const { machine, house, state } = skim.c.record;
  const { units } = machine;
  const stated = skim.turned ? machine.board.undersideSkim : machine.surfacing.skim.depth;
  const depth = stated ?? house.stack.skim;
  const { thinnest } = state.board!;
  const wanted = thinnest - depth;
  if (Math.abs(skim.lowest - wanted) <= depthTolerance(skim)) return [];
  const message = `the surface ends ${exactLength(skim.lowest, units)} above the bed; ${exactLength(depth, units)} below the thinnest place measured, ${exactLength(thinnest, units)}, is ${exactLength(wanted, units)}`;
  return [heightFinding(skim, 'work/skim-depth', message, { found: skim.lowest, wanted })];
}

function depthTolerance(skim: Skim): number {
  return 2 * roundingOf(skim.c.record.machine.controller) + 0.01;
}
