import type { Path64, Paths64 } from 'clipper2-ts';
import { PointInPolygonResult, pointInPolygon } from 'clipper2-ts';
import { emptyBox, growBox } from './box.ts';
import type { Box, Point, Polygon, Region, Ring } from './types.ts';

/**
 * Booleans and offsets run on a grid of 0.1 µm. Coordinates of a 3 m bed are then about 3e7 units, so
 * that products of two differences stay below 2^53 and every predicate is exact in doubles.
 */
export const UNITS_PER_MM = 1e4;

/** Farther out the grid is no longer exact enough to promise anything. */
const LIMIT_MM = 1e5;

/** Nearest grid line; throws RangeError for a coordinate that is not finite or beyond 100 m. */
export function toUnits(mm: number): number {
  if (!(Math.abs(mm) <= LIMIT_MM)) {
    throw new RangeError(`coordinate ${mm} mm: expected a finite number within ±${LIMIT_MM} mm`);
  }
  // Adding zero turns -0 into 0.
  return Math.round(mm * UNITS_PER_MM) + 0;
}

/** A ring on the grid, turned counter-clockwise (`turn` 1) or clockwise (−1). Rings without area come back empty. */
export function ringToPath(ring: Ring, turn: 1 | -1): Path64 {
  const path: Path64 = [];
  for (const p of ring) {
    const x = toUnits(p[0]);
    const y = toUnits(p[1]);
    const last = path[path.length - 1];
    if (last === undefined || last.x !== x || last.y !== y) path.push({ x, y });
  }
  if (path.length < 3) return [];
  return twiceArea(path) * turn < 0 ? path.reverse() : path;
}

export function regionToPaths(region: Region): Paths64 {
  const paths: Paths64 = [];
  for (const polygon of region) {
    push(paths, ringToPath(polygon.outer, 1));
    for (const hole of polygon.holes) push(paths, ringToPath(hole, -1));
  }
  return paths;
}

function push(paths: Paths64, path: Path64): void {
  if (path.length > 0) paths.push(path);
}

function twiceArea(path: Path64): number {
  const origin = path[0]!;
  let sum = 0;
  for (let i = 1; i + 1 < path.length; i++) {
    const p = path[i]!;
    const q = path[i + 1]!;
    sum += (p.x - origin.x) * (q.y - origin.y) - (q.x - origin.x) * (p.y - origin.y);
  }
  return sum;
}

/**
 * Polygons of a clipping result in a canonical order, so that equal point sets give equal bytes. The result is
 * a flat list of counter-clockwise outer paths and clockwise holes; every hole belongs to the smallest outer
 * path around it. (Nesting while clipping tests paths against each other far more often than that.)
 */
export function regionFromPaths(paths: Paths64): Region {
  const outers: Outer[] = [];
  const holes: Path64[] = [];
  for (const path of paths) {
    const area = path.length < 3 ? 0 : twiceArea(path);
    if (area > 0) outers.push({ path, area, box: boxOf(path), holes: [] });
    else if (area < 0) holes.push(path);
  }
  outers.sort((a, b) => a.area - b.area);
  for (const hole of holes) {
    const box = boxOf(hole);
    const around = outers.filter(
      (o) =>
        o.box.minX <= box.minX && o.box.minY <= box.minY && o.box.maxX >= box.maxX && o.box.maxY >= box.maxY,
    );
    const owner = around.length === 1 ? around[0] : around.find((o) => liesIn(hole, o.path));
    if (owner === undefined) throw new Error('a hole of a clipping result lies in none of its polygons');
    owner.holes.push(ringFromPath(hole));
  }
  return outers
    .map((o): Polygon => ({ outer: ringFromPath(o.path), holes: o.holes.sort(compareRings) }))
    .sort((a, b) => compareRings(a.outer, b.outer));
}

interface Outer {
  readonly path: Path64;
  readonly area: number;
  readonly box: Box;
  readonly holes: Ring[];
}

function boxOf(path: Path64): Box {
  const box = emptyBox();
  for (const { x, y } of path) growBox(box, x, y);
  return box;
}

/** Paths of a result touch but never cross: the first corner that is not on the other path decides. */
function liesIn(inner: Path64, outer: Path64): boolean {
  for (const p of inner) {
    const where = pointInPolygon(p, outer);
    if (where !== PointInPolygonResult.IsOn) return where === PointInPolygonResult.IsInside;
  }
  return true;
}

/** Ring in millimetres, starting at its leftmost (then lowest) point. */
function ringFromPath(ordered: Path64): Ring {
  let first = 0;
  for (let i = 1; i < ordered.length; i++) {
    const p = ordered[i]!;
    const q = ordered[first]!;
    if (p.x < q.x || (p.x === q.x && p.y < q.y)) first = i;
  }
  const ring: Point[] = [];
  for (let i = 0; i < ordered.length; i++) {
    const p = ordered[(first + i) % ordered.length]!;
    ring.push([p.x / UNITS_PER_MM + 0, p.y / UNITS_PER_MM + 0]);
  }
  return ring;
}

function compareRings(a: Ring, b: Ring): number {
  const shared = Math.min(a.length, b.length);
  for (let i = 0; i < shared; i++) {
    const p = a[i]!;
    const q = b[i]!;
    if (p[0] !== q[0]) return p[0] - q[0];
    if (p[1] !== q[1]) return p[1] - q[1];
  }
  return a.length - b.length;
}
