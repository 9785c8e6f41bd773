import type { Point } from '@bedledger/geometry';

/** Grids and rules an arc block's centre has to satisfy. Lengths in millimetres. */
export interface CentreRules {
  /** One step of the coordinate grid and of the centre's grid. */
  readonly step: number;
  readonly centreStep: number;
  /** Centre written in program coordinates instead of from the arc's start. */
  readonly absolute: boolean;
  /** Start and end must lie in one closed quadrant about the written centre (unsigned offsets). */
  readonly oneQuadrant: boolean;
  /** Greatest difference of start and end radius. */
  readonly tolerance: number;
}

/** Centre words in steps of the centre's grid, and the centre they mean, mm. */
export interface WrittenCentre {
  readonly i: number;
  readonly j: number;
  readonly x: number;
  readonly y: number;
}

/** The middle first: the nearest grid point is kept unless a neighbour is needed. */
const NEIGHBOURS: readonly Point[] = [
  [0, 0],
  [-1, 0],
  [1, 0],
  [0, -1],
  [0, 1],
  [-1, -1],
  [1, -1],
  [-1, 1],
  [1, 1],
];

/** Products of lengths smaller than this are rounding errors of lengths that are equal on the grid, mm². */
const DUST = 1e-9;
/** Readers differ in what they let pass (0.002 mm, 0.0002 in, 0.005 mm): a second reading must fail by more than all of them. */
const GENEROUS = 0.006;

/** A start-to-end radius difference this far below the tolerance needs no better centre. */
const GOOD_ENOUGH = 0.5;

/**
 * Unsigned centre words leave the signs to the controller: it takes the pair that reaches the end within one quadrant.
 * Is there a second pair, within the tolerance, that would do as well? Then the block must not be written.
 * `chord`: from start to end; `offset`: from start to centre; mm.
 */
function readsTwoWays([dx, dy]: Point, [i, j]: Point, clockwise: boolean, tolerance: number): boolean {
  let found = 0;
  for (const a of i === 0 ? [0] : [-i, i]) {
    for (const b of j === 0 ? [0] : [-j, j]) {
      const ex = dx - a;
      const ey = dy - b;
      const cross = clockwise ? -b * ex + a * ey : -a * ey + b * ex;
      const miss = Math.abs(Math.sqrt(a * a + b * b) - Math.sqrt(ex * ex + ey * ey));
      const beside = (u: number, v: number): boolean =>
        (u >= -tolerance && v >= -tolerance) || (u <= tolerance && v <= tolerance);
      if (cross > 0 && miss <= tolerance && beside(-a, ex) && beside(-b, ey)) found++;
    }
  }
  return found > 1;
}

/** Does an arc turn about as far as was meant? `cross` and `dot` of the ways from its centre to start and end. */
function turnsAsMeant(cross: number, dot: number, sweep: number): boolean {
  if (sweep < 3) return cross > 0;
  if (sweep > 3.3) return cross < 0;
  return dot < 0;
}

/** An arc that is to become one block. */
export interface ArcBlock {
  /** Grid steps. */
  readonly start: Point;
  readonly end: Point;
  /** The true centre, mm. */
  readonly centre: Point;
  readonly clockwise: boolean;
  /** Angle travelled, (0, 2π]. */
  readonly sweep: number;
}

/**
 * Centre words for an arc between two points of the coordinate grid: the grid point nearest to the true centre, or the
 * one of its eight neighbours that makes start and end radius agree best. Rounding alone breaks the 0.002 mm rule of
 * the RS274/NGC report (§3.5.3) for 0.018 % of arcs at three decimals and 73 % at two.
 * Null: none of the nine satisfies the rules, so the arc cannot be written as one block.
 */
export function writtenCentre(block: ArcBlock, rules: CentreRules): WrittenCentre | null {
  const { start, end, centre, clockwise } = block;
  const { step, centreStep } = rules;
  const startX = start[0] * step;
  const startY = start[1] * step;
  const endX = end[0] * step;
  const endY = end[1] * step;
  const baseX = rules.absolute ? 0 : startX;
  const baseY = rules.absolute ? 0 : startY;
  const i0 = Math.round((centre[0] - baseX) / centreStep);
  const j0 = Math.round((centre[1] - baseY) / centreStep);
  const full = start[0] === end[0] && start[1] === end[1];
  const candidates = rules.oneQuadrant
    ? [onAxis([i0, j0], [(end[0] - start[0]) * step, (end[1] - start[1]) * step], rules), ...NEIGHBOURS]
    : NEIGHBOURS;
  let best: WrittenCentre | null = null;
  let bestMiss = rules.tolerance;
  for (const [di, dj] of candidates) {
    const i = i0 + di;
    const j = j0 + dj;
    const x = baseX + i * centreStep;
    const y = baseY + j * centreStep;
    const ax = startX - x;
    const ay = startY - y;
    const bx = endX - x;
    const by = endY - y;
    const cross = clockwise ? ay * bx - ax * by : ax * by - ay * bx;
    if (!full && !turnsAsMeant(cross, ax * bx + ay * by, block.sweep)) continue;
    if (rules.oneQuadrant && (ax * bx < -DUST || ay * by < -DUST)) continue;
    const miss = Math.abs(Math.sqrt(ax * ax + ay * ay) - Math.sqrt(bx * bx + by * by));
    if (miss <= bestMiss) {
      best = { i: i === 0 ? 0 : i, j: j === 0 ? 0 : j, x, y };
      bestMiss = miss;
      if (miss <= rules.tolerance * GOOD_ENOUGH) break;
    }
  }
  if (best === null || !rules.oneQuadrant) return best;
  const tolerance = Math.max(GENEROUS, rules.tolerance);
  const offset: Point = [best.i * centreStep, best.j * centreStep];
  return readsTwoWays([endX - startX, endY - startY], offset, clockwise, tolerance) ? null : best;
}

/**
 * Offsets from the nearest centre words to those that put start or end exactly on an axis of the centre, where they are
 * within a coordinate step of it: an arc cut at a quadrant begins or ends there, whatever finer grid the centre has.
 */
function onAxis([i, j]: Point, [dx, dy]: Point, rules: CentreRules): Point {
  const near = rules.step / rules.centreStep;
  const to = (q: number, end: number): number => {
    const atEnd = Math.round(end / rules.centreStep);
    return Math.abs(q) <= near ? -q : Math.abs(q - atEnd) <= near ? atEnd - q : 0;
  };
  return [to(i, dx), to(j, dy)];
}

/** Centre that a controller finds for the radius form, sweep below 180°: on the left of the chord when counter-clockwise. */
export function centreOfRadius([sx, sy]: Point, [ex, ey]: Point, radius: number, clockwise: boolean): Point {
  const dx = ex - sx;
  const dy = ey - sy;
  const chord = Math.sqrt(dx * dx + dy * dy);
  const height = Math.sqrt(Math.max(0, radius * radius - (chord * chord) / 4));
  const side = clockwise ? -1 : 1;
  return [(sx + ex) / 2 - (side * height * dy) / chord, (sy + ey) / 2 + (side * height * dx) / chord];
}
