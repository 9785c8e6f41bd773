import type { Point } from './types.ts';

/** Length of a vector from its components. Math.sqrt is exactly specified, Math.hypot is not. */
export function hypotenuse(x: number, y: number, z = 0): number {
  return Math.sqrt(x * x + y * y + z * z);
}

/** Distance between two points. */
export function distance(p: Point, q: Point): number {
  return hypotenuse(q[0] - p[0], q[1] - p[1]);
}

/**
 * A seeded generator of numbers in [0, 1) with 32 random bits each; the same sequence on every machine.
 * The state walks by a Weyl step and each value is mixed with two 32-bit multiplications.
 * @param seed any finite number; its low 32 bits count
 */
export function seededRandom(seed: number): () => number {
  let state = seed >>> 0;
  return () => {
    state = (state + 0x6d2b79f5) >>> 0;
    let z = Math.imul(state ^ (state >>> 15), state | 1);
    z = (z + Math.imul(z ^ (z >>> 7), z | 61)) ^ z;
    return ((z ^ (z >>> 14)) >>> 0) / 4294967296;
  };
}
