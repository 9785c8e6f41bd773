import type { PointPair, RegistrationModel } from './registration-model.ts';
import type { Transform } from './transform.ts';
import type { Point } from './types.ts';

/** Number of parameters each model fits. */
export const PARAMETERS: Readonly<Record<RegistrationModel, number>> = {
  translation: 2,
  rigid: 3,
  similarity: 4,
  affine: 6,
};
export interface Fit {
  readonly transform: Transform;
  /** Sum of squared residuals over all coordinates, mm². */
  readonly squares: number;
  /** E|error at p|² in units of sigma². */
  readonly spreadAt: (p: Point) => number;
}

/** Least-squares fit from sums about the centroids; null where the nominal points leave the model undetermined. */
export function fitModel(pairs: readonly PointPair[], model: RegistrationModel): Fit | null {
  const n = pairs.length;
  let fx = 0;
  let fy = 0;
  let tx = 0;
  let ty = 0;
  for (const { from, to } of pairs) {
    fx += from[0];
    fy += from[1];
    tx += to[0];
    ty += to[1];
  }
  fx /= n;
  fy /= n;
  tx /= n;
  ty /= n;
  let dot = 0;
  let cross = 0;
  let xx = 0;
  let xy = 0;
  let yy = 0;
  let xu = 0;
  let yu = 0;
  let xv = 0;
  let yv = 0;
  for (const { from, to } of pairs) {
    const x = from[0] - fx;
    const y = from[1] - fy;
    const u = to[0] - tx;
    const v = to[1] - ty;
    dot += x * u + y * v;
    cross += x * v - y * u;
    xx += x * x;
    xy += x * y;
    yy += y * y;
    xu += x * u;
    yu += y * u;
    xv += x * v;
    yv += y * v;
  }
  const spread = xx + yy;
  let m: readonly [number, number, number, number];
  let spreadAt: (p: Point) => number;
  const offCentre = (p: Point): number => (p[0] - fx) * (p[0] - fx) + (p[1] - fy) * (p[1] - fy);
  if (model === 'translation') {
    m = [1, 0, 0, 1];
    spreadAt = () => 2 / n;
  } else if (model === 'rigid' || model === 'similarity') {
    // Places that coincide (relative to where they are) say nothing about direction.
    if (n < 2 || !(spread > 1e-18 * (fx * fx + fy * fy + spread)) || spread === 0) return null;
    const length = Math.sqrt(dot * dot + cross * cross);
    if (model === 'rigid') {
      if (length === 0) return null;
      const cos = dot / length;
      const sin = cross / length;
      m = [cos, -sin, sin, cos];
    } else {
      m = [dot / spread, -cross / spread, cross / spread, dot / spread];
    }
    const terms = model === 'rigid' ? 1 : 2;
    spreadAt = (p) => 2 / n + (terms * offCentre(p)) / spread;
  } else {
    const determinant = xx * yy - xy * xy;
    // Collinear within rounding: the direction across the line is not determined.
    if (n < 3 || !(determinant > 1e-12 * spread * spread)) return null;
    m = [
      (xu * yy - yu * xy) / determinant,
      (yu * xx - xu * xy) / determinant,
      (xv * yy - yv * xy) / determinant,
      (yv * xx - xv * xy) / determinant,
    ];
    spreadAt = (p) => {
      const x = p[0] - fx;
      const y = p[1] - fy;
      return 2 * (1 / n + (yy * x * x - 2 * xy * x * y + xx * y * y) / determinant);
    };
  }
  const [a, b, d, e] = m;
  let squares = 0;
  for (const { from, to } of pairs) {
    const x = from[0] - fx;
    const y = from[1] - fy;
    const du = to[0] - tx - (a * x + b * y);
    const dv = to[1] - ty - (d * x + e * y);
    squares += du * du + dv * dv;
  }
  const transform = { a, b, c: tx - (a * fx + b * fy), d, e, f: ty - (d * fx + e * fy) };
  return { transform, squares, spreadAt };
}
