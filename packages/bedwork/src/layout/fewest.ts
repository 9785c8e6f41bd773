import type { Diagnostic } from '@bedledger/diagnostics';
import { atLeastLength, placeText, shortLength, type Units } from '@bedledger/diagnostics';
import type { MachineRecord } from '@bedledger/fleet';
import {
  type CoverInstance,
  coverSet,
  distance,
  nearestPointIn,
  type Point,
  regionFromRing,
} from '@bedledger/geometry';
import { boardBox } from '../base/board.ts';
import { profilePlace } from '../base/places.ts';
import { type Lands, landsBox } from '../lands/lands.ts';
import { report } from '../report.ts';
import type { BedFit } from '../survey/bed-fit.ts';
import { alignedLayout, noLands } from './aligned.ts';
import { type Candidates, landCandidates } from './candidates.ts';
import { brokenDemands, type CoverRules, cornersOf, type Demand, firstDemands } from './demand.ts';
import { type Draft, type DraftSite, noDraft } from './draft.ts';
import { isInBed } from './ledger-sites.ts';
import { rowsOf, siteName } from './names.ts';
import type { PitchRule } from './pitch.ts';

/** A site costs this much more than keeping it out of a zone is worth, so that the number stays the least. */
const SITE_COST = 1000;
const RANK_COST = [0, 0.5, 12] as const;
const QUICK_STEPS = 3000;
const LONG_STEPS = 20_000;
/** Elementary operations spent on the proof. */
const PROOF = 2.5e7;
const POLISH_ROUNDS = 25;
const MOST_UNREACHABLE = 40;
/** Rounds of adding what the last cover left open; far more than ever needed. */
const ROUNDS = 200;
const EPS = 1e-6;

/** The set cover that a layout came from, and its answer: what a test or a bench hands to another solver. */
export interface FewestProblem {
  readonly points: readonly Point[];
  readonly demands: readonly Demand[];
  /** Candidates that are chosen together: images of each other where the layout has to be symmetric, else one each. */
  readonly groups: readonly (readonly number[])[];
  /** For every demand the groups that meet it. */
  readonly rows: readonly (readonly number[])[];
  /** Chosen candidates. */
  readonly chosen: readonly number[];
  /** No choice of groups has fewer candidates. */
  readonly lowerBound: number;
  readonly proven: boolean;
  readonly symmetric: Candidates['symmetric'];
  /** Fewest found without the symmetry; null where that was not asked. */
  readonly withoutSymmetry: number | null;
}

/**
 * The least number of sites that cover the board: every point within half the diagonal of a pitch square, every edge
 * point and every corner as near as the rows of the edge rule would have them.
 *
 * Minimum set cover over candidate lands. The points to cover are not a fixed sample: whatever the found cover leaves
 * open on the continuous board, exactly, is added until nothing is, so the answer covers, and its lower bound holds,
 * because fewer points can only need fewer sites.
 */
export function fewestLayout(record: MachineRecord, fit: BedFit, lands: Lands, pitch: PitchRule): Draft {
  const box = landsBox(lands);
  if (box === null) return noDraft([noLands(record, lands)]);
  const findings: Diagnostic[] = [];
  const inBed = [...record.state.sites]
    .filter(([, s]) => isInBed(s.state))
    .map(([id, s]) => ({ id, at: fit.toNominal(s.at) }));

  let problem = solve(record, fit, lands, pitch, [], findings);
  if (problem === null) return noDraft(findings);
  // What is in the bed stays. If the free answer has it anyway, the free answer stands, so that names stay what they are.
  let fixed = 0;
  if (inBed.length > 0) {
    const tolerance = record.house.survey.limit + lands.uncertainty;
    const free = nameSites(problem, pitch);
    const same = inBed.every((s) => {
      const own = free.find((f) => f.id === s.id);
      return own !== undefined && distance(own.at, s.at) <= tolerance;
    });
    if (!same) {
      findings.length = 0;
      problem = solve(
        record,
        fit,
        lands,
        pitch,
        inBed.map((s) => s.at),
        findings,
      );
      if (problem === null) return noDraft(findings);
      fixed = inBed.length;
    }
  }
  const named = fixed === 0 ? nameSites(problem, pitch) : nameAround(problem, inBed, pitch);
  const sites: DraftSite[] = named.map((s) => ({
    id: s.id,
    row: s.row,
    column: s.column,
    nominal: s.at,
    nudge: null,
    placedBy: 'layout',
    reasons: [needOf(s.at, named, problem as FewestProblem, record.machine.units)],
  }));
  const count = problem.chosen.length;
  const kind =
    problem.symmetric !== 'none' && problem.groups.length < problem.points.length
      ? 'symmetric choice'
      : 'choice';
  const cheaper =
    problem.withoutSymmetry !== null && problem.withoutSymmetry < count
      ? `; without symmetry ${problem.withoutSymmetry} would do`
      : '';
  const by = problem.proven
    ? `no ${kind} among ${problem.points.length} candidate places covers with fewer than ${count}${fixed > 0 ? ` when the ${fixed} in the bed stay` : ''}: ${problem.demands.length} points of the board alone need as many (set cover solved to optimality)${cheaper}`
    : `${problem.demands.length} points of the board need at least ${problem.lowerBound} of ${problem.points.length} candidate places (lower bound of the set cover), ${count} were found${cheaper}`;
  return {
    sites,
    rows: [],
    columns: [],
    bound: { lower: problem.lowerBound, proven: problem.proven, by },
    symmetric: problem.symmetric,
    findings,
  };
}

/** The set cover behind the pattern `fewest`; null with a finding when it cannot be posed at all. */
export function solve(
  record: MachineRecord,
  fit: BedFit,
  lands: Lands,
  pitch: PitchRule,
  fixed: readonly Point[],
  findings: Diagnostic[],
): FewestProblem | null {
  const aligned = alignedLayout(record, lands, pitch).sites.map((s) => s.nominal);
  const candidates = landCandidates(record.machine, lands, pitch.limit, fixed, aligned);
  const { points } = candidates;
  if (points.length === 0) {
    findings.push(noLands(record, lands));
    return null;
  }
  const rules = coverRules(record, fit, lands, pitch, candidates, findings);
  const demands = new DemandRows(points, firstDemands(rules, pitch.limit / 4), rules);
  const singles = points.map((_, i) => [i]);
  const still = fixed.map((_, i) => i);

  let groups: readonly (readonly number[])[] = singles;
  let symmetric: Candidates['symmetric'] = 'none';
  let withoutSymmetry: number | null = null;
  let answer: Settled | null = null;
  if (candidates.exact) {
    // A symmetric bed gets a symmetric layout, unless rows and columns would be fewer.
    const even = settle(demands, candidates.orbits, [], [], PROOF);
    if (even !== null && even.chosen.length <= aligned.length) {
      answer = even;
      groups = candidates.orbits;
      symmetric = candidates.symmetric;
      withoutSymmetry = settle(demands, singles, still, even.chosen, 0)?.chosen.length ?? null;
    }
  }
  if (answer === null) {
    answer = settle(demands, singles, still, [], PROOF);
    if (answer === null) throw new Error('a demand lost its candidates: this is a fault of the program');
    if (candidates.symmetric !== 'none') {
      // A bed that is nearly symmetric gets a symmetric layout where that needs no more sites.
      const even = settle(demands, candidates.orbits, [], [], 0);
      if (even !== null && even.chosen.length <= answer.chosen.length) {
        answer = { chosen: even.chosen, lowerBound: answer.lowerBound };
        symmetric = candidates.symmetric;
      }
    }
  }
  let { chosen } = answer;
  const kinder = offZones(
    demands,
    candidates,
    symmetric === 'none' ? singles : candidates.orbits,
    still,
    chosen,
  );
  if (kinder !== null && kinder.length <= chosen.length) chosen = kinder;
  reportUnreachable(record, lands, demands.unreachable, points, findings);
  return {
    points,
    demands: demands.list,
    groups,
    rows: groupRows(demands.rows, groups),
    chosen,
    lowerBound: answer.lowerBound,
    proven: answer.lowerBound >= chosen.length,
    symmetric,
    withoutSymmetry,
  };
}

interface Settled {
  readonly chosen: number[];
  readonly lowerBound: number;
}

/** For every demand the groups with a candidate that meets it; `known` holds the first of them already. */
function groupRows(
  rows: readonly (readonly number[])[],
  groups: readonly (readonly number[])[],
  known: number[][] = [],
): number[][] {
  const groupOf = new Map<number, number>();
  for (const [g, members] of groups.entries()) for (const i of members) groupOf.set(i, g);
  for (let r = known.length; r < rows.length; r++) {
    const met = new Set<number>();
    for (const i of rows[r] as readonly number[]) {
      const g = groupOf.get(i);
      if (g !== undefined) met.add(g);
    }
    known.push([...met]);
  }
  return known;
}

/** The demands so far, each with the candidates that meet it. */
class DemandRows {
  readonly list: Demand[] = [];
  readonly rows: number[][] = [];
  /** Demands that no candidate meets. */
  readonly unreachable: Demand[] = [];
  readonly points: readonly Point[];
  readonly rules: CoverRules;
  readonly #known = new Set<string>();

  constructor(points: readonly Point[], first: readonly Demand[], rules: CoverRules) {
    this.points = points;
    this.rules = rules;
    for (const d of first) this.#add(d);
  }

  /** Adds what a choice leaves open; false when it leaves nothing open. */
  cut(chosen: readonly number[]): boolean {
    const before = this.list.length;
    for (const d of brokenDemands(
      chosen.map((i) => this.points[i] as Point),
      this.rules,
    )) {
      this.#add(d);
    }
    return this.list.length > before;
  }

  #add(d: Demand): void {
    const key = keyOf(d);
    if (this.#known.has(key)) return;
    this.#known.add(key);
    let row = meets(this.points, d.at, d.within);
    if (row.length === 0) {
      // Nothing can meet it: what is nearest must, and somebody must be told; a few such points say it all.
      if (this.unreachable.length >= MOST_UNREACHABLE) return;
      this.unreachable.push(d);
      row = meets(this.points, d.at, nearestDistance(this.points, d.at) + 1);
    }
    this.list.push(d);
    this.rows.push(row);
  }
}

/**
 * Solves the cover over groups of candidates, adding what is left open until nothing is.
 * Null when some demand is met by no group.
 */
function settle(
  demands: DemandRows,
  groups: readonly (readonly number[])[],
  fixed: readonly number[],
  first: readonly number[],
  budget: number,
): Settled | null {
  const cost = groups.map((g) => g.length);
  const members = (chosen: readonly number[]): number[] =>
    chosen.flatMap((g) => groups[g] as readonly number[]);
  let chosen: readonly number[] = first;
  const rows: number[][] = [];
  for (let round = 0; round < ROUNDS; round++) {
    const instance: CoverInstance = {
      columns: groups.length,
      rows: groupRows(demands.rows, groups, rows),
      cost,
      fixed,
    };
    if (instance.rows.some((row) => row.length === 0)) return null;
    chosen = coverSet(instance, { start: chosen, proof: 0, steps: QUICK_STEPS, seed: 1 + round }).chosen;
    if (demands.cut(members(chosen))) continue;
    // Nothing is open: now the long search and the proof, which may find a smaller cover and go on.
    const proof = coverSet(instance, {
      start: chosen,
      seed: 7,
      steps: budget > 0 ? LONG_STEPS : QUICK_STEPS,
      proof: budget,
    });
    if (!demands.cut(members(proof.chosen))) {
      return { chosen: members(proof.chosen), lowerBound: Math.ceil(proof.lowerBound - 1e-9) };
    }
    chosen = proof.chosen;
  }
  throw new Error(`the cover did not settle in ${ROUNDS} rounds: this is a fault of the program`);
}

/** The same number of sites with fewer inside zones; null when none was found. */
function offZones(
  demands: DemandRows,
  candidates: Candidates,
  groups: readonly (readonly number[])[],
  fixed: readonly number[],
  start: readonly number[],
): number[] | null {
  const groupOf = new Map<number, number>();
  for (const [g, members] of groups.entries()) for (const i of members) groupOf.set(i, g);
  const cost = groups.map((g) => {
    let sum = 0;
    for (const i of g) sum += SITE_COST + (RANK_COST[candidates.rank[i] as number] as number);
    return sum;
  });
  let chosen: readonly number[] = [...new Set(start.map((i) => groupOf.get(i) as number))];
  for (let round = 0; round < POLISH_ROUNDS; round++) {
    const rows = groupRows(demands.rows, groups);
    if (rows.some((row) => row.length === 0)) return null;
    chosen = coverSet(
      { columns: groups.length, rows, cost, fixed },
      { start: chosen, proof: 0, steps: 4 * QUICK_STEPS, seed: 3 },
    ).chosen;
    const members = chosen.flatMap((g) => groups[g] as readonly number[]);
    if (!demands.cut(members)) return members;
  }
  return null;
}

function coverRules(
  record: MachineRecord,
  fit: BedFit,
  lands: Lands,
  pitch: PitchRule,
  candidates: Candidates,
  findings: Diagnostic[],
): CoverRules {
  const board = boardBox(record.machine);
  const corners = cornersOf(board);
  // A distance on the drawing is at most this much longer on the bed.
  const stretch = largestStretch(fit);
  const radius = (pitch.limit * Math.SQRT1_2) / stretch;
  const edge = record.machine.fixing.layout.edge[1];
  const half = pitch.outer / 2;
  const box = landsBox(lands) ?? board;
  const off = [box.minY - board.minY, board.maxX - box.maxX, board.maxY - box.maxY, box.minX - board.minX];
  const edges = off.map((d) => {
    const e = Math.max(edge, d);
    return Math.min(radius, Math.sqrt(e * e + half * half));
  }) as unknown as CoverRules['edges'];
  const cornerLimits = corners.map((c) => {
    const near = nearestDistance(candidates.points, c);
    return Math.min(radius, Math.max(edge * Math.SQRT2, near + 1));
  }) as unknown as CoverRules['corners'];
  const { units } = record.machine;
  const sides = ['front', 'right', 'back', 'left'] as const;
  for (const [k, d] of off.entries()) {
    if (d <= edge + EPS) continue;
    findings.push(
      report({
        place: profilePlace(record),
        code: 'layout/edge-out-of-reach',
        message: `no land is nearer than ${shortLength(d, units)} to the ${sides[k]} edge of the board, the edge rule asks for ${shortLength(edge, units)}`,
        facts: { side: sides[k] as string, beyond: Math.round((d - edge) * 1000) / 1000 },
        help: `hold the ${sides[k]} edge down by other means or move the board; the sites move just inside`,
      }),
    );
  }
  return { board, region: regionFromRing(corners), radius, edges, corners: cornerLimits };
}

/** Largest factor by which the fit lengthens a distance: the larger singular value of its linear part. */
function largestStretch(fit: BedFit): number {
  const { a, b, d, e } = fit.transform;
  const sum = a * a + b * b + d * d + e * e;
  const det = a * e - b * d;
  return Math.sqrt((sum + Math.sqrt(Math.max(0, sum * sum - 4 * det * det))) / 2);
}

function meets(points: readonly Point[], at: Point, within: number): number[] {
  const out: number[] = [];
  for (const [i, p] of points.entries()) if (distance(p, at) <= within + EPS) out.push(i);
  return out;
}

function nearestDistance(points: readonly Point[], at: Point): number {
  let near = Number.POSITIVE_INFINITY;
  for (const p of points) near = Math.min(near, distance(p, at));
  return near;
}

function keyOf(d: Demand): string {
  return `${d.of}${Math.round(d.at[0] * 1000)},${Math.round(d.at[1] * 1000)}`;
}

function reportUnreachable(
  record: MachineRecord,
  lands: Lands,
  list: readonly Demand[],
  points: readonly Point[],
  findings: Diagnostic[],
): void {
  let worst: Demand | null = null;
  let far = 0;
  for (const d of list) {
    const near = nearestDistance(points, d.at);
    if (near - d.within > far) {
      far = near - d.within;
      worst = d;
    }
  }
  if (worst === null) return;
  const { units } = record.machine;
  const land = nearestPointIn(lands.nominal, worst.at);
  const near = land ? distance(land, worst.at) : Number.POSITIVE_INFINITY;
  findings.push(
    report({
      place: profilePlace(record),
      code: 'layout/impossible',
      severity: worst.of === 'board' ? 'stop' : 'warn',
      message: `nothing can hold the board at ${placeText(worst.at, units)}${worst.of === 'board' ? '' : ` (${worst.of})`}: it needs a site within ${shortLength(worst.within, units)} and the nearest land is ${shortLength(near, units)} away`,
      facts: {
        x: Math.round(worst.at[0]),
        y: Math.round(worst.at[1]),
        within: Math.round(worst.within),
        nearest: Math.round(near),
      },
      help: `raise fixing.layout.pitch_max to ${atLeastLength(near * Math.SQRT2, units)}, make room for a site there, or use a fixing that needs less wall`,
    }),
  );
}

interface Named {
  readonly id: string;
  readonly row: number;
  readonly column: number;
  readonly at: Point;
}

function nameSites(problem: FewestProblem, pitch: PitchRule): Named[] {
  const at = problem.chosen.map((i) => problem.points[i] as Point);
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
  problem: FewestProblem,
  inBed: readonly { readonly id: string; readonly at: Point }[],
  pitch: PitchRule,
): Named[] {
  const taken = new Set(inBed.map((s) => s.id));
  return nameSites(problem, pitch).map((s) => {
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
function needOf(at: Point, all: readonly Named[], problem: FewestProblem, units: Units): string {
  let far: Demand | null = null;
  let next = 0;
  for (const d of problem.demands) {
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
