import type { Point, Region } from '@bedledger/geometry';
import { difference, intersection, offset, regionArea, sweep } from '@bedledger/geometry';
import type { Piece } from './path.ts';

/** What one pass leaves of the board, proven by sweeping the disc exactly along what is really cut. */
export interface CoverageProof {
  readonly left: Region;
  /** mm². */
  readonly leftArea: number;
  readonly covered: boolean;
}

/** What is left narrower than twice this is the rounding of arcs to chords, mm. */
const FILM = 0.002;

/** Sweeps the pieces and takes them off the board. The swept area is rounded inwards, so "nothing left" is a proof. */
export function proveCoverage(board: Region, pieces: readonly Piece[], radius: number): CoverageProof {
  // Piece by piece: what is left shrinks, which is cheaper than one union of everything that was swept.
  let left = board;
  for (const piece of pieces) left = difference(left, sweep(piece.points, radius, { side: 'inside' }));
  const leftArea = regionArea(left);
  return { left, leftArea, covered: offset(left, -FILM).length === 0 };
}

/** True when the rim of the cutter on this path comes within `margin` of the region. mm. */
export function pathTouches(
  points: readonly Point[],
  radius: number,
  margin: number,
  region: Region,
): boolean {
  if (region.length === 0) return false;
  const path = points.length === 1 ? [points[0]!, points[0]!] : points;
  return regionArea(intersection(sweep(path, radius + margin, { side: 'outside' }), region)) > 0;
}
