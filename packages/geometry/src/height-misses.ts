import { Delaunay } from 'd3-delaunay';
import type { HeightPoint } from './plane.ts';
import { fitPlane } from './plane.ts';

/** Neighbours that a plane through them needs before it predicts anything: one more than determine it. */
const ENOUGH = 4;

/**
 * How far each height lies above what its neighbours say of its place, mm; null where they are too few or on one line to say
 * anything. Neighbours: the next ring of a Delaunay triangulation, the next two rings where one has fewer than six; the
 * prediction is the least-squares plane through them.
 * @param left indexes of points that are not to predict others; they are predicted all the same
 */
export function heightMisses(
  points: readonly HeightPoint[],
  left: ReadonlySet<number> = new Set(),
): (number | null)[] {
  const kept = points.flatMap((_, i) => (left.has(i) ? [] : [i]));
  if (kept.length === 0) return points.map(() => null);
  const inside = Delaunay.from(kept.map((i) => place(points[i]!)));
  const among = new Map(kept.map((i, k) => [i, k]));
  return points.map((point, i) => {
    const own = among.get(i) ?? -1;
    const start = own >= 0 ? own : inside.find(point[0], point[1]);
    if (start < 0 || Number.isNaN(start)) return null;
    const found = new Set<number>(own >= 0 ? [] : [start]);
    for (const k of inside.neighbors(start)) found.add(k);
    if (found.size < 6) for (const k of [...found]) for (const next of inside.neighbors(k)) found.add(next);
    found.delete(own);
    return missOf(
      point,
      [...found].map((k) => points[kept[k]!]!),
    );
  });
}

function place([x, y]: HeightPoint): [number, number] {
  return [x, y];
}

function missOf(point: HeightPoint, neighbours: readonly HeightPoint[]): number | null {
  if (neighbours.length < ENOUGH) return null;
  // About the point itself: the plane's height there is what the neighbours say.
  const around = neighbours.map(([x, y, z]) => [x - point[0], y - point[1], z] as const);
  try {
    return point[2] - fitPlane(around).a;
  } catch (error) {
    if (error instanceof RangeError) return null;
    throw error;
  }
}
