import type { Point, Transform } from '../index.ts';

/** Moves by (dx, dy). */
export function translation(dx: number, dy: number): Transform {
  return { a: 1, b: 0, c: dx, d: 0, e: 1, f: dy };
}

/** Turns by `angle` radians, counter-clockwise, about a point (default the origin). */
export function rotation(angle: number, about: Point = [0, 0]): Transform {
  const cos = Math.cos(angle);
  const sin = Math.sin(angle);
  const [x, y] = about;
  return { a: cos, b: -sin, c: x - cos * x + sin * y, d: sin, e: cos, f: y - sin * x - cos * y };
}
