import { bounds } from '@bedledger/geometry';
import { type Interval, type Intervals, includes, intersect } from '../lands/intervals.ts';
import type { Lands } from '../lands/lands.ts';
import { OUTER_SHARE } from './plate.ts';
import { placeLines, type StopRules } from './stops.ts';

/** What a crossing costs, in one currency; a hole into a plenum must outweigh every nicety together. */
export const NO_LAND = 1e6;
const IN_ZONE = 1000;
const TOUCHES_ZONE = 30;
const NUDGED = 12;
/** Added for a nudge of 25 mm or more, in proportion below. */
const NUDGE_LENGTH = 12;
const NEAR_EDGE_OF_LAND = 2;
const UNEVEN = 60;
/** A symmetric set of lines is taken when it costs at most this much more: never another hole in a zone. */
const SYMMETRY = 40;
const ROUNDS = 6;
const NARROW = 60;
const MOST_BANDS = 150;

/** Rows and columns, and what they cost. */
export interface Lines {
  readonly columns: readonly number[];
  readonly rows: readonly number[];
  readonly cost: number;
}

/** What lines in one direction meet. Every line is cut once, however often it is asked about. */
interface Cuts {
  /** Parts of the line that are at most the nudge limit away from land, that are land, zone, or zone grown by a bore. */
  readonly near: (v: number) => Intervals;
  readonly exact: (v: number) => Intervals;
  readonly zones: (v: number) => Intervals;
  readonly bores: (v: number) => Intervals;
  /** Values along the line where many small lands begin, end or have their middle. */
  readonly bands: readonly number[];
}

/** Cuts along columns, which run along Y, and along rows. */
export interface LandCuts {
  readonly columns: Cuts;
  readonly rows: Cuts;
}

/** @param nudge how far from a crossing its land may be, mm */
export function landCuts(lands: Lands, nudge: number): LandCuts {
  const { scan } = lands;
  const { zoneScan, boreScan } = lands.kinds;
  const bands = knownBands(lands);
  return {
    columns: {
      near: kept((x) => scan.nearAlongY(x, nudge)),
      exact: kept(scan.alongY),
      zones: kept(zoneScan.alongY),
      bores: kept(boreScan.alongY),
      bands: bands.y,
    },
    rows: {
      near: kept((y) => scan.nearAlongX(y, nudge)),
      exact: kept(scan.alongX),
      zones: kept(zoneScan.alongX),
      bores: kept(boreScan.alongX),
      bands: bands.x,
    },
  };
}

export interface LineRules {
  readonly columns: StopRules;
  readonly rows: StopRules;
}

/**
 * The best so many rows and columns: alternates between the best rows for given columns and the best columns for given
 * rows until nothing changes, from a few starts. Null when so many lines cannot obey the rules.
 */
export function searchLines(
  cuts: LandCuts,
  rules: LineRules,
  count: { readonly columns: number; readonly rows: number },
): Lines | null {
  const rowsFor = answers((columns) => bestLines(rules.rows, count.rows, columns, cuts.columns));
  const columnsFor = answers((rows) => bestLines(rules.columns, count.columns, rows, cuts.rows));
  const starts = [
    () => firstLines(rules.columns, count.columns, cuts.columns, cuts.rows, rules.rows),
    () => {
      const rows = firstLines(rules.rows, count.rows, cuts.rows, cuts.columns, rules.columns);
      return rows && columnsFor(rows)?.lines;
    },
    () => evenLines(rules.columns, count.columns),
  ];
  let best: Lines | null = null;
  for (const [tried, start] of starts.entries()) {
    // The even start is for beds on which the others run into a place without land.
    if (tried === 2 && best !== null && best.cost < NO_LAND) break;
    let columns = start() ?? null;
    let state: Lines | null = null;
    for (let round = 0; round < ROUNDS && columns !== null; round++) {
      const rows = rowsFor(columns);
      const next = rows && columnsFor(rows.lines);
      if (!rows || !next) break;
      if (state !== null && next.cost >= state.cost - 1e-6) break;
      state = { columns: next.lines, rows: rows.lines, cost: next.cost };
      columns = next.lines;
    }
    if (state && (best === null || state.cost < best.cost - 1e-6)) best = state;
    if (best && best.cost < IN_ZONE) break;
  }
  return best;
}

/** Remembers the cut along every line. */
function kept(cut: (v: number) => Intervals): (v: number) => Intervals {
  const known = new Map<number, Intervals>();
  return (v) => {
    let hit = known.get(v);
    if (hit === undefined) {
      hit = cut(v);
      known.set(v, hit);
    }
    return hit;
  };
}

/** Remembers the answer for every set of lines asked about. */
function answers(ask: (others: readonly number[]) => ReturnType<typeof placeLines>): typeof ask {
  const known = new Map<string, ReturnType<typeof placeLines>>();
  return (others) => {
    const key = others.join(' ');
    const hit = known.get(key);
    if (hit !== undefined) return hit;
    const found = ask(others);
    known.set(key, found);
    return found;
  };
}

/** The best lines of one axis when the lines of the other, `others`, are given with what they meet. */
function bestLines(
  rules: StopRules,
  count: number,
  others: readonly number[],
  cuts: Cuts,
): ReturnType<typeof placeLines> {
  const near = others.map(cuts.near);
  const exact = others.map(cuts.exact);
  const zones = others.map(cuts.zones);
  const bores = others.map(cuts.bores);
  const at = (v: number): number => {
    let cost = 0;
    for (let i = 0; i < others.length; i++) {
      if (!includes(near[i] as Intervals, v)) cost += NO_LAND;
      if (includes(zones[i] as Intervals, v)) cost += IN_ZONE;
      else if (includes(bores[i] as Intervals, v)) cost += TOUCHES_ZONE;
      const room = roomIn(exact[i] as Intervals, v);
      cost +=
        room < 0
          ? NUDGED + NUDGE_LENGTH * Math.min(1, -room / 25)
          : NEAR_EDGE_OF_LAND * (1 - Math.min(room, 4) / 4);
    }
    return cost;
  };
  let common: Intervals = rules.allowed;
  for (const set of exact) common = intersect(common, set);
  let close: Intervals = rules.allowed;
  for (const set of near) close = intersect(close, set);
  const candidates = [...zoneEdges(zones, rules), ...zoneEdges(bores, rules), ...cuts.bands];
  tidy(candidates, rules);
  candidates.push(...grid(rules, 150), ...landmarks(common, rules), ...landmarks(close, rules));
  return placeLines(rules, count, { at, candidates, evenness: UNEVEN }, OUTER_SHARE, SYMMETRY);
}

/**
 * Lines to begin with: where most of the line is near a land and little of it inside zones.
 * @param own what the lines meet @param other what lines across them meet @param across rules of those
 */
function firstLines(
  rules: StopRules,
  count: number,
  own: Cuts,
  other: Cuts,
  across: StopRules,
): readonly number[] | null {
  const span: Interval = [across.from, across.to];
  const length = span[1] - span[0];
  const zones = [0.2, 0.35, 0.5, 0.65, 0.8].map((f) => other.zones(span[0] + f * length));
  const at = (v: number): number => {
    const on = totalIn(own.exact(v), span) / length;
    const inZones = totalIn(own.zones(v), span) / length;
    return 4 * IN_ZONE * inZones + 8 * IN_ZONE * (1 - on);
  };
  const candidates = [...other.bands, ...grid(rules, 40), ...zoneEdges(zones, rules)];
  return (
    placeLines(
      rules,
      count,
      { at, candidates: [...new Set(candidates)], evenness: UNEVEN },
      OUTER_SHARE,
      SYMMETRY,
    )?.lines ?? null
  );
}

function evenLines(rules: StopRules, count: number): readonly number[] | null {
  return (
    placeLines(
      rules,
      count,
      { at: () => 0, candidates: grid(rules, 40), evenness: UNEVEN },
      OUTER_SHARE,
      SYMMETRY,
    )?.lines ?? null
  );
}

/** What every layout on the same lands asks for again. */
const known = new WeakMap<Lands, Bands>();

function knownBands(lands: Lands): Bands {
  let hit = known.get(lands);
  if (!hit) {
    hit = bandsOf(lands);
    known.set(lands, hit);
  }
  return hit;
}

interface Bands {
  readonly x: readonly number[];
  readonly y: readonly number[];
}

/** Middles and ends of the small lands between grooves, the most frequent ones: where a line meets many of them. */
function bandsOf(lands: Lands): Bands {
  const counts = [new Map<number, number>(), new Map<number, number>()] as const;
  for (const polygon of lands.nominal) {
    const box = bounds([polygon]);
    const spans = [
      [box.minX, box.maxX],
      [box.minY, box.maxY],
    ] as const;
    for (const k of [0, 1] as const) {
      const [from, to] = spans[k];
      if (to - from > NARROW) continue;
      for (const v of [Math.ceil(from * 10), Math.round((from + to) * 5), Math.floor(to * 10)]) {
        counts[k].set(v / 10, (counts[k].get(v / 10) ?? 0) + 1);
      }
    }
  }
  const pick = (m: ReadonlyMap<number, number>): number[] =>
    [...m]
      .sort((p, q) => q[1] - p[1] || p[0] - q[0])
      .slice(0, MOST_BANDS)
      .map(([v]) => v);
  return { x: pick(counts[0]), y: pick(counts[1]) };
}

/** Values to try everywhere, counted from the middle so that a mirrored board has the mirrored values. */
function grid(rules: StopRules, most: number): number[] {
  const middle = (rules.from + rules.to) / 2;
  const half = (rules.to - rules.from) / 2;
  const step = Math.max(2.5, half / most);
  const out = [middle];
  for (let d = step; d < half; d += step) out.push(middle - d, middle + d);
  tidy(out, rules);
  return out;
}

/** Just outside every zone, and up to two full gaps from there: a row stays out of a zone by pushing its neighbours. */
function zoneEdges(zones: readonly Intervals[], rules: StopRules): number[] {
  const ends = new Set<number>();
  for (const set of zones) {
    for (const [a, b] of set) {
      ends.add(Math.floor(a * 10 - 1) / 10);
      ends.add(Math.ceil(b * 10 + 1) / 10);
    }
  }
  if (ends.size > 24) return [];
  const out: number[] = [];
  for (const e of ends) for (let k = -2; k <= 2; k++) out.push(e + k * rules.pitch);
  return out;
}

/** Tenths of a millimetre from the middle: positions that people can read and write. */
function tidy(values: number[], rules: StopRules): void {
  const middle = (rules.from + rules.to) / 2;
  for (const [i, v] of values.entries()) values[i] = middle + Math.round((v - middle) * 10) / 10;
}

/** Middles and ends of intervals, in tenths where those still lie inside. */
function landmarks(set: Intervals, rules: StopRules): number[] {
  const middle = (rules.from + rules.to) / 2;
  const out: number[] = [];
  const add = (v: number, a: number, b: number): void => {
    const tenth = middle + Math.round((v - middle) * 10) / 10;
    out.push(tenth >= a && tenth <= b ? tenth : v);
  };
  for (const [a, b] of set) {
    add((a + b) / 2, a, b);
    if (b - a > 12) {
      add(a + 4, a, b);
      add(b - 4, a, b);
    }
    if (b - a > 2) {
      add(middle + Math.ceil((a - middle) * 10) / 10, a, b);
      add(middle + Math.floor((b - middle) * 10) / 10, a, b);
      out.push(a, b);
    }
  }
  return out;
}

/** Distance to the nearer end of the interval that holds `v`; when none does, minus the distance to the nearest. */
function roomIn(set: Intervals, v: number): number {
  let low = 0;
  let high = set.length - 1;
  while (low <= high) {
    const mid = (low + high) >> 1;
    const one = set[mid] as Interval;
    if (v < one[0]) high = mid - 1;
    else if (v > one[1]) low = mid + 1;
    else return Math.min(v - one[0], one[1] - v);
  }
  const before = high >= 0 ? v - (set[high] as Interval)[1] : Number.POSITIVE_INFINITY;
  const after = low < set.length ? (set[low] as Interval)[0] - v : Number.POSITIVE_INFINITY;
  return -Math.min(before, after);
}

/** Length of a set inside a span. */
function totalIn(set: Intervals, span: Interval): number {
  let sum = 0;
  for (const one of set) sum += Math.max(0, Math.min(one[1], span[1]) - Math.max(one[0], span[0]));
  return sum;
}
