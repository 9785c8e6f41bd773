import type { Point } from './types.ts';

/** Affine map: x′ = a·x + b·y + c, y′ = d·x + e·y + f. */
export interface Transform {
  readonly a: number;
  readonly b: number;
  readonly c: number;
  readonly d: number;
  readonly e: number;
  readonly f: number;
}

export const IDENTITY: Transform = { a: 1, b: 0, c: 0, d: 0, e: 1, f: 0 };

/** Image of `p` under `t`. */
export function applyTransform(t: Transform, p: Point): Point {
  return [t.a * p[0] + t.b * p[1] + t.c, t.d * p[0] + t.e * p[1] + t.f];
}
