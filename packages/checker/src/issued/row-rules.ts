import { type Diagnostic, exactLength } from '@bedledger/diagnostics';
import type { SurfacingStyle } from '@bedledger/fleet';
import { type Case, roundingOf } from '../programs/case.ts';
import { inFile, report } from '../report.ts';
import { isPlaced } from '../simulation/motions.ts';
import { RAPID } from '../trace.ts';
import { checkRowStep } from './lean-rules.ts';

interface Row {
  /** Place across the rows, and the two ends along them, mm. */
  readonly across: number;
  readonly low: number;
  readonly high: number;
  readonly line: number;
}

/** Does a style of surfacing run in rows from edge to edge? */
const IN_ROWS: Readonly<Record<SurfacingStyle, boolean>> = {
  serpentine: true,
  'one-way-climb': true,
  'one-way-conventional': true,
  inward: false,
};

/** Rows are evenly spaced and end at the same place; a difference of more than this is a mistake in the text, mm. */
const SLACK = 0.2;

/**
 * The rows of each pass: an even step, no wider than the profile's stepover, and the same ends. Rows that a pass on the
 * perimeter lays over the outermost ones, and rows that follow another outline than a rectangle, are left alone.
 */
export function checkRows(c: Case): Diagnostic[] {
  const { units } = c.record.machine;
  const { surfacing } = c.record.machine;
  if (!IN_ROWS[surfacing.style]) return [];
  const { trace, simulation } = c;
  const { motions: m, inside, cutter } = simulation;
  const rounding = roundingOf(c.record.machine.controller);
  const alongX = surfacing.rows === 'x';
  const levels = new Map<number, Row[]>();
  for (let i = 0; i < m.length; i++) {
    if (trace.kind[i] === RAPID || inside[i] !== 1 || !isPlaced(m, i)) continue;
    if (Math.abs(m.toZ(i) - m.fromZ(i)) > rounding) continue;
    const [a, b, p, q] = alongX
      ? [m.fromX(i), m.toX(i), m.fromY(i), m.toY(i)]
      : [m.fromY(i), m.toY(i), m.fromX(i), m.toX(i)];
    if (Math.abs(q - p) > rounding || Math.abs(b - a) < 4 * cutter.shape.radius) continue;
    const key = Math.round(m.toZ(i) / (2 * rounding));
    const list = levels.get(key) ?? [];
    list.push({ across: p, low: Math.min(a, b), high: Math.max(a, b), line: trace.line[i]! });
    levels.set(key, list);
  }
  const found: Diagnostic[] = [...checkLoops(c), ...checkEntries(c), ...checkPasses(c, [...levels.values()])];
  let widest = { spacing: 0, line: 0 };
  for (const rows of levels.values()) {
    if (rows.length < 6) continue;
    const sorted = [...rows].sort((p, q) => p.across - q.across || p.line - q.line);
    const gaps = sorted.slice(1).map((row, k) => row.across - sorted[k]!.across);
    const median = [...gaps].sort((p, q) => p - q)[gaps.length >> 1]!;
    const odd = gaps.findIndex((gap, k) => k >= 2 && k < gaps.length - 2 && Math.abs(gap - median) > SLACK);
    if (median > widest.spacing) widest = { spacing: median, line: sorted[0]!.line };
    if (odd >= 0) {
      found.push(
        report({
          code: 'work/rows',
          ...inFile(c.file, sorted[odd + 1]!.line),
          message: `this row lies ${exactLength(gaps[odd]!, units)} from its neighbour, the others ${exactLength(median, units)}`,
          facts: { found: gaps[odd]!, expected: median },
        }),
      );
    }
    for (const end of ['low', 'high'] as const) {
      const same = (v: number): number => sorted.filter((row) => Math.abs(row[end] - v) <= SLACK).length;
      const values = sorted.map((row) => row[end]).sort((p, q) => p - q);
      const middle = values[values.length >> 1]!;
      const off = sorted.filter((row) => same(row[end]) === 1);
      if (off.length === 1 && same(middle) >= 0.7 * sorted.length) {
        found.push(
          report({
            code: 'work/rows',
            ...inFile(c.file, off[0]!.line),
            message: `this row ends at ${exactLength(off[0]![end], units)}, the others at ${exactLength(middle, units)}`,
            facts: { found: off[0]![end], expected: middle },
          }),
        );
      }
    }
  }
  return [...found, ...checkRowStep(c, widest.spacing, widest.line)];
}

/** Passes lie one over another: a row that only one of them has is a mistake in the text. */
function checkPasses(c: Case, passes: readonly (readonly Row[])[]): Diagnostic[] {
  const { units } = c.record.machine;
  const [first, ...others] = passes.map((rows) =>
    [...rows].sort((p, q) => p.across - q.across || p.line - q.line),
  );
  if (!first) return [];
  for (const rows of others) {
    if (rows.length !== first.length) continue;
    const odd = rows.findIndex((row, k) => Math.abs(row.across - first[k]!.across) > SLACK);
    if (odd < 0) continue;
    const [row, other] = [rows[odd]!, first[odd]!];
    const message = `this row lies at ${exactLength(row.across, units)}, the same row of another pass at ${exactLength(other.across, units)}`;
    return [report({ code: 'work/rows', ...inFile(c.file, row.line), message })];
  }
  return [];
}

/** An entry is odd when it comes down over more than this many times the way of every other one. */
const LONGEST_ENTRY = 2;

/** Rows come down on a short way. One that comes down along the row began in the wrong place, and cuts less there. */
function checkEntries(c: Case): Diagnostic[] {
  const { units, controller } = c.record.machine;
  const { trace, simulation } = c;
  const m = simulation.motions;
  const rounding = roundingOf(controller);
  const entries: { length: number; line: number }[] = [];
  for (let i = 0; i < m.length; i++) {
    if (trace.kind[i] === RAPID || !isPlaced(m, i) || m.fromZ(i) - m.toZ(i) <= rounding) continue;
    const dx = m.toX(i) - m.fromX(i);
    const dy = m.toY(i) - m.fromY(i);
    const length = Math.sqrt(dx * dx + dy * dy);
    if (length > rounding) entries.push({ length, line: trace.line[i]! });
  }
  entries.sort((p, q) => q.length - p.length);
  const [longest, next] = entries;
  if (entries.length < 4 || !longest || !next) return [];
  if (longest.length <= LONGEST_ENTRY * next.length + SLACK) return [];
  const message = `this row comes down over ${exactLength(longest.length, units)}, all others over ${exactLength(next.length, units)} at most`;
  const facts = { found: longest.length, expected: next.length };
  return [report({ code: 'work/rows', ...inFile(c.file, longest.line), message, facts })];
}

/** A way round at one height, four corners turned the same way, ends where it began. */
function checkLoops(c: Case): Diagnostic[] {
  const { units } = c.record.machine;
  const { trace, simulation } = c;
  const { motions: m, inside, cutter } = simulation;
  const rounding = roundingOf(c.record.machine.controller);
  const found: Diagnostic[] = [];
  let from = -1;
  let turns = 0;
  let dx = 0;
  let dy = 0;
  const close = (end: number): void => {
    if (from >= 0 && Math.abs(turns) >= 3) {
      const offX = Math.abs(m.toX(end) - m.fromX(from));
      const offY = Math.abs(m.toY(end) - m.fromY(from));
      // it comes down on its first side, so one of the two agrees exactly
      const off = Math.min(offX, offY);
      if (off > 2 * rounding && off < 4 * cutter.shape.radius) {
        found.push(
          report({
            code: 'work/rows',
            ...inFile(c.file, trace.line[end]!),
            message: `this way round ends ${exactLength(off, units)} from where it began`,
            facts: { off },
          }),
        );
      }
    }
    from = -1;
    turns = 0;
  };
  for (let i = 0; i < m.length; i++) {
    const level =
      trace.kind[i] !== RAPID &&
      inside[i] === 1 &&
      isPlaced(m, i) &&
      Math.abs(m.toZ(i) - m.fromZ(i)) <= rounding;
    if (!level) {
      if (from >= 0) close(i - 1);
      continue;
    }
    const ex = m.toX(i) - m.fromX(i);
    const ey = m.toY(i) - m.fromY(i);
    if (from < 0) from = i;
    else if (dx * ex + dy * ey === 0) turns += Math.sign(dx * ey - dy * ex);
    dx = ex;
    dy = ey;
  }
  if (from >= 0) close(m.length - 1);
  return found;
}
