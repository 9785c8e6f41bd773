import Flatbush from 'flatbush';
import { toUnits, UNITS_PER_MM } from './grid.ts';
import type { Point, Ring } from './types.ts';

/** Signed area of a ring, mm²: positive when it runs counter-clockwise. Rings of fewer than three points have none. */
export function ringArea(ring: Ring): number {
  const origin = ring[0];
  if (origin === undefined) return 0;
  let sum = 0;
  for (let i = 1; i + 1 < ring.length; i++) {
    const p = ring[i]!;
    const q = ring[i + 1]!;
    sum += (p[0] - origin[0]) * (q[1] - origin[1]) - (q[0] - origin[0]) * (p[1] - origin[1]);
  }
  return sum / 2;
}

/**
 * A circle as a polygon that lies wholly on one side of it even after its corners are rounded to the grid:
 * `inscribed` never reaches beyond the circle (for what may be used), `circumscribed` never falls inside it
 * (for what must be kept clear). The number of corners is a multiple of four, so the ring keeps the
 * circle's mirror symmetries.
 * @param tolerance greatest distance between polygon and circle, mm; one grid step of 0.1 µm comes on top
 * @throws RangeError for a radius that is not positive or a tolerance that is not
 */
export function circleRing(
  at: Point,
  radius: number,
  side: 'inscribed' | 'circumscribed',
  tolerance = 0.001,
): Ring {
  if (!(radius > 0 && radius <= 1e5)) {
    throw new RangeError(`circle of radius ${radius} mm: expected more than 0 and at most 100 m`);
  }
  if (!(tolerance > 0)) throw new RangeError(`circle tolerance ${tolerance} mm: expected more than 0`);
  const step = 1 / UNITS_PER_MM;
  // Sagitta of a chord spanning 2·h is r·(1 − cos h); outside it is r·(1/cos h − 1), a little more.
  const cosine = Math.max(side === 'inscribed' ? 1 - tolerance / radius : radius / (radius + tolerance), 0);
  const quarter = Math.max(2, Math.ceil(Math.PI / Math.acos(cosine) / 4));
  const half = Math.PI / (4 * quarter);
  const reach = side === 'inscribed' ? Math.max(radius - step, radius / 2) : (radius + step) / Math.cos(half);
  const arc: Point[] = [];
  for (let i = 0; i < quarter; i++) {
    // Both halves of the quarter take the same cosine, which keeps the diagonal symmetry exact.
    arc.push([snap(reach * cosineAt(i, quarter)), snap(reach * cosineAt(quarter - i, quarter))]);
  }
  const ring: Point[] = [];
  for (const [x, y] of arc) ring.push([at[0] + x, at[1] + y]);
  for (const [x, y] of arc) ring.push([at[0] - y, at[1] + x]);
  for (const [x, y] of arc) ring.push([at[0] - x, at[1] - y]);
  for (const [x, y] of arc) ring.push([at[0] + y, at[1] - x]);
  return ring;
}

function cosineAt(i: number, quarter: number): number {
  return i === quarter ? 0 : Math.cos((i * Math.PI) / (2 * quarter));
}

function snap(mm: number): number {
  return Math.round(mm * UNITS_PER_MM) / UNITS_PER_MM;
}

/**
 * An axis-aligned rectangle from its lower left corner, counter-clockwise.
 * @param size width and height, mm
 * @throws RangeError for a width or height that is not positive
 */
export function rectangleRing(at: Point, size: Point): Ring {
  if (!(size[0] > 0 && size[1] > 0)) {
    throw new RangeError(`rectangle of size ${size[0]} × ${size[1]} mm: expected both more than 0`);
  }
  const [x, y] = at;
  const [width, height] = size;
  return [
    [x, y],
    [x + width, y],
    [x + width, y + height],
    [x, y + height],
  ];
}

/**
 * Whether a ring bounds one simple polygon on the 0.1 µm grid: at least three corners, area, no repeated
 * corner, and no two edges that meet other than at the corner they share.
 * @throws RangeError for a coordinate that is not finite
 */
export function isSimpleRing(ring: Ring): boolean {
  const n = ring.length;
  if (n < 3) return false;
  const xs = new Float64Array(n);
  const ys = new Float64Array(n);
  ring.forEach((p, i) => {
    xs[i] = toUnits(p[0]);
    ys[i] = toUnits(p[1]);
  });
  if (ringArea(Array.from(xs, (x, i) => [x, ys[i]!] as const)) === 0) return false;
  const index = new Flatbush(n);
  for (let i = 0; i < n; i++) {
    const j = (i + 1) % n;
    if (xs[i] === xs[j] && ys[i] === ys[j]) return false;
    index.add(
      Math.min(xs[i]!, xs[j]!),
      Math.min(ys[i]!, ys[j]!),
      Math.max(xs[i]!, xs[j]!),
      Math.max(ys[i]!, ys[j]!),
    );
  }
  index.finish();
  const side = (a: number, b: number, c: number): number =>
    Math.sign((xs[b]! - xs[a]!) * (ys[c]! - ys[a]!) - (ys[b]! - ys[a]!) * (xs[c]! - xs[a]!));
  const between = (a: number, b: number, c: number): boolean =>
    Math.min(xs[a]!, xs[b]!) <= xs[c]! &&
    xs[c]! <= Math.max(xs[a]!, xs[b]!) &&
    Math.min(ys[a]!, ys[b]!) <= ys[c]! &&
    ys[c]! <= Math.max(ys[a]!, ys[b]!);
  const meet = (i: number, k: number): boolean => {
    const i1 = (i + 1) % n;
    const k1 = (k + 1) % n;
    if (i1 === k || k1 === i) {
      // Neighbours share one corner; they may not fold back onto each other.
      const [a, b, c] = i1 === k ? [i, i1, k1] : [k, k1, i1];
      const fold = (xs[a]! - xs[b]!) * (xs[c]! - xs[b]!) + (ys[a]! - ys[b]!) * (ys[c]! - ys[b]!) > 0;
      return side(a, b, c) === 0 && fold;
    }
    const s1 = side(i, i1, k);
    const s2 = side(i, i1, k1);
    const s3 = side(k, k1, i);
    const s4 = side(k, k1, i1);
    if (s1 * s2 < 0 && s3 * s4 < 0) return true;
    return (
      (s1 === 0 && between(i, i1, k)) ||
      (s2 === 0 && between(i, i1, k1)) ||
      (s3 === 0 && between(k, k1, i)) ||
      (s4 === 0 && between(k, k1, i1))
    );
  };
  for (let i = 0; i < n; i++) {
    const j = (i + 1) % n;
    const minX = Math.min(xs[i]!, xs[j]!);
    const minY = Math.min(ys[i]!, ys[j]!);
    const maxX = Math.max(xs[i]!, xs[j]!);
    const maxY = Math.max(ys[i]!, ys[j]!);
    if (index.collides(minX, minY, maxX, maxY, (k) => k > i && meet(i, k))) return false;
  }
  return true;
}
