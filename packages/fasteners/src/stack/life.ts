import type { StackInput } from '../model.ts';

/** Skims left, and what ends them. */
export interface Life {
  readonly skims: number;
  /** Measured thickness below which the board must not go. */
  readonly replaceAt: number;
  readonly governs: string;
}

/**
 * Skims left before a head is covered too thinly or the board gets too thin. `headTop` is the top of the head
 * above the bed at its highest, mm.
 */
export function stackLife(input: StackInput, headTop: number): Life {
  const u = input.thicknessUncertainty;
  const byCover = headTop + input.rules.coverMin + u;
  const byBoard = input.leastThickness + u;
  const replaceAt = Math.max(byCover, byBoard);
  // a skim that ends exactly on the limit still counts
  const skims = Math.max(0, Math.floor((input.thickness - replaceAt) / input.rules.skim + 1e-9));
  return { skims, replaceAt, governs: byCover >= byBoard ? 'cover' : 'least-board' };
}
