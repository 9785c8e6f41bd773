import type { Paths64 } from 'clipper2-ts';
import { Clipper64, ClipType, FillRule } from 'clipper2-ts';
import { clipped } from './clipping.ts';
import { regionToPaths, ringToPath } from './grid.ts';
import type { Region, Ring } from './types.ts';

/**
 * The area a ring encloses, as a region: either turn, and where it crosses itself everything it winds around.
 * A ring without area gives an empty region.
 * @throws RangeError for a coordinate that is not finite or beyond 100 m
 */
export function regionFromRing(ring: Ring): Region {
  const path = ringToPath(ring, 1);
  return path.length === 0 ? [] : run(ClipType.Union, [path], []);
}

/** Everything that lies in at least one of the regions. */
export function union(...regions: Region[]): Region {
  return run(ClipType.Union, regions.flatMap(regionToPaths), []);
}

/** What lies in `a` and not in `b`. */
export function difference(a: Region, b: Region): Region {
  return run(ClipType.Difference, regionToPaths(a), regionToPaths(b));
}

/** What lies in both. */
export function intersection(a: Region, b: Region): Region {
  return run(ClipType.Intersection, regionToPaths(a), regionToPaths(b));
}

function run(type: ClipType, subject: Paths64, clip: Paths64): Region {
  if (subject.length === 0) return [];
  return clipped(`boolean ${type}`, [subject, clip], () => {
    const clipper = new Clipper64();
    clipper.preserveCollinear = false;
    clipper.addSubject(subject);
    if (clip.length > 0) clipper.addClip(clip);
    const result: Paths64 = [];
    // Outer rings wind +1 and holes −1, so a point's winding is the number of regions it lies in.
    if (!clipper.execute(type, FillRule.NonZero, result)) {
      throw new Error(`polygon clipping failed on ${subject.length} + ${clip.length} rings`);
    }
    return result;
  });
}
