import { hypotenuse } from './numbers.ts';
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

/** Sums of a set of pairs about the centroids of its two sides. */
interface Sums {
  readonly n: number;
  /** Centroids of the nominal and of the measured points. */
  readonly from: Point;
  readonly to: Point;
  /** Σ(x·u + y·v) and Σ(x·v − y·u), with x, y nominal and u, v measured. */
  readonly dot: number;
  readonly cross: number;
  readonly xx: number;
  readonly xy: number;
  readonly yy: number;
  readonly xu: number;
  readonly yu: number;
  readonly xv: number;
  readonly yv: number;
}

/** What a model makes of the sums: its linear part (x′ = a·x + b·y, y′ = d·x + e·y) and how its error spreads. */
interface Linear {
  readonly matrix: readonly [a: number, b: number, d: number, e: number];
  readonly spreadAt: Fit['spreadAt'];
}

/** Least-squares fit from sums about the centroids; null where the nominal points leave the model undetermined. */
export function fitModel(pairs: readonly PointPair[], model: RegistrationModel): Fit | null {
  const sums = sumsOf(pairs);
  const linear = linearPart(sums, model);
  if (linear === null) return null;
  const [a, b, d, e] = linear.matrix;
  const [fx, fy] = sums.from;
  const [tx, ty] = sums.to;
  let squares = 0;
  for (const { from, to } of pairs) {
    const x = from[0] - fx;
    const y = from[1] - fy;
    const du = to[0] - tx - (a * x + b * y);
    const dv = to[1] - ty - (d * x + e * y);
    squares += du * du + dv * dv;
  }
  const transform = { a, b, c: tx - (a * fx + b * fy), d, e, f: ty - (d * fx + e * fy) };
  return { transform, squares, spreadAt: linear.spreadAt };
}

function linearPart(sums: Sums, model: RegistrationModel): Linear | null {
  switch (model) {
    case 'translation':
      return { matrix: [1, 0, 0, 1], spreadAt: () => 2 / sums.n };
    case 'rigid':
    case 'similarity':
      return turned(sums, model === 'similarity');
    case 'affine':
      return sheared(sums);
    default:
      return model satisfies never;
  }
}

/** A rotation, with one scale where `scaled`. */
function turned({ n, from: [fx, fy], dot, cross, xx, yy }: Sums, scaled: boolean): Linear | null {
  const spread = xx + yy;
  // Places that coincide (relative to where they are) say nothing about direction.
  if (n < 2 || !(spread > 1e-18 * (fx * fx + fy * fy + spread)) || spread === 0) return null;
  const length = scaled ? spread : hypotenuse(dot, cross);
  if (length === 0) return null;
  const [cos, sin] = [dot / length, cross / length];
  const terms = scaled ? 2 : 1;
  return {
    matrix: [cos, -sin, sin, cos],
    spreadAt: ([x, y]) => 2 / n + (terms * ((x - fx) * (x - fx) + (y - fy) * (y - fy))) / spread,
  };
}

function sheared({ n, from: [fx, fy], xx, xy, yy, xu, yu, xv, yv }: Sums): Linear | null {
  const spread = xx + yy;
  const determinant = xx * yy - xy * xy;
  // Collinear within rounding: the direction across the line is not determined.
  if (n < 3 || !(determinant > 1e-12 * spread * spread)) return null;
  return {
    matrix: [
      (xu * yy - yu * xy) / determinant,
      (yu * xx - xu * xy) / determinant,
      (xv * yy - yv * xy) / determinant,
      (yv * xx - xv * xy) / determinant,
    ],
    spreadAt: (p) => {
      const x = p[0] - fx;
      const y = p[1] - fy;
      return 2 * (1 / n + (yy * x * x - 2 * xy * x * y + xx * y * y) / determinant);
    },
  };
}

function sumsOf(pairs: readonly PointPair[]): Sums {
  const n = pairs.length;
  const mean = (side: 'from' | 'to'): Point => [
    pairs.reduce((sum, p) => sum + p[side][0], 0) / n,
    pairs.reduce((sum, p) => sum + p[side][1], 0) / n,
  ];
  const [centre, image] = [mean('from'), mean('to')];
  const sums = { dot: 0, cross: 0, xx: 0, xy: 0, yy: 0, xu: 0, yu: 0, xv: 0, yv: 0 };
  for (const { from, to } of pairs) {
    const x = from[0] - centre[0];
    const y = from[1] - centre[1];
    const u = to[0] - image[0];
    const v = to[1] - image[1];
    sums.dot += x * u + y * v;
    sums.cross += x * v - y * u;
    sums.xx += x * x;
    sums.xy += x * y;
    sums.yy += y * y;
    sums.xu += x * u;
    sums.yu += y * u;
    sums.xv += x * v;
    sums.yv += y * v;
  }
  return { n, from: centre, to: image, ...sums };
}
