import { solveLinear } from './linear.ts';
import type { Fit } from './registration-fit.ts';
import type { PointPair, Shape } from './registration-model.ts';
import { applyTransform } from './transform.ts';
import type { Point } from './types.ts';

/** Shift (2), turn, two scales, shear: everything an affine map can do near another one. */
const TERMS = 6;

/**
 * E|error|² of a fit at a nominal point, mm², with what its model cannot see counted in: the marks are taken to lie on a
 * bed that may also be turned, stretched along both axes and skewed, each as likely as a normal deviate whose standard
 * deviation is the most that a bed may have.
 *
 * Formula: Gauss–Markov with prior (Rao, *Linear Statistical Inference*, 4a; the estimate of a random effect): with rows B
 * of the six terms at the marks and residuals r of the fit, N = BᵀB/σ² + P, θ = N⁻¹Bᵀr/σ²; at p the error has the mean B(p)θ
 * and the variance tr(B(p)N⁻¹B(p)ᵀ). Shift and turn have no prior, but for the turn of marks that do not tell it.
 */
export function unseenSpread(
  pairs: readonly PointPair[],
  {
    fit,
    turned,
    sigma,
    most,
  }: {
    readonly fit: Fit;
    /** Whether the marks tell how the bed is turned. */
    readonly turned: boolean;
    readonly sigma: number;
    readonly most: Shape;
  },
): (p: Point) => number {
  const n = pairs.length;
  const centre: Point = [
    pairs.reduce((sum, { from }) => sum + from[0], 0) / n,
    pairs.reduce((sum, { from }) => sum + from[1], 0) / n,
  ];
  // Lengths about one, so that the terms have comparable size.
  const size = pairs.reduce(
    (most, { from }) => Math.max(most, Math.abs(from[0] - centre[0]), Math.abs(from[1] - centre[1])),
    1,
  );
  const terms = (p: Point): readonly [readonly number[], readonly number[]] => {
    const x = (p[0] - centre[0]) / size;
    const y = (p[1] - centre[1]) / size;
    return [
      [1, 0, -y, x, 0, y],
      [0, 1, x, 0, y, x],
    ];
  };
  const normal = new Float64Array(TERMS * TERMS);
  // Columns: what the residuals say of the terms, then the unit vectors, which give the inverse.
  const width = 1 + TERMS;
  const sides = new Float64Array(TERMS * width);
  const weight = 1 / (sigma * sigma);
  for (const { from, to } of pairs) {
    const image = applyTransform(fit.transform, from);
    terms(from).forEach((row, axis) => {
      const residual = to[axis as 0 | 1] - image[axis as 0 | 1];
      for (let i = 0; i < TERMS; i++) {
        sides[i * width]! += row[i]! * residual * weight;
        for (let k = 0; k < TERMS; k++) normal[i * TERMS + k]! += row[i]! * row[k]! * weight;
      }
    });
  }
  // A right angle that is off by γ is a turn of γ/2 and a shear of γ/2.
  const shear = most.skew / 2;
  [null, null, turned ? null : shear, most.stretch, most.stretch, shear].forEach((deviation, i) => {
    if (deviation !== null) normal[i * TERMS + i]! += 1 / (deviation * size * deviation * size);
    sides[i * width + 1 + i] = 1;
  });
  if (!solveLinear(normal, sides, TERMS, width)) return () => Infinity;
  return (p) => {
    let spread = 0;
    for (const row of terms(p)) {
      let mean = 0;
      for (let i = 0; i < TERMS; i++) {
        mean += row[i]! * sides[i * width]!;
        for (let k = 0; k < TERMS; k++) spread += row[i]! * row[k]! * sides[i * width + 1 + k]!;
      }
      spread += mean * mean;
    }
    return spread;
  };
}
