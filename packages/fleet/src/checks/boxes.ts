import {
  type Box,
  bounds,
  difference,
  intersection,
  type Point,
  type Region,
  regionArea,
} from '@bedledger/geometry';

/** Areas below this are rounding at an edge, mm². */
export const TOUCH = 0.5;

/** Does a disc of this radius, mm, about a point lie inside the box? A negative radius lets the point lie outside by as much. */
export function boxHolds(box: Box, at: Point, radius = 0): boolean {
  return (
    at[0] - radius >= box.minX &&
    at[0] + radius <= box.maxX &&
    at[1] - radius >= box.minY &&
    at[1] + radius <= box.maxY
  );
}

/** How far the box `part` sticks out of the box `whole` at each side, mm; negative where it does not. */
export function overhangs(part: Box, whole: Box) {
  return {
    left: whole.minX - part.minX,
    right: part.maxX - whole.maxX,
    front: whole.minY - part.minY,
    back: part.maxY - whole.maxY,
  };
}

/**
 * Area of `part` outside `whole`, mm². Rectangles, which most beds and zones are, need no boolean operation: inside the
 * box is inside.
 */
export function areaOutside(part: Region, whole: Region, wholeIsBox: boolean): number {
  if (wholeIsBox && Object.values(overhangs(bounds(part), bounds(whole))).every((by) => by <= 0)) return 0;
  return regionArea(difference(part, whole));
}

/** What two regions have in common; empty at once when their boxes are apart. */
export function overlap(p: Region, q: Region): Region {
  const a = bounds(p);
  const b = bounds(q);
  if (a.maxX <= b.minX || b.maxX <= a.minX || a.maxY <= b.minY || b.maxY <= a.minY) return [];
  return intersection(p, q);
}
