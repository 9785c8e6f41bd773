import type { Diagnostic } from '@bedledger/diagnostics';
import { atLeastLength, placeText, shortLength, shortNumber, type Units } from '@bedledger/diagnostics';
import type { MachineRecord } from '@bedledger/fleet';
import { type Box, bounds, distance, type Point } from '@bedledger/geometry';
import { boardBox } from '../base/board.ts';
import { profilePlace } from '../base/places.ts';
import { type Interval, type Intervals, includes, intersect } from '../lands/intervals.ts';
import { type Lands, landsBox } from '../lands/lands.ts';
import { type LineScan, lineScan } from '../lands/line-scan.ts';
import { SLACK } from '../lands/needs.ts';
import { report } from '../report.ts';
import { type Draft, type DraftSite, noDraft } from './draft.ts';
import { siteName } from './names.ts';
import type { PitchRule } from './pitch.ts';
import { OUTER_SHARE } from './plate.ts';
import { fewestLines, placeLines, type StopRules } from './stops.ts';

/** What a crossing costs, in one currency; a hole into a plenum must outweigh every nicety together. */
const NO_LAND = 1e6;
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
const MORE_LINES = 3;
const NARROW = 60;
const MOST_BANDS = 150;

interface Axis {
  readonly name: 'row' | 'column';
  readonly rules: StopRules;
  /** How far the first and the last line had to go beyond the edge rule, mm. */
  readonly relaxed: { readonly first: number; readonly last: number };
}

interface Solved {
  readonly columns: readonly number[];
  readonly rows: readonly number[];
  readonly cost: number;
  readonly columnsSymmetric: boolean;
  readonly rowsSymmetric: boolean;
}

/**
 * Rows and columns: the fewest lines whose gaps obey the pitch, put where their crossings are on lands, on dividers and
 * outer lands first; a crossing that is not on a land goes to the nearest one within the nudge limit.
 */
export function alignedLayout(record: MachineRecord, lands: Lands, pitch: PitchRule): Draft {
  const { units } = record.machine;
  const rules = record.machine.fixing.layout;
  const box = landsBox(lands);
  const place = profilePlace(record);
  if (box === null) return noDraft([noLands(record, lands)]);
  const board = boardBox(record.machine);
  const { zones, bores, bands } = preparedOf(lands);
  const columnAxis = axis('column', [board.minX, board.maxX], [box.minX, box.maxX], record, lands, pitch);
  const rowAxis = axis('row', [board.minY, board.maxY], [box.minY, box.maxY], record, lands, pitch);
  const leastColumns = fewestLines(columnAxis.rules);
  const leastRows = fewestLines(rowAxis.rules);
  const findings: Diagnostic[] = [
    ...relaxFindings(record, lands, columnAxis),
    ...relaxFindings(record, lands, rowAxis),
  ];
  if (leastColumns === null || leastRows === null) {
    if (leastColumns === null) findings.push(impossible(record, columnAxis));
    if (leastRows === null) findings.push(impossible(record, rowAxis));
    return noDraft(findings);
  }

  let best: Solved | null = null;
  let proven = true;
  for (const [extraRows, extraColumns] of extras(leastRows, leastColumns)) {
    const solved = alternate(
      lands.scan,
      Math.max(0, rules.nudgeMax - SLACK),
      zones,
      bores,
      bands,
      columnAxis.rules,
      rowAxis.rules,
      leastColumns + extraColumns,
      leastRows + extraRows,
    );
    if (solved && (best === null || solved.cost < best.cost - NO_LAND / 2)) {
      best = solved;
      proven = extraRows === 0 && extraColumns === 0;
    }
    if (best && best.cost < NO_LAND) break;
  }
  if (best === null) {
    findings.push(impossible(record, rowAxis));
    return noDraft(findings);
  }
  const { rows, columns } = best;
  const sites: DraftSite[] = [];
  for (const [row, y] of rows.entries()) {
    for (const [column, x] of columns.entries()) {
      const id = siteName(row, column);
      const crossing: Point = [x, y];
      const reasons = lineReasons(board, pitch, rules.edge, rows, columns, row, column, units);
      const land = includes(lands.scan.alongY(x), y) ? crossing : lands.nearestLand(crossing);
      const off = land ? distance(land, crossing) : Number.POSITIVE_INFINITY;
      if (off < SLACK / 4) {
        sites.push({ id, row, column, nominal: crossing, nudge: null, placedBy: 'layout', reasons });
        continue;
      }
      if (land && off <= rules.nudgeMax) {
        const by: Point = [land[0] - x, land[1] - y];
        const reason = `the crossing of row ${id.replace(/\d+$/, '')} and column ${column + 1} is ${shortLength(off, units)} off the nearest land`;
        sites.push({ id, row, column, nominal: land, nudge: { by, reason }, placedBy: 'layout', reasons });
        continue;
      }
      findings.push(
        report({
          place,
          code: 'layout/no-land',
          message: `no land for site ${id} at ${placeText([x, y], units)}: the nearest is ${shortLength(off, units)} away, nudge_max allows ${shortLength(rules.nudgeMax, units)}`,
          facts: { site: id, x: round(x), y: round(y), nearest: round(off), allowed: rules.nudgeMax },
          help: `raise fixing.layout.nudge_max to ${atLeastLength(off, units)}, or use pattern fewest, or write the sites out with pattern given`,
        }),
      );
      sites.push({ id, row, column, nominal: crossing, nudge: null, placedBy: 'layout', reasons });
    }
  }
  const lower = leastRows * leastColumns;
  const count = rows.length * columns.length;
  const by =
    count === lower
      ? `no layout in rows and columns has fewer than ${leastRows} rows (${shortLength(rowAxis.rules.to - rowAxis.rules.from, units)} of board) or ${leastColumns} columns (${shortLength(columnAxis.rules.to - columnAxis.rules.from, units)}): exact one-dimensional cover at ${shortLength(pitch.limit, units)} pitch`
      : `pitch and edge alone need ${leastRows} rows and ${leastColumns} columns; with those some crossing has no land within the nudge limit`;
  return {
    sites,
    rows,
    columns,
    bound: { lower, proven: proven && count === lower, by },
    symmetric: symmetry(best.columnsSymmetric, best.rowsSymmetric),
    findings,
  };
}

/** Alternates between the best rows for given columns and the best columns for given rows until nothing changes. */
function alternate(
  exact: LineScan,
  nudge: number,
  zones: LineScan,
  bores: LineScan,
  bands: Bands,
  columnRules: StopRules,
  rowRules: StopRules,
  columnCount: number,
  rowCount: number,
): Solved | null {
  // Different starts and rounds meet the same lines again: every line is cut once, every question answered once.
  const nearY = kept((x) => exact.nearAlongY(x, nudge));
  const nearX = kept((y) => exact.nearAlongX(y, nudge));
  const exactY = kept(exact.alongY);
  const exactX = kept(exact.alongX);
  const [zonesY, zonesX] = [kept(zones.alongY), kept(zones.alongX)];
  const [boresY, boresX] = [kept(bores.alongY), kept(bores.alongX)];
  const rowsFor = answers((columns) =>
    lines(rowRules, rowCount, columns, nearY, exactY, zonesY, boresY, bands.y),
  );
  const columnsFor = answers((rows) =>
    lines(columnRules, columnCount, rows, nearX, exactX, zonesX, boresX, bands.x),
  );
  let best: Solved | null = null;
  const starts = [
    () => firstLines(columnRules, columnCount, exactY, bands.x, zonesY, zonesX, rowRules),
    () => {
      const rows = firstLines(rowRules, rowCount, exactX, bands.y, zonesX, zonesY, columnRules);
      return rows && columnsFor(rows)?.lines;
    },
    () => evenLines(columnRules, columnCount),
  ];
  for (const [tried, start] of starts.entries()) {
    // The even start is for beds on which the others run into a place without land.
    if (tried === 2 && best !== null && best.cost < NO_LAND) break;
    let columns = start() ?? null;
    if (columns === null) continue;
    let state: Solved | null = null;
    for (let round = 0; round < ROUNDS; round++) {
      const rows = rowsFor(columns);
      if (rows === null) break;
      const next = columnsFor(rows.lines);
      if (next === null) break;
      const same: boolean = state !== null && next.cost >= state.cost - 1e-6;
      if (!same) {
        state = {
          columns: next.lines,
          rows: rows.lines,
          cost: next.cost,
          columnsSymmetric: next.symmetric,
          rowsSymmetric: rows.symmetric,
        };
      }
      columns = next.lines;
      if (same) break;
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

/** The best lines of one axis when the lines of the other are given. */
function lines(
  rules: StopRules,
  count: number,
  others: readonly number[],
  nearAlong: (v: number) => Intervals,
  exactAlong: (v: number) => Intervals,
  zonesAlong: (v: number) => Intervals,
  boresAlong: (v: number) => Intervals,
  bands: readonly number[],
): ReturnType<typeof placeLines> {
  const near = others.map(nearAlong);
  const exact = others.map(exactAlong);
  const zones = others.map(zonesAlong);
  const bores = others.map(boresAlong);
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
  const candidates = [...zoneEdges(zones, rules), ...zoneEdges(bores, rules), ...bands];
  tidy(candidates, rules);
  candidates.push(...grid(rules, 150), ...landmarks(common, rules), ...landmarks(close, rules));
  return placeLines(rules, count, { at, candidates, evenness: UNEVEN }, OUTER_SHARE, SYMMETRY);
}

/** Lines to begin with: where most of the line is near a land and little of it inside zones. */
function firstLines(
  rules: StopRules,
  count: number,
  exactAlong: (v: number) => Intervals,
  bands: readonly number[],
  zonesAlong: (v: number) => Intervals,
  zonesAcross: (v: number) => Intervals,
  across: StopRules,
): readonly number[] | null {
  const span: Interval = [across.from, across.to];
  const length = span[1] - span[0];
  const zones = [0.2, 0.35, 0.5, 0.65, 0.8].map((f) => zonesAcross(span[0] + f * length));
  const at = (v: number): number => {
    const on = totalIn(exactAlong(v), span) / length;
    const inZones = totalIn(zonesAlong(v), span) / length;
    return 4 * IN_ZONE * inZones + 8 * IN_ZONE * (1 - on);
  };
  const candidates = [...bands, ...grid(rules, 40), ...zoneEdges(zones, rules)];
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
const prepared = new WeakMap<Lands, { zones: LineScan; bores: LineScan; bands: Bands }>();

function preparedOf(lands: Lands): { zones: LineScan; bores: LineScan; bands: Bands } {
  let hit = prepared.get(lands);
  if (!hit) {
    hit = {
      zones: lineScan(lands.kinds.zonesRegion),
      bores: lineScan(lands.kinds.bores),
      bands: bandsOf(lands),
    };
    prepared.set(lands, hit);
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

function extras(rows: number, columns: number): [number, number][] {
  const out: [number, number][] = [];
  for (let r = 0; r <= MORE_LINES; r++) for (let c = 0; c <= MORE_LINES; c++) out.push([r, c]);
  return out.sort(
    (p, q) => (rows + p[0]) * (columns + p[1]) - (rows + q[0]) * (columns + q[1]) || p[0] - q[0],
  );
}

function axis(
  name: Axis['name'],
  board: Interval,
  land: Interval,
  record: MachineRecord,
  lands: Lands,
  pitch: PitchRule,
): Axis {
  const { edge, nudgeMax } = record.machine.fixing.layout;
  const [from, to] = board;
  const reached: Interval = [land[0] - nudgeMax, land[1] + nudgeMax];
  // Beyond the edge rule only as far as the lands force it, with room for the line to be on a land.
  const first = Math.max(0, land[0] - from - edge[1]);
  const last = Math.max(0, to - land[1] - edge[1]);
  const room = 12;
  return {
    name,
    relaxed: { first, last },
    rules: {
      from,
      to,
      first: [edge[0], first > 0 ? edge[1] + first + room : edge[1]],
      last: [edge[0], last > 0 ? edge[1] + last + room : edge[1]],
      pitch: pitch.limit,
      outerPitch: pitch.outer,
      leastGap: lands.needs.between + 2 * lands.uncertainty,
      allowed: [reached],
    },
  };
}

function relaxFindings(record: MachineRecord, lands: Lands, a: Axis): Diagnostic[] {
  const out: Diagnostic[] = [];
  const { units } = record.machine;
  const edge = record.machine.fixing.layout.edge;
  const sides =
    a.name === 'row'
      ? ([
          ['front', a.relaxed.first, 'least Y'],
          ['back', a.relaxed.last, 'greatest Y'],
        ] as const)
      : ([
          ['left', a.relaxed.first, 'least X'],
          ['right', a.relaxed.last, 'greatest X'],
        ] as const);
  for (const [side, off, travel] of sides) {
    if (off <= 0) continue;
    const cause = reachCause(lands, side)
      ? `the spindle reaches no farther (travel limit, ${travel}${lands.needs.overhang > 0 ? `, less ${shortLength(lands.needs.overhang, units)} that ${lands.needs.overhangBy} needs` : ''})`
      : 'there is no land any nearer';
    out.push(
      report({
        place: profilePlace(record),
        code: 'layout/edge-out-of-reach',
        message: `the outer ${a.name} along the ${side} edge of the board stands up to ${shortLength(edge[1] + off, units)} from it, the edge rule asks for ${shortLength(edge[1], units)}: ${cause}`,
        facts: { side, beyond: round(off) },
        help: `hold the ${side} edge down by other means or move the board; the sites move just inside`,
      }),
    );
  }
  return out;
}

/** True when it is the travel, not the bed, that ends the lands on that side. */
function reachCause(lands: Lands, side: 'front' | 'back' | 'left' | 'right'): boolean {
  if (lands.actual.length === 0) return false;
  const box = bounds(lands.actual);
  const near = 0.5;
  if (side === 'front') return box.minY - lands.reach.minY < near;
  if (side === 'back') return lands.reach.maxY - box.maxY < near;
  if (side === 'left') return box.minX - lands.reach.minX < near;
  return lands.reach.maxX - box.maxX < near;
}

function impossible(record: MachineRecord, a: Axis): Diagnostic {
  const r = a.rules;
  const { units } = record.machine;
  const across = shortLength(r.to - r.from, units);
  const tooClose = r.pitch < r.leastGap;
  return report({
    place: profilePlace(record),
    code: 'layout/impossible',
    message: tooClose
      ? `no ${a.name}s can be placed: pockets and bores need ${shortLength(r.leastGap, units)} between sites, the pitch allows ${shortLength(r.pitch, units)}`
      : `no set of ${a.name}s obeys pitch ${shortLength(r.pitch, units)} and edge ${shortNumber(r.first[0], units)} to ${shortLength(r.first[1], units)} across ${across} of board within the lands from ${shortNumber(r.allowed[0]?.[0] ?? 0, units)} to ${shortNumber(r.allowed.at(-1)?.[1] ?? 0, units)}`,
    facts: { pitch: r.pitch, leastGap: round(r.leastGap), across: round(r.to - r.from) },
    help: tooClose
      ? 'raise fixing.layout.pitch_max, or use a fixing with a smaller head or insert'
      : 'widen fixing.layout.edge, or make the board narrower',
  });
}

export function noLands(record: MachineRecord, lands: Lands): Diagnostic {
  const need = lands.needs.bed + lands.uncertainty;
  const { units } = record.machine;
  return report({
    place: profilePlace(record),
    code: 'layout/no-land',
    message: `the bed has no land at all for this fixing: every site needs ${shortLength(need, units)} from its axis to any groove, port, edge or keep-out (bore ${shortNumber(lands.needs.boreRadius, units)}, wall ${shortNumber(lands.needs.wall, units)}, margin ${shortNumber(lands.needs.margin, units)}, uncertainty ${shortNumber(lands.uncertainty, units)}), within the spindle's reach`,
    facts: { needed: round(need) },
    help: 'use a fixing with a thinner insert, or lower insert_wall or land_margin in the house rules if the bed allows it',
  });
}

function lineReasons(
  board: Box,
  pitch: PitchRule,
  edge: readonly [number, number],
  rows: readonly number[],
  columns: readonly number[],
  row: number,
  column: number,
  units: Units,
): string[] {
  const y = rows[row] as number;
  const x = columns[column] as number;
  const outer: string[] = [];
  if (row === 0) outer.push(`${shortLength(y - board.minY, units)} from the front edge`);
  if (row === rows.length - 1) outer.push(`${shortLength(board.maxY - y, units)} from the back edge`);
  if (column === 0) outer.push(`${shortLength(x - board.minX, units)} from the left edge`);
  if (column === columns.length - 1) outer.push(`${shortLength(board.maxX - x, units)} from the right edge`);
  const gaps: string[] = [];
  if (row > 0) gaps.push(`${shortLength(y - (rows[row - 1] as number), units)} behind the row in front`);
  if (column > 0)
    gaps.push(`${shortLength(x - (columns[column - 1] as number), units)} right of the column beside it`);
  const out: string[] = [];
  if (outer.length > 0) {
    out.push(
      `outer site, ${outer.join(' and ')} of the board (edge rule ${shortNumber(edge[0], units)} to ${shortLength(edge[1], units)})`,
    );
  }
  if (gaps.length > 0) out.push(`${gaps.join(', ')}; gaps may be ${shortLength(pitch.limit, units)}`);
  return out;
}

function symmetry(leftRight: boolean, frontBack: boolean): Draft['symmetric'] {
  if (leftRight && frontBack) return 'both';
  if (leftRight) return 'left-right';
  return frontBack ? 'front-back' : 'none';
}

function round(v: number): number {
  return Math.round(v * 1000) / 1000;
}
