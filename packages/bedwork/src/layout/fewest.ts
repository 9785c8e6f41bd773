import type { Diagnostic } from '@bedledger/diagnostics';
import { placeText, rounded, shortLength, type Units } from '@bedledger/diagnostics';
import type { MachineRecord } from '@bedledger/fleet';
import { coverageRadius, distance, type Point } from '@bedledger/geometry';
import { profilePlace } from '../base/places.ts';
import { type Lands, landsBox } from '../lands/lands.ts';
import { report } from '../report.ts';
import type { BedFit } from '../survey/bed-fit.ts';
import { alignedLayout, noLands } from './aligned.ts';
import { coverageLimit, coverRules, farthestFromLand, landBehindEdges, SIDES } from './cover-rules.ts';
import type { CoverTask } from './cover-task.ts';
import type { Demand } from './demand.ts';
import { type Draft, type DraftSite, type Effort, noDraft } from './draft.ts';
import { type LeastCover, leastCover } from './least-cover.ts';
import { isInBed } from './ledger-sites.ts';
import { rowsOf, siteName } from './names.ts';
import type { PitchRule } from './pitch.ts';
import { symmetricCover } from './symmetry.ts';

const EPS = 1e-6;
/** Land that is this near to a mirror image is its image, mm: the lands are polygons on a grid. */
const ROUNDING = 0.01;
/** What symmetry may cost on symmetric lands, as a share of the sites: common practice, no source. */
const SYMMETRY_SHARE = 1 / 15;

/** Sites for a board, before they have names. */
interface Answer {
  readonly sites: readonly Point[];
  readonly bound: Draft['bound'];
  readonly demands: readonly Demand[];
}

/**
 * The least number of sites that cover the board: every point within half the diagonal of a pitch square, every edge
 * point and every corner as near as the rows of the edge rule would have them. Solved in the surveyed frame, where the
 * board lies along the axes.
 *
 * Where a layout whose mirror images it is itself needs no more sites, that one is taken. Where rows and columns, which
 * may be nudged, do with fewer, they are.
 */
export function fewestLayout(
  record: MachineRecord,
  fit: BedFit,
  lands: Lands,
  pitch: PitchRule,
  effort: Effort = 'full',
): Draft {
  if (landsBox(lands) === null) return noDraft([noLands(record, lands)]);
  const aligned = effort === 'full' ? alignedLayout(record, fit, lands, pitch) : noDraft([]);
  const task = coverTask(
    record,
    lands,
    pitch,
    aligned.sites.map((s) => fit.toActual(s.nominal)),
  );
  const findings = edgeFindings(record, lands);
  const inBed = [...record.state.sites]
    .filter(([, s]) => isInBed(s.state))
    .map(([id, s]) => ({ id, at: s.at }));
  const rowsDo = rowsAndColumns(record, lands, pitch, aligned, task.known);
  const lines = rowsDo && inBed.length === 0 ? { ...aligned, rows: [], columns: [] } : null;
  const far = farthestFromLand(lands, task.rules.radius);
  if (far !== null) {
    return lines
      ? { ...lines, bound: ONLY_LINES }
      : noDraft([...findings, unreachable(record, far, task.rules.radius)]);
  }
  const free = freeAnswer(task, rowsDo ? task.known.length : Number.POSITIVE_INFINITY, effort);
  if (free === null)
    return lines ? { ...lines, bound: ONLY_LINES } : noDraft([...findings, crowded(record, task)]);
  if (lines && task.known.length < free.sites.length)
    return { ...lines, bound: fewerByNudges(free.bound, task.known.length) };
  let answer = free;
  let named = nameSites(free.sites, pitch);
  // What is in the bed stays. Where the layout without that condition has it anyway, names stay what they are.
  const tolerance = record.house.survey.limit + lands.uncertainty;
  const has = (s: { readonly id: string; readonly at: Point }): boolean => {
    const own = named.find((f) => f.id === s.id);
    return own !== undefined && distance(own.at, s.at) <= tolerance;
  };
  if (!inBed.every(has)) {
    const cover = coverOrRelaxed({ ...task, fixed: inBed.map((s) => s.at) }, effort);
    if (cover === null) return noDraft([...findings, crowded(record, task)]);
    answer = { sites: cover.sites, bound: boundOf(cover, inBed.length), demands: cover.demands };
    named = nameAround(cover.sites, inBed, pitch);
  }
  const sites: DraftSite[] = named.map((s) => ({
    id: s.id,
    row: s.row,
    column: s.column,
    nominal: fit.toNominal(s.at),
    nudge: null,
    placedBy: 'layout',
    reasons: [needOf(s.at, named, answer.demands, record.machine.units)],
  }));
  return { sites, rows: [], columns: [], bound: answer.bound, findings };
}

/** The board to cover from the lands. @param known sites of another layout, surveyed frame */
export function coverTask(
  record: MachineRecord,
  lands: Lands,
  pitch: PitchRule,
  known: readonly Point[],
): CoverTask {
  const { zoneScan } = lands.kinds;
  const toNominal = lands.toNominal;
  return {
    rules: coverRules(record, lands, pitch),
    land: lands.actual,
    scan: lands.actualScan,
    nearestLand: lands.nearestActual,
    inZone: (p) => zoneScan.holds(toNominal(p)),
    apart: lands.needs.between + lands.uncertainty,
    fixed: [],
    known,
  };
}

/**
 * The layout that nothing in the bed binds. A symmetric one where it needs no more sites and no more holes in zones; on
 * lands that are symmetric themselves it may cost one site in fifteen, and its price is told.
 */
function freeAnswer(task: CoverTask, most: number, effort: Effort): Answer | null {
  const cover = coverOrRelaxed(task, effort);
  if (cover === null) return null;
  const free: Answer = { sites: cover.sites, bound: boundOf(cover, 0), demands: cover.demands };
  if (effort === 'quick') return free;
  const even = symmetricCover({
    rules: task.rules,
    places: cover.lattice,
    demands: cover.demands,
    onLand: (p) => {
      const near = task.scan.holds(p) ? p : task.nearestLand(p);
      return near !== null && distance(near, p) <= ROUNDING ? near : null;
    },
    inZone: task.inZone,
    apart: task.apart,
  });
  if (even === null) return free;
  const count = cover.sites.length;
  const more = even.sites.length - count;
  const holes = (sites: readonly Point[]): number => sites.filter(task.inZone).length;
  if (more < 0 || (more === 0 && holes(even.sites) <= holes(cover.sites))) {
    return { ...free, sites: even.sites, bound: boundOf({ ...cover, sites: even.sites }, 0) };
  }
  const price = `${more} more than without symmetry, where ${count} would do`;
  if (more > 0 && even.exact && more <= count * SYMMETRY_SHARE && even.sites.length <= most) {
    const by = `the lands are symmetric, and so is the layout: ${price}; at least ${cover.lower} by an independent bound, wherever on the lands the sites stand`;
    return { ...free, sites: even.sites, bound: { lower: cover.lower, proven: false, by } };
  }
  if (more <= 0) return free;
  const by = `${free.bound.by}; a symmetric layout was found with ${even.sites.length}, ${more} more`;
  return { ...free, bound: { ...free.bound, by } };
}

/**
 * The least cover; where places of another layout are in its way, without them; where edges and corners would crowd sites
 * together, they need no more than the rest of the board.
 */
function coverOrRelaxed(task: CoverTask, effort: Effort): LeastCover | null {
  const { radius } = task.rules;
  const all = [radius, radius, radius, radius] as const;
  const relaxed = { ...task.rules, edges: all, corners: all };
  const anew = { ...task, known: [] };
  return (
    leastCover(task, effort) ?? leastCover(anew, effort) ?? leastCover({ ...anew, rules: relaxed }, effort)
  );
}

/** Whether rows and columns hold the board without a stop, as {@link coverageOf} counts: nudges are accounted for. */
function rowsAndColumns(
  record: MachineRecord,
  lands: Lands,
  pitch: PitchRule,
  aligned: Draft,
  actual: readonly Point[],
): boolean {
  if (aligned.sites.length === 0 || aligned.findings.some((f) => f.severity === 'stop')) return false;
  const nudge = Math.max(0, ...aligned.sites.map((s) => (s.nudge ? distance(s.nudge.by, [0, 0]) : 0)));
  const { radius } = coverageRadius(actual, lands.board);
  return (
    radius <= coverageLimit(pitch) + nudge + lands.uncertainty && record.machine.fixing.nudges.length === 0
  );
}

/** Where no places keep every distance of the pitch, and rows and columns hold the board with their nudges. */
const ONLY_LINES: Draft['bound'] = {
  lower: 0,
  proven: false,
  by: 'in rows and columns: no places on the lands keep every distance of the pitch, and what nudges take is accounted for',
};

function fewerByNudges(bound: Draft['bound'], count: number): Draft['bound'] {
  return {
    lower: Math.min(bound.lower, count),
    proven: false,
    by: `rows and columns do with fewer than places that keep every distance of the pitch, because what nudges take is accounted for; ${bound.by}`,
  };
}

function boundOf(cover: LeastCover, fixed: number): Draft['bound'] {
  const count = cover.sites.length;
  const proven = cover.lower >= count;
  const stay = fixed > 0 ? ` when the ${fixed} in the bed stay` : '';
  const by = proven
    ? `no sites on these lands, wherever they stand, cover the board with fewer than ${count}${stay}: ${cover.demands.length} points of the board alone need as many`
    : `least among ${cover.places} places tried${stay}, at least ${cover.lower} by an independent bound, wherever on the lands the sites stand`;
  return { lower: cover.lower, proven, by };
}

/** No land is near enough to a point of the board. */
function unreachable(
  record: MachineRecord,
  far: { readonly at: Point; readonly distance: number },
  radius: number,
): Diagnostic {
  const { units } = record.machine;
  return report({
    place: profilePlace(record),
    code: 'layout/impossible',
    message: `nothing can hold the board at ${placeText(far.at, units)}: it needs a site within ${shortLength(radius, units)} and the nearest land is ${shortLength(far.distance, units)} away`,
    facts: {
      x: rounded(far.at[0], 0),
      y: rounded(far.at[1], 0),
      within: rounded(radius, 1),
      nearest: rounded(far.distance, 1),
    },
  });
}

/** Land is near enough everywhere, but sites there would run into each other. */
function crowded(record: MachineRecord, task: CoverTask): Diagnostic {
  const { units } = record.machine;
  return report({
    place: profilePlace(record),
    code: 'layout/impossible',
    message: `no sites on the lands hold the whole board and keep ${shortLength(task.apart, units)} from each other, which their pockets and bores need`,
    facts: { apart: rounded(task.apart, 2) },
  });
}

function edgeFindings(record: MachineRecord, lands: Lands): Diagnostic[] {
  const { units } = record.machine;
  const edge = record.machine.fixing.layout.edge[1];
  return landBehindEdges(lands).flatMap((d, k) => {
    if (d <= edge + EPS) return [];
    const side = SIDES[k] as string;
    return [
      report({
        place: profilePlace(record),
        code: 'layout/edge-out-of-reach',
        message: `no land is nearer than ${shortLength(d, units)} to the ${side} edge of the board, the edge rule asks for ${shortLength(edge, units)}`,
        facts: { side, beyond: rounded(d - edge, 3) },
        help: `hold the ${side} edge down by other means or move the board; the sites move just inside`,
      }),
    ];
  });
}

interface Named {
  readonly id: string;
  readonly row: number;
  readonly column: number;
  readonly at: Point;
}

function nameSites(at: readonly Point[], pitch: PitchRule): Named[] {
  const grid = rowsOf(at, pitch.limit / 4);
  return at
    .map((p, i) => {
      const { row, column } = grid[i] as { row: number; column: number };
      return { id: siteName(row, column), row, column, at: p };
    })
    .sort((a, b) => a.row - b.row || a.column - b.column);
}

/** Names when some sites are in the bed already: those keep theirs, the others take the next free number of their row. */
function nameAround(
  at: readonly Point[],
  inBed: readonly { readonly id: string; readonly at: Point }[],
  pitch: PitchRule,
): Named[] {
  const taken = new Set(inBed.map((s) => s.id));
  return nameSites(at, pitch).map((s) => {
    const old = inBed.find((b) => distance(b.at, s.at) < EPS);
    if (old) return { ...s, id: old.id };
    let column = s.column;
    while (taken.has(siteName(s.row, column))) column++;
    const id = siteName(s.row, column);
    taken.add(id);
    return { ...s, id };
  });
}

/** What only this site covers. */
function needOf(at: Point, all: readonly Named[], demands: readonly Demand[], units: Units): string {
  let far: Demand | null = null;
  let next = 0;
  for (const d of demands) {
    if (distance(d.at, at) > d.within + EPS) continue;
    let other = Number.POSITIVE_INFINITY;
    for (const s of all) if (s.at !== at) other = Math.min(other, distance(s.at, d.at));
    if (other > d.within + EPS && other > next) {
      next = other;
      far = d;
    }
  }
  if (far === null) return 'one of the fewest that cover the board together';
  const where = far.of === 'board' ? 'the board' : far.of === 'edge' ? 'the edge' : 'the corner';
  return Number.isFinite(next)
    ? `without it ${where} at ${placeText(far.at, units)} would be ${shortLength(next, units)} from the next site, ${shortLength(far.within, units)} are allowed`
    : `it alone covers ${where} at ${placeText(far.at, units)}`;
}
