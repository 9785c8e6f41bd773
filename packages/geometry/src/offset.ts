import type { Path64, Paths64 } from 'clipper2-ts';
import { ClipperOffset, EndType, JoinType } from 'clipper2-ts';
import { union } from './booleans.ts';
import { boxOfRings } from './box.ts';
import { clipped } from './clipping.ts';
import { regionToPaths, toUnits, UNITS_PER_MM } from './grid.ts';
import type { Point, Region, Ring } from './types.ts';

/** Sagitta allowed to the chords that stand for arcs, grid units (0.7 µm). */
const ARC_TOLERANCE = 7;
/** Rounding of the input, of the moved corners and of their intersections: 3 · √½ units, rounded up. */
const ROUNDING = 3;

/**
 * Moves the boundary outward (`delta` > 0) or inward (< 0) with round joins, erring on the safe side by at
 * most 1 µm on straight edges and 2 µm on arcs: a grown region contains every point within `delta` of the
 * original; a shrunk one contains only points whose distance to the original boundary is at least |delta|.
 * @param delta millimetres; 0 returns the region tidied
 * @throws RangeError when delta or a coordinate is not finite
 */
export function offset(region: Region, delta: number): Region {
  if (!Number.isFinite(delta)) throw new RangeError(`offset by ${delta} mm: expected a finite number`);
  if (delta === 0) return union(region);
  const moved = Math.abs(delta) * UNITS_PER_MM + ARC_TOLERANCE + ROUNDING;
  const kept = region.flatMap((polygon) => {
    if (delta < 0) return isWider(polygon.outer, 2 * moved) ? [polygon] : [];
    return [{ outer: polygon.outer, holes: polygon.holes.filter((hole) => isWider(hole, 2 * moved)) }];
  });
  return inflate(regionToPaths(kept), EndType.Polygon, delta < 0 ? -moved : moved);
}

/**
 * Whether a ring is more than `width` grid units wide and deep. One that is not has no point farther than half of that from
 * its boundary: a hole fills up, an outline vanishes, and clipping its turned-inside-out remains is the dearest part of a run.
 */
function isWider(ring: Ring, width: number): boolean {
  const { minX, minY, maxX, maxY } = boxOfRings([ring]);
  return Math.min(maxX - minX, maxY - minY) * UNITS_PER_MM > width;
}

/**
 * The area a disc covers when its centre runs along an open path.
 * @param path one or more points, mm; one point gives the disc itself, none the empty region
 * @param radius of the disc, mm
 * @param options `outside` (default): contains the true area, for what must not be touched; `inside`: is
 *   contained in it, for what must be reached. Either is within 2 µm of the truth.
 * @throws RangeError for a radius that is not positive
 */
export function sweep(
  path: readonly Point[],
  radius: number,
  options: { readonly side?: 'inside' | 'outside' } = {},
): Region {
  if (!(radius > 0 && radius <= 1e5))
    throw new RangeError(`sweep of radius ${radius} mm: expected more than 0`);
  const centre: Path64 = [];
  for (const p of path) {
    const x = toUnits(p[0]);
    const y = toUnits(p[1]);
    const last = centre[centre.length - 1];
    if (last === undefined || last.x !== x || last.y !== y) centre.push({ x, y });
  }
  if (centre.length === 0) return [];
  const margin = options.side === 'inside' ? -ROUNDING : ARC_TOLERANCE + ROUNDING;
  const reach = radius * UNITS_PER_MM + margin;
  return reach <= 1 ? [] : inflate([centre], EndType.Round, reach);
}

function inflate(paths: Path64[], ends: EndType, delta: number): Region {
  if (paths.length === 0) return [];
  return clipped(`offset ${ends} ${delta}`, [paths], () => {
    const worker = new ClipperOffset(2, ARC_TOLERANCE);
    worker.addPaths(paths, JoinType.Round, ends);
    const result: Paths64 = [];
    worker.execute(delta, result);
    return result;
  });
}
