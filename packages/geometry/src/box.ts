import type { Box, Ring } from './types.ts';

/** A box that grows; {@link emptyBox} is inside out (infinite, least above greatest) until a point is put into it. */
type GrowingBox = { -readonly [K in keyof Box]: Box[K] };

export function emptyBox(): GrowingBox {
  return { minX: Infinity, minY: Infinity, maxX: -Infinity, maxY: -Infinity };
}

/** Grows the box to hold the point. */
export function growBox(box: GrowingBox, x: number, y: number): void {
  if (x < box.minX) box.minX = x;
  if (x > box.maxX) box.maxX = x;
  if (y < box.minY) box.minY = y;
  if (y > box.maxY) box.maxY = y;
}

/** Smallest box around both. */
export function boxOfBoth(a: Box, b: Box): Box {
  return {
    minX: Math.min(a.minX, b.minX),
    minY: Math.min(a.minY, b.minY),
    maxX: Math.max(a.maxX, b.maxX),
    maxY: Math.max(a.maxY, b.maxY),
  };
}

/** Smallest box around the rings; without any point it is inside out. */
export function boxOfRings(rings: readonly Ring[]): Box {
  const box = emptyBox();
  for (const ring of rings) for (const [x, y] of ring) growBox(box, x, y);
  return box;
}
