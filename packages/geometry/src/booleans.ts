import type { Path64, Paths64 } from 'clipper2-ts';
import { Clipper64, ClipType, FillRule } from 'clipper2-ts';
import { clipped } from './clipping.ts';
import { regionFromPaths, regionToPaths, ringToPath } from './grid.ts';
import type { Region, Ring } from './types.ts';

/**
 * The area a ring encloses, as a region: either turn, and where it crosses itself everything it winds around.
 * A ring without area gives an empty region.
 * @throws RangeError for a coordinate that is not finite or beyond 100 m
 */
export function regionFromRing(ring: Ring): Region {
  const path = ringToPath(ring, 1);
  if (path.length === 0) return [];
  return isPlainQuadrangle(path) ? regionFromPaths([path]) : run(ClipType.Union, [path], []);
}

/** Sides shorter than this many grid units are left to the clipping, which tidies what is hardly there. */
const SHORT = 100;

/** Four corners, counter-clockwise, each a turn to the left: convex, so there is nothing to resolve. Most grooves are such. */
function isPlainQuadrangle(path: Path64): boolean {
  if (path.length !== 4) return false;
  return path.every((p, i) => {
    const q = path[(i + 1) % 4]!;
    const r = path[(i + 2) % 4]!;
    const [ax, ay, bx, by] = [q.x - p.x, q.y - p.y, r.x - q.x, r.y - q.y];
    return ax * by - ay * bx > 0 && Math.abs(ax) + Math.abs(ay) > SHORT;
  });
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
