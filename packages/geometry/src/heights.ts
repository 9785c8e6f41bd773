import { Delaunay } from 'd3-delaunay';
import { boxOfRings } from './box.ts';
import { distance, hypotenuse } from './numbers.ts';
import type { HeightPoint } from './plane.ts';
import { fitPlane } from './plane.ts';
import { nearestOnSegment } from './region.ts';
import type { Point, Ring } from './types.ts';

/** Heights between measured points. */
export interface HeightSurface {
  /** Height at a place, mm; outside the measured area that of the nearest place on its edge. */
  at(x: number, y: number): number;
  /** Least and greatest measured height: the surface never leaves that range. */
  readonly min: number;
  readonly max: number;
  /** `grid`: bilinear between the points of a full raster; `scattered`: linear over Delaunay triangles; `plane`:
   * along the line, or from the only point, where the points span no area. */
  readonly kind: 'grid' | 'scattered' | 'plane';
  /**
   * How well the surface can be trusted between the points, mm: root mean square of the difference between each
   * inner point and what its neighbours alone would say there. 0 where no point has neighbours all round.
   */
  readonly interpolationError: number;
  /** Outline of the measured area, counter-clockwise; fewer than three points where it has none. */
  readonly hull: Ring;
}

/**
 * A continuous surface through measured heights.
 * Points closer together in x and y than 1 nm count as one place: their mean height is taken.
 * @throws RangeError for no points or numbers that are not finite
 */
export function heightSurface(points: readonly HeightPoint[]): HeightSurface {
  if (points.length === 0) throw new RangeError('height surface of no points: expected at least one');
  const places = mergePlaces(points);
  let min = Infinity;
  let max = -Infinity;
  for (const [, , z] of places) {
    min = Math.min(min, z);
    max = Math.max(max, z);
  }
  const clamp = (z: number): number => Math.max(min, Math.min(max, z));
  const parts = asGrid(places) ?? asLine(places) ?? asTriangles(places);
  return {
    at: (x, y) => {
      if (!Number.isFinite(x) || !Number.isFinite(y)) {
        throw new RangeError(`height at [${x}, ${y}]: expected finite coordinates`);
      }
      return clamp(parts.at(x, y));
    },
    min,
    max,
    kind: parts.kind,
    interpolationError: parts.interpolationError,
    hull: parts.hull,
  };
}

type Parts = Pick<HeightSurface, 'at' | 'kind' | 'interpolationError' | 'hull'>;

function mergePlaces(points: readonly HeightPoint[]): HeightPoint[] {
  for (const [x, y, z] of points) {
    if (!Number.isFinite(x) || !Number.isFinite(y) || !Number.isFinite(z)) {
      throw new RangeError(`height point [${x}, ${y}, ${z}]: expected finite numbers`);
    }
  }
  // Whole nanometres; sorted by them, points of one place are neighbours.
  const xs = Float64Array.from(points, (p) => Math.round(p[0] * 1e6));
  const ys = Float64Array.from(points, (p) => Math.round(p[1] * 1e6));
  const order = Uint32Array.from(points, (_, i) => i).sort(
    (i, k) => xs[i]! - xs[k]! || ys[i]! - ys[k]! || points[i]![2] - points[k]![2],
  );
  const places: HeightPoint[] = [];
  for (let at = 0; at < order.length; ) {
    const first = order[at]!;
    let sum = 0;
    let end = at;
    for (; end < order.length && xs[order[end]!] === xs[first] && ys[order[end]!] === ys[first]; end++) {
      sum += points[order[end]!]![2];
    }
    const [x, y] = points[first]!;
    places.push([x, y, sum / (end - at)]);
    at = end;
  }
  return places;
}

/** Every x with every y, exactly once; null otherwise. */
function asGrid(places: readonly HeightPoint[]): Parts | null {
  const xs = axisOf(places.map((p) => p[0]));
  const ys = axisOf(places.map((p) => p[1]));
  const nx = xs.length;
  const ny = ys.length;
  if (nx < 2 || ny < 2 || nx * ny !== places.length) return null;
  const z = new Float64Array(nx * ny);
  const seen = new Uint8Array(nx * ny);
  for (const [x, y, height] of places) {
    const k = indexIn(ys, y) * nx + indexIn(xs, x);
    if (seen[k] === 1) return null;
    seen[k] = 1;
    z[k] = height;
  }
  const at = (px: number, py: number): number => {
    const x = Math.max(xs[0]!, Math.min(xs[nx - 1]!, px));
    const y = Math.max(ys[0]!, Math.min(ys[ny - 1]!, py));
    const i = cellOf(xs, x);
    const j = cellOf(ys, y);
    const u = (x - xs[i]!) / (xs[i + 1]! - xs[i]!);
    const v = (y - ys[j]!) / (ys[j + 1]! - ys[j]!);
    const k = j * nx + i;
    const low = z[k]! * (1 - u) + z[k + 1]! * u;
    const high = z[k + nx]! * (1 - u) + z[k + nx + 1]! * u;
    return low * (1 - v) + high * v;
  };
  // Leave one out: along x and along y the neighbours predict each inner point.
  let squares = 0;
  let count = 0;
  const predict = (axis: Float64Array, i: number, before: number, behind: number): number => {
    const t = (axis[i]! - axis[i - 1]!) / (axis[i + 1]! - axis[i - 1]!);
    return before * (1 - t) + behind * t;
  };
  for (let j = 0; j < ny; j++) {
    for (let i = 0; i < nx; i++) {
      const k = j * nx + i;
      const guesses: number[] = [];
      if (i > 0 && i < nx - 1) guesses.push(predict(xs, i, z[k - 1]!, z[k + 1]!));
      if (j > 0 && j < ny - 1) guesses.push(predict(ys, j, z[k - nx]!, z[k + nx]!));
      if (guesses.length === 0) continue;
      const guess = guesses.reduce((sum, g) => sum + g, 0) / guesses.length;
      squares += (z[k]! - guess) * (z[k]! - guess);
      count++;
    }
  }
  const hull: Ring = [
    [xs[0]!, ys[0]!],
    [xs[nx - 1]!, ys[0]!],
    [xs[nx - 1]!, ys[ny - 1]!],
    [xs[0]!, ys[ny - 1]!],
  ];
  return { kind: 'grid', at, interpolationError: count === 0 ? 0 : Math.sqrt(squares / count), hull };
}

/** Distinct values, those within 1 nm taken together. */
function axisOf(values: readonly number[]): Float64Array {
  const sorted = Float64Array.from(values).sort();
  const axis: number[] = [];
  for (const value of sorted) {
    if (axis.length === 0 || value - axis[axis.length - 1]! > 1e-6) axis.push(value);
  }
  return Float64Array.from(axis);
}

function indexIn(axis: Float64Array, value: number): number {
  const i = cellOf(axis, value);
  return Math.abs(value - axis[i]!) <= Math.abs(value - axis[i + 1]!) ? i : i + 1;
}

/** The interval [axis[i], axis[i + 1]] a value falls into, the outer ones taking what lies beyond. */
function cellOf(axis: Float64Array, value: number): number {
  let low = 0;
  let high = axis.length - 1;
  while (high - low > 1) {
    const middle = (low + high) >> 1;
    if (axis[middle]! <= value) low = middle;
    else high = middle;
  }
  return low;
}

/** One point, or points on one line: linear along it, the same everywhere across it. Null when they span an area. */
function asLine(places: readonly HeightPoint[]): Parts | null {
  if (places.length >= 3) {
    try {
      fitPlane(places);
      return null;
    } catch (error) {
      if (!(error instanceof RangeError)) throw error;
    }
  }
  const [x0, y0] = places[0]!;
  let far = places[0]!;
  for (const p of places) {
    const d = (q: HeightPoint): number => (q[0] - x0) * (q[0] - x0) + (q[1] - y0) * (q[1] - y0);
    if (d(p) > d(far)) far = p;
  }
  const length = hypotenuse(far[0] - x0, far[1] - y0);
  const ux = length === 0 ? 1 : (far[0] - x0) / length;
  const uy = length === 0 ? 0 : (far[1] - y0) / length;
  const along = (x: number, y: number): number => (x - x0) * ux + (y - y0) * uy;
  const knots = places
    .map(([x, y, z]) => ({ t: along(x, y), z, x, y }))
    .sort((p, q) => p.t - q.t || p.z - q.z);
  const ts = Float64Array.from(knots, (k) => k.t);
  const at = (x: number, y: number): number => {
    if (knots.length === 1) return knots[0]!.z;
    const t = Math.max(ts[0]!, Math.min(ts[ts.length - 1]!, along(x, y)));
    const i = cellOf(ts, t);
    const u = (t - ts[i]!) / (ts[i + 1]! - ts[i]!);
    return knots[i]!.z * (1 - u) + knots[i + 1]!.z * u;
  };
  let squares = 0;
  for (let i = 1; i + 1 < knots.length; i++) {
    const u = (ts[i]! - ts[i - 1]!) / (ts[i + 1]! - ts[i - 1]!);
    const guess = knots[i - 1]!.z * (1 - u) + knots[i + 1]!.z * u;
    squares += (knots[i]!.z - guess) * (knots[i]!.z - guess);
  }
  const ends = knots.length === 1 ? [knots[0]!] : [knots[0]!, knots[knots.length - 1]!];
  return {
    kind: 'plane',
    at,
    interpolationError: knots.length < 3 ? 0 : Math.sqrt(squares / (knots.length - 2)),
    hull: ends.map(({ x, y }): Point => [x, y]),
  };
}

function asTriangles(places: readonly HeightPoint[]): Parts {
  const delaunay = Delaunay.from(places.map((p): [number, number] => [p[0], p[1]]));
  const { triangles, hull: hullIndex } = delaunay;
  const count = triangles.length / 3;
  const rim = Array.from(hullIndex, (i) => places[i]!);
  if (signedArea(rim.map((p): Point => [p[0], p[1]])) < 0) rim.reverse();
  const outline: Ring = rim.map((p): Point => [p[0], p[1]]);
  const outlineZ = rim.map((p) => p[2]);

  // Buckets of triangles, so that the answer depends on the place alone and not on what was asked before.
  const { minX, minY, maxX, maxY } = boxOfRings([outline]);
  const side = Math.max(1, Math.ceil(Math.sqrt(count / 2)));
  const cellX = (maxX - minX) / side;
  const cellY = (maxY - minY) / side;
  const column = (x: number): number => Math.max(0, Math.min(side - 1, Math.floor((x - minX) / cellX)));
  const line = (y: number): number => Math.max(0, Math.min(side - 1, Math.floor((y - minY) / cellY)));
  const corner = (t: number, k: number): HeightPoint => places[triangles[3 * t + k]!]!;
  const start = new Int32Array(side * side + 1);
  const eachBucket = (visit: (bucket: number, t: number) => void): void => {
    for (let t = 0; t < count; t++) {
      const a = corner(t, 0);
      const b = corner(t, 1);
      const c = corner(t, 2);
      const left = column(Math.min(a[0], b[0], c[0]) - 1e-9);
      const right = column(Math.max(a[0], b[0], c[0]) + 1e-9);
      const top = line(Math.max(a[1], b[1], c[1]) + 1e-9);
      for (let j = line(Math.min(a[1], b[1], c[1]) - 1e-9); j <= top; j++) {
        for (let i = left; i <= right; i++) visit(j * side + i, t);
      }
    }
  };
  eachBucket((bucket) => {
    start[bucket + 1]!++;
  });
  for (let i = 0; i < side * side; i++) start[i + 1]! += start[i]!;
  const fill = start.slice();
  const members = new Int32Array(start[side * side]!);
  eachBucket((bucket, t) => {
    members[fill[bucket]!++] = t;
  });
  const inTriangle = (t: number, x: number, y: number): number | null => {
    const a = corner(t, 0);
    const b = corner(t, 1);
    const c = corner(t, 2);
    const whole = (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0]);
    const wb = ((x - a[0]) * (c[1] - a[1]) - (y - a[1]) * (c[0] - a[0])) / whole;
    const wc = ((b[0] - a[0]) * (y - a[1]) - (b[1] - a[1]) * (x - a[0])) / whole;
    const wa = 1 - wb - wc;
    return wa >= -1e-9 && wb >= -1e-9 && wc >= -1e-9 ? wa * a[2] + wb * b[2] + wc * c[2] : null;
  };
  const at = (x: number, y: number): number => {
    if (x >= minX && x <= maxX && y >= minY && y <= maxY) {
      const bucket = line(y) * side + column(x);
      for (let i = start[bucket]!; i < start[bucket + 1]!; i++) {
        const z = inTriangle(members[i]!, x, y);
        if (z !== null) return z;
      }
    }
    // Outside the hull (or in a crack of rounding at its edge): the nearest place on the edge.
    let least = Infinity;
    let height = 0;
    for (let i = 0; i < outline.length; i++) {
      const k = (i + 1) % outline.length;
      const [p, q] = [outline[i]!, outline[k]!];
      const s = nearestOnSegment(p, q, [x, y]);
      const d = (s[0] - x) * (s[0] - x) + (s[1] - y) * (s[1] - y);
      if (d >= least) continue;
      least = d;
      const length = distance(p, q);
      const u = length === 0 ? 0 : distance(p, s) / length;
      height = outlineZ[i]! * (1 - u) + outlineZ[k]! * u;
    }
    return height;
  };
  return { kind: 'scattered', at, interpolationError: leaveOneOut(places, delaunay), hull: outline };
}

function signedArea(ring: Ring): number {
  let sum = 0;
  let [px, py] = ring[ring.length - 1]!;
  for (const [x, y] of ring) {
    sum += px * y - x * py;
    [px, py] = [x, y];
  }
  return sum / 2;
}

/** Every point off the hull against the plane through its Delaunay neighbours, the nearer ones weighing more. */
function leaveOneOut(places: readonly HeightPoint[], delaunay: Delaunay<unknown>): number {
  const { triangles, hull } = delaunay;
  const onHull = new Uint8Array(places.length);
  for (const i of hull) onHull[i] = 1;
  // Normal equations of z = a + b·dx + c·dy about each point: n sx sy xx xy yy sz xz yz. Inside the hull every
  // neighbour is met exactly once as the corner after the point in a triangle.
  const sums = new Float64Array(9 * places.length);
  for (let e = 0; e < triangles.length; e++) {
    const i = triangles[e]!;
    if (onHull[i] === 1) continue;
    const k = triangles[e % 3 === 2 ? e - 2 : e + 1]!;
    const dx = places[k]![0] - places[i]![0];
    const dy = places[k]![1] - places[i]![1];
    const dz = places[k]![2] - places[i]![2];
    const w = 1 / (dx * dx + dy * dy);
    const s = 9 * i;
    sums[s]! += w;
    sums[s + 1]! += w * dx;
    sums[s + 2]! += w * dy;
    sums[s + 3]! += w * dx * dx;
    sums[s + 4]! += w * dx * dy;
    sums[s + 5]! += w * dy * dy;
    sums[s + 6]! += w * dz;
    sums[s + 7]! += w * dx * dz;
    sums[s + 8]! += w * dy * dz;
  }
  let squares = 0;
  let count = 0;
  for (let i = 0; i < places.length; i++) {
    if (onHull[i] === 1) continue;
    const s = 9 * i;
    const n = sums[s]!;
    const sx = sums[s + 1]!;
    const sy = sums[s + 2]!;
    const xx = sums[s + 3]!;
    const xy = sums[s + 4]!;
    const yy = sums[s + 5]!;
    const sz = sums[s + 6]!;
    const xz = sums[s + 7]!;
    const yz = sums[s + 8]!;
    const m1 = xx * yy - xy * xy;
    const m2 = sx * yy - sy * xy;
    const m3 = sx * xy - sy * xx;
    const determinant = n * m1 - sx * m2 + sy * m3;
    if (!(Math.abs(determinant) > 1e-12 * n * xx * yy)) continue;
    // Heights were taken relative to the point, so its own prediction is its error.
    const miss = (sz * m1 - sx * (xz * yy - xy * yz) + sy * (xz * xy - xx * yz)) / determinant;
    squares += miss * miss;
    count++;
  }
  return count === 0 ? 0 : Math.sqrt(squares / count);
}
