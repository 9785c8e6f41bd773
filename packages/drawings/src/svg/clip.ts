import type { Box, Point } from '@bedledger/geometry';

/** The part of a segment inside a box (Liang and Barsky 1984), or null when it misses it. */
export function clipSegment(from: Point, to: Point, box: Box): readonly [Point, Point] | null {
  const [dx, dy] = [to[0] - from[0], to[1] - from[1]];
  let [enter, leave] = [0, 1];
  const sides: readonly (readonly [number, number])[] = [
    [-dx, from[0] - box.minX],
    [dx, box.maxX - from[0]],
    [-dy, from[1] - box.minY],
    [dy, box.maxY - from[1]],
  ];
  for (const [run, room] of sides) {
    if (run === 0) {
      if (room < 0) return null;
    } else if (run < 0) enter = Math.max(enter, room / run);
    else leave = Math.min(leave, room / run);
  }
  if (enter > leave) return null;
  return [
    [from[0] + enter * dx, from[1] + enter * dy],
    [from[0] + leave * dx, from[1] + leave * dy],
  ];
}

/** The place of the box that is nearest to a point. */
export function clampPoint([x, y]: Point, box: Box): Point {
  return [Math.min(Math.max(x, box.minX), box.maxX), Math.min(Math.max(y, box.minY), box.maxY)];
}

export function isInside([x, y]: Point, box: Box): boolean {
  return x >= box.minX && x <= box.maxX && y >= box.minY && y <= box.maxY;
}
