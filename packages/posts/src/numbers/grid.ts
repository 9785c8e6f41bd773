/**
 * A hair more than 1: lifts decimal ties that binary arithmetic leaves a few units in the last place below one half
 * (1.0005 × 1000 = 1000.4999999999999), far too small to move anything else.
 */
const TIE = 1 + 2 * Number.EPSILON;

/**
 * Nearest whole number of grid steps to `value × scale`, half away from zero, never −0.
 * NaN and infinities come back as NaN or infinities: the caller's range check refuses them.
 */
export function quantise(value: number, scale: number): number {
  const y = value * scale * TIE;
  return y < 0 ? 0 - Math.floor(0.5 - y) : Math.floor(y + 0.5);
}

/** 10 to the power of `digits` (0…15), from multiplications alone. */
export function powerOfTen(digits: number): number {
  let p = 1;
  for (let i = 0; i < digits; i++) p *= 10;
  return p;
}
