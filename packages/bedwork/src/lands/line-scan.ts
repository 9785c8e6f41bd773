import { hypotenuse, type Point, type Region } from '@bedledger/geometry';
import { type Interval, type Intervals, joined } from './intervals.ts';

/** Cuts a region with lines parallel to an axis, quickly and exactly. */
export interface LineScan {
  /** Whether a point lies in the region, its outline included: the same answer as a cut through the point gives. */
  readonly holds: (p: Point) => boolean;
  /** Parts of the line x = `x` that lie in the region, as intervals of y. */
  readonly alongY: (x: number) => Intervals;
  /** Parts of the line y = `y` that lie in the region, as intervals of x. */
  readonly alongX: (y: number) => Intervals;
  /** Parts of those lines from which the region is at most `reach` away. */
  readonly nearAlongY: (x: number, reach: number) => Intervals;
  readonly nearAlongX: (y: number, reach: number) => Intervals;
}

interface Sorted {
  readonly start: number;
  readonly width: number;
  /** Edge numbers by bin of the cutting coordinate. */
  readonly bins: readonly (readonly number[])[];
}

const BINS = 256;

export function lineScan(region: Region): LineScan {
  const a: number[] = [];
  for (const polygon of region) {
    for (const ring of [polygon.outer, ...polygon.holes]) {
      let from = ring.at(-1);
      for (const to of ring) {
        if (from) a.push(from[0], from[1], to[0], to[1]);
        from = to;
      }
    }
  }
  const edges = Float64Array.from(a);
  let byX: Sorted | null = null;
  let byY: Sorted | null = null;
  const x0 = (): Sorted => {
    byX ??= sortEdges(edges, 0);
    return byX;
  };
  const y0 = (): Sorted => {
    byY ??= sortEdges(edges, 1);
    return byY;
  };
  return {
    holds: (p) => holds(edges, x0(), p[0], p[1]),
    alongY: (x) => cut(edges, x0(), 0, x),
    alongX: (y) => cut(edges, y0(), 1, y),
    nearAlongY: (x, reach) => near(edges, x0(), 0, x, reach),
    nearAlongX: (y, reach) => near(edges, y0(), 1, y, reach),
  };
}

function sortEdges(edges: Float64Array, axis: 0 | 1): Sorted {
  let start = Number.POSITIVE_INFINITY;
  let end = Number.NEGATIVE_INFINITY;
  for (let i = axis; i < edges.length; i += 2) {
    const v = edges[i] as number;
    if (v < start) start = v;
    if (v > end) end = v;
  }
  const width = end > start ? (end - start) / BINS : 1;
  const bins: number[][] = Array.from({ length: BINS }, () => []);
  for (let e = 0; e < edges.length; e += 4) {
    const p = edges[e + axis] as number;
    const q = edges[e + axis + 2] as number;
    const first = bin(Math.min(p, q), start, width);
    const last = bin(Math.max(p, q), start, width);
    for (let b = first; b <= last; b++) (bins[b] as number[]).push(e);
  }
  return { start, width, bins };
}

function bin(v: number, start: number, width: number): number {
  return Math.max(0, Math.min(BINS - 1, Math.floor((v - start) / width)));
}

function cut(edges: Float64Array, sorted: Sorted, axis: 0 | 1, v: number): Intervals {
  if (!(v >= sorted.start && v <= sorted.start + sorted.width * BINS * (1 + 1e-12))) return [];
  const other = 1 - axis;
  let n = 0;
  for (const e of sorted.bins[bin(v, sorted.start, sorted.width)] as readonly number[]) {
    const p = edges[e + axis] as number;
    const q = edges[e + axis + 2] as number;
    // Half-open, so that a corner on the line counts once.
    if (p <= v === q <= v) continue;
    const s = edges[e + other] as number;
    const t = edges[e + other + 2] as number;
    if (n === scratch.starts.length) grow();
    scratch.starts[n++] = s + ((v - p) / (q - p)) * (t - s);
  }
  const hits = scratch.starts.subarray(0, n).sort();
  const out: Interval[] = [];
  for (let i = 0; i + 1 < n; i += 2) {
    const from = hits[i] as number;
    const to = hits[i + 1] as number;
    if (to > from) out.push([from, to]);
  }
  return out;
}

/** Whether the cut at x = `v` has `w` in it: an odd number of edges below, or one that passes through. */
function holds(edges: Float64Array, sorted: Sorted, v: number, w: number): boolean {
  if (!(v >= sorted.start && v <= sorted.start + sorted.width * BINS * (1 + 1e-12))) return false;
  let inside = false;
  for (const e of sorted.bins[bin(v, sorted.start, sorted.width)] as readonly number[]) {
    const p = edges[e] as number;
    const q = edges[e + 2] as number;
    if (p <= v === q <= v) continue;
    const s = edges[e + 1] as number;
    const at = s + ((v - p) / (q - p)) * ((edges[e + 3] as number) - s);
    if (at === w) return true;
    if (at < w) inside = !inside;
  }
  return inside;
}

/** What the line meets of the region and of a disc of radius `reach` run along its boundary: exact, edge by edge. */
function near(edges: Float64Array, sorted: Sorted, axis: 0 | 1, v: number, reach: number): Intervals {
  const inside = cut(edges, sorted, axis, v);
  if (!(reach > 0)) return inside;
  if (v + reach < sorted.start || v - reach > sorted.start + sorted.width * BINS) return inside;
  const other = 1 - axis;
  let n = 0;
  const take = (low: number, high: number): void => {
    if (n === scratch.starts.length) grow();
    scratch.starts[n] = low;
    scratch.ends[n] = high;
    n++;
  };
  for (const one of inside) take(one[0], one[1]);
  const first = bin(v - reach, sorted.start, sorted.width);
  const last = bin(v + reach, sorted.start, sorted.width);
  for (let b = first; b <= last; b++) {
    for (const e of sorted.bins[b] as readonly number[]) {
      const p = edges[e + axis] as number;
      const q = edges[e + axis + 2] as number;
      const least = Math.min(p, q);
      if (least > v + reach || Math.max(p, q) < v - reach) continue;
      // An edge lies in every bin that it crosses: it counts in the first of these.
      if (b !== first && b !== bin(least, sorted.start, sorted.width)) continue;
      const s = edges[e + other] as number;
      const t = edges[e + other + 2] as number;
      let low = Number.POSITIVE_INFINITY;
      let high = Number.NEGATIVE_INFINITY;
      const dp = Math.abs(v - p);
      if (dp <= reach) {
        const h = Math.sqrt(reach * reach - dp * dp);
        low = s - h;
        high = s + h;
      }
      const dq = Math.abs(v - q);
      if (dq <= reach) {
        const h = Math.sqrt(reach * reach - dq * dq);
        if (t - h < low) low = t - h;
        if (t + h > high) high = t + h;
      }
      const along = q - p;
      const across = t - s;
      const length = hypotenuse(along, across);
      if (along !== 0 && length > 0) {
        // The two long sides of the band around the edge.
        for (let side = -1; side <= 1; side += 2) {
          const shiftV = (side * reach * -across) / length;
          const shiftW = (side * reach * along) / length;
          const f = (v - (p + shiftV)) / along;
          if (f >= 0 && f <= 1) {
            const w = s + shiftW + f * across;
            if (w < low) low = w;
            if (w > high) high = w;
          }
        }
      }
      if (low <= high) take(low, high);
    }
  }
  return joined(scratch.starts, scratch.ends, n);
}

/** Where one cut at a time is collected. */
const scratch = { starts: new Float64Array(1024), ends: new Float64Array(1024) };

function grow(): void {
  for (const side of ['starts', 'ends'] as const) {
    const more = new Float64Array(2 * scratch[side].length);
    more.set(scratch[side]);
    scratch[side] = more;
  }
}
