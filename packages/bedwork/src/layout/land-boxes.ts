import type { Box, Point, Region } from '@bedledger/geometry';
import { includes } from '../lands/intervals.ts';
import type { LineScan } from '../lands/line-scan.ts';

/** One square of a lattice that holds some land. */
export interface LandBox {
  readonly box: Box;
  /** The point of the land in the box that is nearest to the middle of the box. */
  readonly at: Point;
}

/**
 * Every square of a lattice that holds some land, with a point of that land. The lattice is counted from `middle`, so
 * that mirrored lands have mirrored squares; rows from the front, squares from the left.
 *
 * A square holds land exactly when its middle is land or the land's outline passes through it, because a piece of land
 * that does neither would have to lie in the square without an outline.
 * @param step side of a square, mm
 */
export function landBoxes(land: Region, scan: LineScan, middle: Point, step: number): LandBox[] {
  const marks = outlineMarks(land, middle, step);
  const out: LandBox[] = [];
  for (const [row, squares] of [...marks].sort((p, q) => p[0] - q[0])) {
    const y = middle[1] + row * step;
    const inside = scan.alongX(y);
    const columns = new Set(squares.keys());
    for (const [from, to] of inside) {
      for (let c = Math.ceil((from - middle[0]) / step); middle[0] + c * step <= to; c++) columns.add(c);
    }
    for (const column of [...columns].sort((p, q) => p - q)) {
      const x = middle[0] + column * step;
      const box = { minX: x - step / 2, maxX: x + step / 2, minY: y - step / 2, maxY: y + step / 2 };
      const at = includes(inside, x) ? ([x, y] as const) : squares.get(column);
      if (at) out.push({ box, at });
    }
  }
  return out;
}

/** For every row of squares that the land's extent meets, the squares its outline passes, with its nearest point there. */
function outlineMarks(land: Region, middle: Point, step: number): Map<number, Map<number, Point>> {
  const rows = new Map<number, Map<number, Point>>();
  const rowOf = (row: number): Map<number, Point> => {
    let hit = rows.get(row);
    if (hit === undefined) {
      hit = new Map();
      rows.set(row, hit);
    }
    return hit;
  };
  const cell = (v: number, axis: 0 | 1): number => Math.round((v - middle[axis]) / step);
  for (const polygon of land) {
    for (const ring of [polygon.outer, ...polygon.holes]) {
      let a = ring[ring.length - 1] as Point;
      for (const b of ring) {
        const [r0, r1] = ordered(cell(a[1], 1), cell(b[1], 1));
        for (let row = r0; row <= r1; row++) {
          const y = middle[1] + row * step;
          const strip = clipped(a, b, 1, y - step / 2, y + step / 2);
          if (strip === null) continue;
          const squares = rowOf(row);
          const [c0, c1] = ordered(cell(strip[0][0], 0), cell(strip[1][0], 0));
          for (let column = c0; column <= c1; column++) {
            const x = middle[0] + column * step;
            const part = clipped(strip[0], strip[1], 0, x - step / 2, x + step / 2);
            if (part === null) continue;
            const p = nearestOf(part[0], part[1], x, y);
            const known = squares.get(column);
            if (known === undefined || nearer(p, known, x, y)) squares.set(column, p);
          }
        }
        a = b;
      }
    }
  }
  // Rows wholly inside a piece of land, between those that its outline passes.
  const known = [...rows.keys()].sort((p, q) => p - q);
  if (known.length > 0) for (let row = known[0] as number; row <= (known.at(-1) as number); row++) rowOf(row);
  return rows;
}

function ordered(a: number, b: number): readonly [number, number] {
  return a <= b ? [a, b] : [b, a];
}

/** The part of a segment between two values of one coordinate; null when there is none. */
function clipped(a: Point, b: Point, axis: 0 | 1, low: number, high: number): readonly [Point, Point] | null {
  const p = a[axis];
  const q = b[axis];
  if (Math.max(p, q) < low || Math.min(p, q) > high) return null;
  if (p === q) return [a, b];
  const at = (v: number): Point => {
    const t = (v - p) / (q - p);
    return axis === 0 ? [v, a[1] + t * (b[1] - a[1])] : [a[0] + t * (b[0] - a[0]), v];
  };
  const from = p < low ? at(low) : p > high ? at(high) : a;
  const to = q < low ? at(low) : q > high ? at(high) : b;
  return [from, to];
}

function nearestOf(a: Point, b: Point, x: number, y: number): Point {
  const dx = b[0] - a[0];
  const dy = b[1] - a[1];
  const l2 = dx * dx + dy * dy;
  const t = l2 === 0 ? 0 : Math.max(0, Math.min(1, ((x - a[0]) * dx + (y - a[1]) * dy) / l2));
  return [a[0] + t * dx, a[1] + t * dy];
}

/** Whether p is nearer to the middle than q; of equally near ones the lower left, so that the order of edges is no matter. */
function nearer(p: Point, q: Point, x: number, y: number): boolean {
  const dp = (p[0] - x) * (p[0] - x) + (p[1] - y) * (p[1] - y);
  const dq = (q[0] - x) * (q[0] - x) + (q[1] - y) * (q[1] - y);
  if (Math.abs(dp - dq) > 1e-9) return dp < dq;
  return p[1] < q[1] - 1e-9 || (Math.abs(p[1] - q[1]) <= 1e-9 && p[0] < q[0]);
}
