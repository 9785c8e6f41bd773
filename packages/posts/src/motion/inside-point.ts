import { quantise } from '@bedledger/diagnostics';

/**
 * Grid point nearest to (x, y) mm that does not lie outside the circle, so that chords through such points never cut
 * outside it. With a grid too coarse for that (no neighbour inside) the nearest grid point.
 */
export function insidePoint(
  x: number,
  y: number,
  cx: number,
  cy: number,
  radius: number,
  scale: number,
): readonly [number, number] {
  const qx = quantise(x, scale);
  const qy = quantise(y, scale);
  const limit = radius * radius * (1 + 4 * Number.EPSILON);
  let best: readonly [number, number] = [qx, qy];
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
