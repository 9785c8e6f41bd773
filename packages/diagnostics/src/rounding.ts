/**
 * How numbers are rounded before anybody reads them, person or machine: half away from zero, on the decimal value that a
 * person sees. 1.005 is 1.01 at two places although its binary value lies below the tie.
 */

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

/** Whole number of grid steps at or above `value × scale`, for needs that rounding must not fall short of. */
export function quantiseUp(value: number, scale: number): number {
  return 0 - quantiseDown(-value, scale);
}

/** 10 to the power of `digits` (0…15), from multiplications alone. */
export function powerOfTen(digits: number): number {
  let p = 1;
  for (let i = 0; i < digits; i++) p *= 10;
  return p;
}

/** The value on a decimal grid of `decimals` places (0…15), never −0. */
export function rounded(value: number, decimals: number): number {
  const scale = powerOfTen(decimals);
  return quantise(value, scale) / scale;
}

/** The value with exactly `decimals` places, never `-0`. */
export function fixed(value: number, decimals: number): string {
  if (!Number.isFinite(value)) return String(value);
  return rounded(value, decimals).toFixed(decimals);
}

/** The value with at most `decimals` places and no trailing zeros: `12.5`, `0`, `-0.25`. Never an exponent for sizes above 1e-6. */
export function trimmed(value: number, decimals: number): string {
  return String(rounded(value, decimals));
}

/** Short decimal text for sentences: about four significant digits, no exponent, no locale. */
export function figure(value: number): string {
  if (!Number.isFinite(value)) return String(value);
  const size = Math.abs(value);
  const decimals = size >= 1000 ? 0 : size >= 100 ? 1 : size >= 10 ? 2 : size >= 1 ? 3 : size >= 0.01 ? 4 : 6;
  return trimmed(value, decimals);
}
