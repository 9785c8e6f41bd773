import type { HeightMap } from '../model/record.ts';

/** Is this the map that a fact of the ledger names? A fact names it as it lies beside the ledger, a record with its folder. */
export function isMapOf(map: Pick<HeightMap, 'file'>, named: string): boolean {
  return map.file === named || map.file.endsWith(`/${named}`);
}

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
  return heights.find((map) => isMapOf(map, wanted)) ?? null;
}
