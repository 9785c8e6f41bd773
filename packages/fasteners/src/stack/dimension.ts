import type { Dimension, Provenance } from '../model.ts';

/** Largest the dimension can be. */
export const largest = (d: Dimension): number => d.value + d.uncertainty;

/** Smallest the dimension can be. */
export const smallest = (d: Dimension): number => d.value - d.uncertainty;

/** A dimension from its two published limits: the middle, and half the width. */
export function between(min: number, max: number, from: Provenance): Dimension {
  return { value: (min + max) / 2, uncertainty: (max - min) / 2, from };
}

/** Up to the next multiple of `step`; a value that is one already (but for rounding noise) stays. */
export function roundUp(value: number, step: number): number {
  const steps = Math.ceil(value / step - 1e-6);
  // dividing by the whole reciprocal keeps 10.7 from becoming 10.700000000000001
  return steps / Math.round(1 / step);
}
