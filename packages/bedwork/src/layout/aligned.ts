import type { Diagnostic } from '@bedledger/diagnostics';
import { placeText, rounded, shortLength, shortNumber } from '@bedledger/diagnostics';
import type { MachineRecord } from '@bedledger/fleet';
import { coverageRadius, distance, type Point } from '@bedledger/geometry';
import { profilePlace } from '../base/places.ts';
import { type Lands, landsBox } from '../lands/lands.ts';
import { SLACK } from '../lands/needs.ts';
import { report } from '../report.ts';
import type { BedFit } from '../survey/bed-fit.ts';
import { type Axis, axisOf, contradiction, noLines, relaxFindings } from './axes.ts';
import { coverageLimit, farthestFromLand } from './cover-rules.ts';
import { type Crossing, placeCrossings } from './crossings.ts';
import { type Draft, type DraftSite, type Effort, noDraft } from './draft.ts';
import { type LandCuts, type LineRules, type Lines, landCuts, NO_LAND, searchLines } from './line-search.ts';
import { siteName } from './names.ts';
import type { PitchRule } from './pitch.ts';
import { fewestLines, type StopRules } from './stops.ts';

const MORE_LINES = 3;
/** Numbers of lines tried, at most: each costs a search. Fewer where lines only come closer. */
const MOST_COUNTS = 9;
const CLOSER_COUNTS = 3;
/** Rounds of closer lines where the outer ones have to stand far in. */
const CLOSER_ROUNDS = 4;
/** Lines come a little closer than they must, so that rounding opens nothing, mm. */
const CLOSER = 0.05;

interface Context {
  readonly record: MachineRecord;
  readonly fit: BedFit;
  readonly lands: Lands;
  readonly pitch: PitchRule;
  readonly cuts: LandCuts;
}

/** One set of lines with its sites, and how well they cover. */
interface Attempt {
  readonly rules: LineRules;
  readonly lines: Lines;
  readonly least: { readonly columns: number; readonly rows: number };
  readonly crossings: readonly Crossing[];
  /** Farthest point of the board from a site beyond what the pitch and the nudges account for, mm; 0: covered. */
  readonly short: number;
}

/**
 * Rows and columns: the fewest lines whose gaps obey the pitch, put where their crossings are on lands, on dividers and
 * outer lands first; a crossing that is not on a land goes to the nearest one within the nudge limit. Where the outer
 * lines have to stand far in, the lines across them stand closer, so that the edge is held all the same.
 */
export function alignedLayout(
  record: MachineRecord,
  fit: BedFit,
  lands: Lands,
  pitch: PitchRule,
  effort: Effort = 'full',
): Draft {
  if (landsBox(lands) === null) return noDraft([noLands(record, lands)]);
  const cuts = landCuts(lands, Math.max(0, record.machine.fixing.layout.nudgeMax - SLACK));
  const context: Context = { record, fit, lands, pitch, cuts };
  const columns = axisOf('column', record, fit, lands, pitch);
  const rows = axisOf('row', record, fit, lands, pitch);
  const against = contradiction(record, pitch);
  const findings: Diagnostic[] = [
    ...(against ? [against] : []),
    ...relaxFindings(record, lands, columns),
    ...relaxFindings(record, lands, rows),
  ];
  if (against?.severity === 'stop') return noDraft(findings);
  const counts = effort === 'full' ? MOST_COUNTS : CLOSER_COUNTS;
  const plain = attempt(context, { columns: columns.rules, rows: rows.rules }, counts);
  if (plain === null) return noDraft([...findings, ...impossibleLines(record, columns, rows)]);
  // Closer lines help where there is land within the pitch's reach, and nowhere else.
  const reachable = plain.short > 0 && farthestFromLand(lands, coverageLimit(pitch)) === null;
  const best = reachable ? closer(context, plain, effort === 'full' ? CLOSER_ROUNDS : 1) : plain;
  const missing = best.crossings.filter((c) => c.place === null);
  if (missing.length > 0) findings.push(missingFinding(context, missing, best.short > 0));
  return {
    sites: draftSites(context, best),
    rows: best.lines.rows,
    columns: best.lines.columns,
    bound: boundOf(context, plain, best),
    findings,
  };
}

/**
 * The least lines that the rules allow with every crossing on its land, or without those whose board the others hold;
 * more lines where that fails. The best of those tried when none holds the board.
 */
function attempt(context: Context, rules: LineRules, counts: number): Attempt | null {
  const columns = fewestLines(rules.columns);
  const rows = fewestLines(rules.rows);
  if (columns === null || rows === null) return null;
  let best: Attempt | null = null;
  for (const [moreRows, moreColumns] of extras(rows, columns).slice(0, counts)) {
    const count = { columns: columns + moreColumns, rows: rows + moreRows };
    const lines = searchLines(context.cuts, rules, count);
    if (lines === null || (best !== null && lines.cost > best.lines.cost - NO_LAND / 2)) continue;
    const crossings = crossingsOf(context, lines);
    const short = shortOf(context, crossings);
    const found: Attempt = { rules, lines, least: { columns, rows }, crossings, short };
    if (best === null || found.short < best.short || lines.cost < NO_LAND) best = found;
    if (best.short === 0) break;
    if (lines.cost < NO_LAND) break;
  }
  return best;
}

function crossingsOf({ lands, record }: Context, lines: Lines): Crossing[] {
  const { nudgeMax } = record.machine.fixing.layout;
  const apart = lands.needs.between + 2 * lands.uncertainty;
  return placeCrossings(lands, lines.rows, lines.columns, nudgeMax, apart);
}

function shortOf(context: Context, crossings: readonly Crossing[]): number {
  const { fit, lands, pitch } = context;
  const sites = crossings.flatMap((c) => (c.place ? [fit.toActual(c.place)] : []));
  if (sites.length === 0) return Number.POSITIVE_INFINITY;
  let nudge = 0;
  for (const c of crossings) if (c.place) nudge = Math.max(nudge, distance(c.place, c.at));
  const { radius } = coverageRadius(sites, lands.board);
  return Math.max(0, radius - coverageLimit(pitch) - nudge - lands.uncertainty - 1e-6);
}

/**
 * The same with the lines of one direction closer to each other and to the edges, as close as the other direction's
 * gaps and outer lines ask for: the direction that needs fewer sites, of those that cover. The plain attempt when
 * neither does.
 */
function closer(context: Context, plain: Attempt, rounds: number): Attempt {
  let best: Attempt | null = null;
  for (const k of ['columns', 'rows'] as const) {
    let state: Attempt | null = plain;
    for (let round = 0; round < rounds && state !== null && state.short > 0; round++) {
      state = closerOne(context, state, k);
    }
    if (state === null || state.short > 0) continue;
    if (best === null || state.crossings.length < best.crossings.length) best = state;
  }
  return best ?? plain;
}

function closerOne(context: Context, state: Attempt, k: 'columns' | 'rows'): Attempt | null {
  const radius = coverageLimit(context.pitch);
  const other = k === 'columns' ? 'rows' : 'columns';
  const lines = state.lines[other];
  const across = state.rules[other];
  const first = (lines[0] as number) - across.from;
  const last = across.to - (lines.at(-1) as number);
  // Points farthest from the other direction's lines: on the edges beyond them, or half-way between two.
  let off = Math.max(first, last);
  for (let i = 1; i < lines.length; i++) {
    off = Math.max(off, ((lines[i] as number) - (lines[i - 1] as number)) / 2);
  }
  const half = Math.sqrt(Math.max(0, radius * radius - off * off)) - CLOSER;
  const own = state.rules[k];
  if (!(2 * half > own.leastGap)) return null;
  const pitch = Math.min(own.pitch, 2 * half);
  const tighter: StopRules = {
    ...own,
    pitch,
    outerPitch: Math.min(own.outerPitch, pitch),
    first: [Math.min(own.first[0], half), Math.min(own.first[1], half)],
    last: [Math.min(own.last[0], half), Math.min(own.last[1], half)],
  };
  // The other direction's outer lines come no farther in than they are now.
  const held: StopRules = {
    ...across,
    first: [across.first[0], Math.max(across.first[0], Math.min(across.first[1], first))],
    last: [across.last[0], Math.max(across.last[0], Math.min(across.last[1], last))],
  };
  const rules = k === 'columns' ? { columns: tighter, rows: held } : { columns: held, rows: tighter };
  return attempt(context, rules, CLOSER_COUNTS);
}

function impossibleLines(record: MachineRecord, columns: Axis, rows: Axis): Diagnostic[] {
  const none = [columns, rows].filter((a) => fewestLines(a.rules) === null);
  return (none.length > 0 ? none : [rows]).map((a) => noLines(record, a));
}

/** One finding for all crossings without land: a stop where the board needs them. */
function missingFinding(context: Context, missing: readonly Crossing[], needed: boolean): Diagnostic {
  const { record } = context;
  const { units } = record.machine;
  const { nudgeMax } = record.machine.fixing.layout;
  const worst = missing.reduce((a, b) => (b.off > a.off ? b : a));
  const id = siteName(worst.row, worst.column);
  const which =
    missing.length === 1
      ? `no land for site ${id} at ${placeText(worst.at, units)}`
      : `no land for ${missing.length} of the sites, worst for ${id} at ${placeText(worst.at, units)}`;
  const rest = needed ? '' : '; the sites around hold the board without';
  const why =
    worst.off > nudgeMax
      ? `the nearest is ${shortLength(worst.off, units)} away, nudge_max allows ${shortLength(nudgeMax, units)}`
      : 'what there is within nudge_max is too near to another site';
  return report({
    place: profilePlace(record),
    code: 'layout/no-land',
    severity: needed ? 'stop' : 'warn',
    message: `${which}: ${why}${rest}`,
    facts: {
      site: id,
      count: missing.length,
      x: rounded(worst.at[0], 3),
      y: rounded(worst.at[1], 3),
      nearest: rounded(worst.off, 3),
      allowed: nudgeMax,
    },
    ...(needed
      ? {}
      : {
          help: 'nothing needs to be done; with a greater fixing.layout.nudge_max a site may stand near there',
        }),
  });
}

function draftSites(context: Context, best: Attempt): DraftSite[] {
  const { units } = context.record.machine;
  return best.crossings.flatMap((c) => {
    if (c.place === null) return [];
    const id = siteName(c.row, c.column);
    const by: Point = [c.place[0] - c.at[0], c.place[1] - c.at[1]];
    const moved = by[0] !== 0 || by[1] !== 0;
    const reason = `the crossing of row ${id.replace(/\d+$/, '')} and column ${c.column + 1} is ${shortLength(c.off, units)} off the nearest land`;
    return [
      {
        id,
        row: c.row,
        column: c.column,
        nominal: c.place,
        nudge: moved ? { by, reason } : null,
        placedBy: 'layout' as const,
        reasons: lineReasons(context, best.lines, c),
      },
    ];
  });
}

function boundOf(context: Context, plain: Attempt, best: Attempt): Draft['bound'] {
  const { units } = context.record.machine;
  const { columns, rows } = plain.least;
  const sites = best.crossings.filter((c) => c.place !== null).length;
  const least = rows * columns;
  const length = (r: StopRules): string => shortLength(r.to - r.from, units);
  if (best.lines.rows.length * best.lines.columns.length === least) {
    return {
      lower: Math.min(least, sites),
      proven: sites === least,
      by: `no layout in rows and columns has fewer than ${rows} rows (${length(plain.rules.rows)} of board) or ${columns} columns (${length(plain.rules.columns)}): exact one-dimensional cover at ${shortLength(context.pitch.limit, units)} pitch`,
    };
  }
  const why =
    best.rules === plain.rules
      ? 'with those some crossing has no land within the nudge limit'
      : 'with those the edges of the board are too far from a site';
  return {
    lower: Math.min(least, sites),
    proven: false,
    by: `pitch and edge alone need ${rows} rows and ${columns} columns; ${why}`,
  };
}

/** How many more rows and columns than the least are tried, fewest sites first. */
function extras(rows: number, columns: number): [number, number][] {
  const out: [number, number][] = [];
  for (let r = 0; r <= MORE_LINES; r++) for (let c = 0; c <= MORE_LINES; c++) out.push([r, c]);
  return out.sort(
    (p, q) => (rows + p[0]) * (columns + p[1]) - (rows + q[0]) * (columns + q[1]) || p[0] - q[0],
  );
}

export function noLands(record: MachineRecord, lands: Lands): Diagnostic {
  const need = lands.needs.bed + lands.uncertainty;
  const { units } = record.machine;
  return report({
    place: profilePlace(record),
    code: 'layout/no-land',
    message: `the bed has no land at all for this fixing: every site needs ${shortLength(need, units)} from its axis to any groove, port, edge or keep-out (bore ${shortNumber(lands.needs.boreRadius, units)}, wall ${shortNumber(lands.needs.wall, units)}, margin ${shortNumber(lands.needs.margin, units)}, uncertainty ${shortNumber(lands.uncertainty, units)}), within the spindle's reach`,
    facts: { needed: rounded(need, 3) },
    help: 'use a fixing with a thinner insert, or lower insert_wall or land_margin in the house rules if the bed allows it',
  });
}

/** Where a site stands in its lines: from the board's edges as it lies, and from the lines before it. */
function lineReasons(context: Context, lines: Lines, c: Crossing): string[] {
  const { record, fit, lands, pitch } = context;
  const { units } = record.machine;
  const { edge } = record.machine.fixing.layout;
  const board = lands.boardBox;
  const [x, y] = fit.toActual(c.at);
  const outer: string[] = [];
  if (c.row === 0) outer.push(`${shortLength(y - board.minY, units)} from the front edge`);
  if (c.row === lines.rows.length - 1) outer.push(`${shortLength(board.maxY - y, units)} from the back edge`);
  if (c.column === 0) outer.push(`${shortLength(x - board.minX, units)} from the left edge`);
  if (c.column === lines.columns.length - 1)
    outer.push(`${shortLength(board.maxX - x, units)} from the right edge`);
  const before = (at: readonly number[], i: number): number => (at[i] as number) - (at[i - 1] as number);
  const gaps: string[] = [];
  if (c.row > 0) gaps.push(`${shortLength(before(lines.rows, c.row), units)} behind the row in front`);
  if (c.column > 0)
    gaps.push(`${shortLength(before(lines.columns, c.column), units)} right of the column beside it`);
  const out: string[] = [];
  if (outer.length > 0) {
    out.push(
      `outer site, ${outer.join(' and ')} of the board (edge rule ${shortNumber(edge[0], units)} to ${shortLength(edge[1], units)})`,
    );
  }
  if (gaps.length > 0) out.push(`${gaps.join(', ')}; gaps may be ${shortLength(pitch.limit, units)}`);
  return out;
}
