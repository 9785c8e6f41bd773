import type { Point } from '@bedledger/geometry';

/** A plain outline in the bed frame, millimetres. `rect` is given by its lower-left corner and its size. */
export type Shape =
  | { readonly kind: 'circle'; readonly at: Point; readonly diameter: number }
  | { readonly kind: 'rect'; readonly at: Point; readonly size: Point }
  | { readonly kind: 'polygon'; readonly points: readonly Point[] };
