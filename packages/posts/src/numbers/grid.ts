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

/**
 * Whole number of grid steps at or below `value × scale`, for limits that rounding must not pass; a value that is a
 * few units in the last place short of a step counts as that step.
 */
export function quantiseDown(value: number, scale: number): number {
  const y = value * scale;
  return Math.floor(y + Math.max(1e-9, Math.abs(y) * 1e-12));
}

/** 10 to the power of `digits` (0…15), from multiplications alone. */
export function powerOfTen(digits: number): number {
  let p = 1;
  for (let i = 0; i < digits; i++) p *= 10;
  return p;
}
