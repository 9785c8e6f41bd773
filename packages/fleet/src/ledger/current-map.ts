import type { HeightMap } from '../model/record.ts';

/**
 * The height map that is true of the board as it lies there: taken of this board, after its last skim.
 * A skim's own `heights` are what it was planned from; that surface is gone.
 */
export function currentHeights(
  heights: readonly HeightMap[],
  state: { readonly latestHeights: string | null },
): HeightMap | null {
  const wanted = state.latestHeights;
  if (wanted === null) return null;
  return heights.find((map) => map.file === wanted || map.file.endsWith(`/${wanted}`)) ?? null;
}
