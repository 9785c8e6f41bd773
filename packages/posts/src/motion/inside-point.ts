import { quantise } from '@bedledger/diagnostics';
import type { Point } from '@bedledger/geometry';
import type { Arc } from './arc-geometry.ts';

/**
 * Grid point nearest to a point in mm that does not lie outside the circle, so that chords through such points never cut
 * outside it. With a grid too coarse for that (no neighbour inside) the nearest grid point.
 */
export function insidePoint(
  [x, y]: Point,
  { cx, cy, radius }: Pick<Arc, 'cx' | 'cy' | 'radius'>,
  scale: number,
): Point {
  const qx = quantise(x, scale);
  const qy = quantise(y, scale);
  const limit = radius * radius * (1 + 4 * Number.EPSILON);
  let best: Point = [qx, qy];
  let nearest = Number.POSITIVE_INFINITY;
  for (let dx = -1; dx <= 1; dx++) {
    for (let dy = -1; dy <= 1; dy++) {
      const px = (qx + dx) / scale;
      const py = (qy + dy) / scale;
      if ((px - cx) * (px - cx) + (py - cy) * (py - cy) > limit) continue;
      const away = (px - x) * (px - x) + (py - y) * (py - y);
      if (away < nearest) {
        nearest = away;
        best = [qx + dx, qy + dy];
      }
    }
  }
  return best;
}
