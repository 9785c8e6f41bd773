/**
 * Single-hue scale from low (dark) to high (light): nine steps of equal lightness difference in OKLab at one hue
 * (B. Ottosson, "A perceptual color space for image processing", 2020), within sRGB. Dark is low, as in a hollow.
 */
export const HEIGHT_INKS = [
  '#003a65',
  '#134f80',
  '#2d6698',
  '#477cae',
  '#6894bd',
  '#88abcd',
  '#a9c3dc',
  '#cadaeb',
  '#ecf3fa',
] as const;

/** Steps that people read without a ruler: 1, 2 and 5 times a power of ten. */
const STEPS = [1, 2, 5] as const;

export interface HeightScale {
  /** Limits of the bands in ascending order; one more than there are bands. */
  readonly limits: readonly number[];
  readonly step: number;
  /** Band of a height, from 0; heights beyond the limits belong to the nearest band. */
  band(z: number): number;
  ink(band: number): string;
}

/**
 * Bands between `min` and `max`, at most `most` of them, with limits at multiples of a round step.
 *
 * @param grain the least step worth showing: nothing finer was measured
 * @param unit length of the unit that people read, mm: limits are round in it
 */
export function heightScale(min: number, max: number, grain: number, unit: number, most = 9): HeightScale {
  if (!(Number.isFinite(min) && Number.isFinite(max) && min <= max))
    throw new RangeError(`no scale from ${min} to ${max}`);
  let step = 0;
  search: for (let power = 1e-6; ; power *= 10) {
    for (const s of STEPS) {
      step = s * power * unit;
      if (step < grain * (1 - 1e-9)) continue;
      const bands = Math.ceil(max / step - 1e-9) - Math.floor(min / step + 1e-9);
      if (bands <= most) break search;
    }
  }
  const first = Math.floor(min / step + 1e-9);
  const last = Math.max(first + 1, Math.ceil(max / step - 1e-9));
  const limits = Array.from({ length: last - first + 1 }, (_, i) => (first + i) * step);
  const bands = limits.length - 1;
  return {
    limits,
    step,
    band: (z) => Math.min(bands - 1, Math.max(0, Math.floor(z / step + 1e-9) - first)),
    ink: (band) =>
      HEIGHT_INKS[bands === 1 ? 4 : Math.round((band * (HEIGHT_INKS.length - 1)) / (bands - 1))] as string,
  };
}
