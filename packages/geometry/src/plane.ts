import { hypotenuse } from './numbers.ts';
/** A measured height: `[x, y, z]`, mm. */
export type HeightPoint = readonly [x: number, y: number, z: number];

/** z = a + b·x + c·y with what the fit says about itself. */
export interface Plane {
  readonly a: number;
  readonly b: number;
  readonly c: number;
  /** Angle to the horizontal, radians. */
  readonly tilt: number;
  /** Direction in which the plane rises, radians from +x, counter-clockwise. */
  readonly direction: number;
  /** Root of the mean squared distance in z. */
  readonly rms: number;
  /**
   * Covariance of (a, b, c), s²·(AᵀA)⁻¹ with s² = Σ residual² / (n − 3); null when three points leave nothing to
   * estimate s² from.
   */
  readonly covariance: readonly (readonly [number, number, number])[] | null;
}

/**
 * Least-squares plane through measured heights.
 * @throws RangeError for fewer than three points, points on one line, or numbers that are not finite
 */
export function fitPlane(points: readonly HeightPoint[]): Plane {
  const n = points.length;
  if (n < 3) throw new RangeError(`plane through ${n} points: expected at least three`);
  let mx = 0;
  let my = 0;
  let mz = 0;
  for (const [x, y, z] of points) {
    if (!Number.isFinite(x) || !Number.isFinite(y) || !Number.isFinite(z)) {
      throw new RangeError(`height point [${x}, ${y}, ${z}]: expected finite numbers`);
    }
    mx += x;
    my += y;
    mz += z;
  }
  mx /= n;
  my /= n;
  mz /= n;
  let xx = 0;
  let xy = 0;
  let yy = 0;
  let xz = 0;
  let yz = 0;
  for (const [px, py, pz] of points) {
    const x = px - mx;
    const y = py - my;
    const z = pz - mz;
    xx += x * x;
    xy += x * y;
    yy += y * y;
    xz += x * z;
    yz += y * z;
  }
  const determinant = xx * yy - xy * xy;
  // Collinear within rounding, judged by the thinner principal axis.
  const spread = xx + yy;
  if (!(determinant > 1e-12 * spread * spread)) {
    throw new RangeError('plane through points on one line: expected three that span an area');
  }
  const b = (xz * yy - yz * xy) / determinant;
  const c = (yz * xx - xz * xy) / determinant;
  const a = mz - b * mx - c * my;
  let squares = 0;
  for (const [px, py, pz] of points) {
    const residual = pz - mz - b * (px - mx) - c * (py - my);
    squares += residual * residual;
  }
  const slope = hypotenuse(b, c);
  return {
    a,
    b,
    c,
    tilt: Math.atan(slope),
    direction: slope === 0 ? 0 : Math.atan2(c, b),
    rms: Math.sqrt(squares / n),
    covariance: n === 3 ? null : covarianceOf(squares / (n - 3), n, mx, my, xx, xy, yy, determinant),
  };
}

/** From the centred sums: slopes have s²·S⁻¹, and a = z̄ − b·x̄ − c·ȳ inherits from both. */
function covarianceOf(
  variance: number,
  n: number,
  mx: number,
  my: number,
  xx: number,
  xy: number,
  yy: number,
  determinant: number,
): [number, number, number][] {
  const bb = (variance * yy) / determinant;
  const cc = (variance * xx) / determinant;
  const bc = (-variance * xy) / determinant;
  const ab = -(mx * bb + my * bc);
  const ac = -(mx * bc + my * cc);
  const aa = variance / n - mx * ab - my * ac;
  return [
    [aa, ab, ac],
    [ab, bb, bc],
    [ac, bc, cc],
  ];
}
