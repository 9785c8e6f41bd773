import { boxOfRings } from './box.ts';
import { distance } from './numbers.ts';
import { ringArea } from './rings.ts';
import type { Transform } from './transform.ts';
import { applyTransform } from './transform.ts';
import type { Box, Point, Region, Ring } from './types.ts';

/** Nearer to the boundary than this a point counts as on it, mm: far above rounding, far below the grid. */
export const ON_BOUNDARY = 1e-9;

/** Area of a region, mm². */
export function regionArea(region: Region): number {
  let sum = 0;
  for (const polygon of region) {
    sum += Math.abs(ringArea(polygon.outer));
    for (const hole of polygon.holes) sum -= Math.abs(ringArea(hole));
  }
  return sum;
}

/** Every ring of a region, outer rings and holes. */
export function ringsOf(region: Region): Ring[] {
  return region.flatMap((polygon) => [polygon.outer, ...polygon.holes]);
}

/**
 * Smallest box around a region.
 * @throws RangeError for an empty region, which has none
 */
export function bounds(region: Region): Box {
  const box = boxOfRings(region.map((polygon) => polygon.outer));
  if (!(box.minX <= box.maxX))
    throw new RangeError('bounds of an empty region: expected at least one polygon');
  return box;
}

/** Point of the segment ab nearest to p. */
export function nearestOnSegment(a: Point, b: Point, p: Point): Point {
  const dx = b[0] - a[0];
  const dy = b[1] - a[1];
  const length2 = dx * dx + dy * dy;
  if (length2 === 0) return a;
  const t = ((p[0] - a[0]) * dx + (p[1] - a[1]) * dy) / length2;
  if (t <= 0) return a;
  if (t >= 1) return b;
  return [a[0] + t * dx, a[1] + t * dy];
}

/** Whether p lies in the region or on its boundary (within 1e-9 mm). */
export function containsPoint(region: Region, p: Point): boolean {
  let inside = false;
  for (const ring of ringsOf(region)) {
    let a = ring[ring.length - 1]!;
    for (const b of ring) {
      if (onSegment(a, b, p)) return true;
      if (a[1] > p[1] !== b[1] > p[1]) {
        const crossing = a[0] + ((p[1] - a[1]) / (b[1] - a[1])) * (b[0] - a[0]);
        if (p[0] < crossing) inside = !inside;
      }
      a = b;
    }
  }
  return inside;
}

function onSegment(a: Point, b: Point, p: Point): boolean {
  if (p[0] < Math.min(a[0], b[0]) - ON_BOUNDARY || p[0] > Math.max(a[0], b[0]) + ON_BOUNDARY) return false;
  if (p[1] < Math.min(a[1], b[1]) - ON_BOUNDARY || p[1] > Math.max(a[1], b[1]) + ON_BOUNDARY) return false;
  return distance(nearestOnSegment(a, b, p), p) <= ON_BOUNDARY;
}

/**
 * Boundary point nearest to p, and its distance (never negative, inside or outside).
 * @throws RangeError for an empty region
 */
export function nearestOnBoundary(region: Region, p: Point): { point: Point; distance: number } {
  let best: Point | null = null;
  let least = Infinity;
  for (const ring of ringsOf(region)) {
    let a = ring[ring.length - 1]!;
    for (const b of ring) {
      const q = nearestOnSegment(a, b, p);
      const dx = q[0] - p[0];
      const dy = q[1] - p[1];
      const d = dx * dx + dy * dy;
      if (d < least) {
        least = d;
        best = q;
      }
      a = b;
    }
  }
  if (best === null) {
    throw new RangeError(
      'nearest boundary point: expected a region with at least one ring and a finite point',
    );
  }
  return { point: best, distance: Math.sqrt(least) };
}

/** Point of the region nearest to p: p itself when it lies inside, null when the region is empty. */
export function nearestPointIn(region: Region, p: Point): Point | null {
  if (region.length === 0) return null;
  return containsPoint(region, p) ? p : nearestOnBoundary(region, p).point;
}

/** Image of a region under an affine map; a mirroring map keeps outer rings counter-clockwise. Not rounded. */
export function mapRegion(region: Region, t: Transform): Region {
  const mirrored = t.a * t.e - t.b * t.d < 0;
  const map = (ring: Ring): Ring => {
    const image = ring.map((p) => applyTransform(t, p));
    return mirrored ? image.reverse() : image;
  };
  return region.map((polygon) => ({ outer: map(polygon.outer), holes: polygon.holes.map(map) }));
}
