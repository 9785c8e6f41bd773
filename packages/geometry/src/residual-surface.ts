import { solveLinear } from './linear.ts';
import { fitModel } from './registration-fit.ts';
import type { PointPair, Registration } from './registration-model.ts';
import { applyTransform } from './transform.ts';
import type { Point, Ring } from './types.ts';

/** What is left over by a registration, spread over the plane between the marks. */
export interface ResidualSurface {
  /** Correction (dx, dy) to add to the image of a nominal point under the registration, mm. */
  at(p: Point): Point;
  /** Root mean square distance between each mark and what the others say about it, with the surface, mm. */
  readonly leaveOneOutRms: number;
  /** The same without it: the registration's model fitted without the mark. */
  readonly planeRms: number;
  /** Whether the surface predicts marks it has not seen better than the plain fit, by at least a fifth. */
  readonly helps: boolean;
  readonly kind: 'none' | 'thin-plate';
}

/** Cross-validation picks the best of several smoothings, so a small gain may be luck. */
const LEAST_GAIN = 0.8;
/** Marks needed before a surface is worth trying. */
const LEAST_MARKS = 6;
/** Smoothing tried, relative to the diagonal of the kernel; the best by cross-validation is taken. */
const SMOOTHING: readonly number[] = [0, 1e-4, 1e-3, 1e-2, 0.1, 1];
/** Beyond the hull the correction fades to nothing over this part of the marks' extent. */
const MARGIN = 0.1;

/**
 * Interpolates what a registration left over with a smoothed thin-plate spline (Duchon 1977; U = r²·ln r),
 * whose smoothing is chosen by leave-one-out cross-validation. Without it (fewer than six marks, marks on one
 * line, or no better than the plain fit) `helps` is false and every correction is zero.
 */
export function residualSurface(pairs: readonly PointPair[], registration: Registration): ResidualSurface {
  const n = pairs.length;
  const none = (planeRms: number, leaveOneOutRms: number): ResidualSurface => ({
    at: () => [0, 0],
    leaveOneOutRms,
    planeRms,
    helps: false,
    kind: 'none',
  });
  const residuals = pairs.map((pair): Point => {
    const [x, y] = applyTransform(registration.transform, pair.from);
    return [pair.to[0] - x, pair.to[1] - y];
  });
  const planeRms = plainRms(pairs, residuals, registration);
  if (n < LEAST_MARKS) return none(planeRms, planeRms);

  // Coordinates about one, so that kernel and polynomial have comparable size.
  let cx = 0;
  let cy = 0;
  for (const { from } of pairs) {
    cx += from[0] / n;
    cy += from[1] / n;
  }
  let size = 0;
  for (const { from } of pairs) size = Math.max(size, Math.abs(from[0] - cx), Math.abs(from[1] - cy));
  if (!(size > 0)) return none(planeRms, planeRms);
  const us = pairs.map(({ from }): Point => [(from[0] - cx) / size, (from[1] - cy) / size]);

  let best: { weights: Float64Array; rms: number } | null = null;
  for (const smoothing of SMOOTHING) {
    const fit = fitSpline(us, residuals, smoothing);
    if (fit !== null && (best === null || fit.rms < best.rms)) best = fit;
  }
  if (best === null) return none(planeRms, planeRms);
  if (!(best.rms < LEAST_GAIN * planeRms)) return none(planeRms, best.rms);
  const { weights, rms } = best;
  const hull = convexHull(us);
  const at = (p: Point): Point => {
    const u: Point = [(p[0] - cx) / size, (p[1] - cy) / size];
    const fade = Math.max(0, 1 - outside(hull, u) / (2 * MARGIN));
    if (fade === 0) return [0, 0];
    let dx = 0;
    let dy = 0;
    for (let i = 0; i < n; i++) {
      const k = kernel(us[i]!, u);
      dx += k * weights[2 * i]!;
      dy += k * weights[2 * i + 1]!;
    }
    const w = (i: number): number => weights[2 * n + i]!;
    return [fade * (dx + w(0) + w(2) * u[0] + w(4) * u[1]), fade * (dy + w(1) + w(3) * u[0] + w(5) * u[1])];
  };
  return { at, leaveOneOutRms: rms, planeRms, helps: true, kind: 'thin-plate' };
}

/** Every mark against the same model fitted to the others; marks the others cannot predict count as they are. */
function plainRms(
  pairs: readonly PointPair[],
  residuals: readonly Point[],
  registration: Registration,
): number {
  let squares = 0;
  pairs.forEach((pair, i) => {
    const rest = pairs.filter((_, k) => k !== i);
    const fit = rest.length === 0 ? null : fitModel(rest, registration.model);
    let [dx, dy] = residuals[i]!;
    if (fit !== null) {
      const [x, y] = applyTransform(fit.transform, pair.from);
      dx = pair.to[0] - x;
      dy = pair.to[1] - y;
    }
    squares += dx * dx + dy * dy;
  });
  return Math.sqrt(squares / Math.max(1, pairs.length));
}

function kernel(p: Point, q: Point): number {
  const dx = p[0] - q[0];
  const dy = p[1] - q[1];
  const r2 = dx * dx + dy * dy;
  return r2 === 0 ? 0 : 0.5 * r2 * Math.log(r2);
}

/** Weights of kernel and plane, and the cross-validated error from the diagonal of the influence matrix. */
function fitSpline(
  us: readonly Point[],
  residuals: readonly Point[],
  smoothing: number,
): { weights: Float64Array; rms: number } | null {
  const n = us.length;
  const m = n + 3;
  const system = new Float64Array(m * m);
  for (let i = 0; i < n; i++) {
    for (let k = 0; k < n; k++) system[i * m + k] = kernel(us[i]!, us[k]!);
    system[i * m + i] = smoothing;
    const row = [1, us[i]![0], us[i]![1]];
    row.forEach((value, c) => {
      system[i * m + n + c] = value;
      system[(n + c) * m + i] = value;
    });
  }
  // Columns: dx, dy, then the unit vectors, which give the diagonal of the inverse.
  const width = 2 + n;
  const sides = new Float64Array(m * width);
  for (let i = 0; i < n; i++) {
    sides[i * width] = residuals[i]![0];
    sides[i * width + 1] = residuals[i]![1];
    sides[i * width + 2 + i] = 1;
  }
  if (!solveLinear(system, sides, m, width)) return null;
  const weights = new Float64Array(2 * m);
  for (let i = 0; i < m; i++) {
    weights[2 * i] = sides[i * width]!;
    weights[2 * i + 1] = sides[i * width + 1]!;
  }
  // Left out, point i is missed by its weight over the inverse's diagonal (also when nothing is smoothed).
  let squares = 0;
  for (let i = 0; i < n; i++) {
    const diagonal = sides[i * width + 2 + i]!;
    if (!(Math.abs(diagonal) > 1e-12)) return null;
    const ex = weights[2 * i]! / diagonal;
    const ey = weights[2 * i + 1]! / diagonal;
    squares += ex * ex + ey * ey;
  }
  return { weights, rms: Math.sqrt(squares / n) };
}

/** Andrew's monotone chain, counter-clockwise. */
function convexHull(points: readonly Point[]): Ring {
  const sorted = [...points].sort((p, q) => p[0] - q[0] || p[1] - q[1]);
  const half = (list: readonly Point[]): Point[] => {
    const chain: Point[] = [];
    for (const p of list) {
      while (chain.length >= 2) {
        const [a, b] = [chain[chain.length - 2]!, chain[chain.length - 1]!];
        if ((b[0] - a[0]) * (p[1] - a[1]) - (b[1] - a[1]) * (p[0] - a[0]) > 0) break;
        chain.pop();
      }
      chain.push(p);
    }
    chain.pop();
    return chain;
  };
  return [...half(sorted), ...half(sorted.slice().reverse())];
}

/** Distance of a point to a convex ring, 0 inside. */
function outside(hull: Ring, p: Point): number {
  let inside = true;
  let least = Infinity;
  for (let i = 0; i < hull.length; i++) {
    const a = hull[i]!;
    const b = hull[(i + 1) % hull.length]!;
    const dx = b[0] - a[0];
    const dy = b[1] - a[1];
    if (dx * (p[1] - a[1]) - dy * (p[0] - a[0]) < 0) inside = false;
    const t = Math.max(0, Math.min(1, ((p[0] - a[0]) * dx + (p[1] - a[1]) * dy) / (dx * dx + dy * dy || 1)));
    const ex = a[0] + t * dx - p[0];
    const ey = a[1] + t * dy - p[1];
    least = Math.min(least, ex * ex + ey * ey);
  }
  return inside ? 0 : Math.sqrt(least);
}
