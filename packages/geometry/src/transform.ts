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

/**
 * The map that undoes `t`.
 * @throws RangeError when `t` flattens the plane and cannot be undone
 */
export function invertTransform(t: Transform): Transform {
  const determinant = t.a * t.e - t.b * t.d;
  if (!(Math.abs(determinant) > 0) || !Number.isFinite(determinant)) {
    throw new RangeError(`transform with determinant ${determinant} cannot be inverted`);
  }
  const a = t.e / determinant;
  const b = -t.b / determinant;
  const d = -t.d / determinant;
  const e = t.a / determinant;
  return { a, b, c: -(a * t.c + b * t.f), d, e, f: -(d * t.c + e * t.f) };
}

/** First `inner`, then `outer`. */
export function composeTransforms(outer: Transform, inner: Transform): Transform {
  return {
    a: outer.a * inner.a + outer.b * inner.d,
    b: outer.a * inner.b + outer.b * inner.e,
    c: outer.a * inner.c + outer.b * inner.f + outer.c,
    d: outer.d * inner.a + outer.e * inner.d,
    e: outer.d * inner.b + outer.e * inner.e,
    f: outer.d * inner.c + outer.e * inner.f + outer.f,
  };
}
