import { mapRegion, type Point, type Region } from '@bedledger/geometry';
import { type LineScan, lineScan } from '../lands/line-scan.ts';
import type { CoverRules } from './demand.ts';

/** A board to cover from a land with the fewest sites, all in the frame in which the board lies along the axes. */
export interface CoverTask {
  readonly rules: CoverRules;
  readonly land: Region;
  readonly scan: LineScan;
  readonly nearestLand: (p: Point) => Point | null;
  /** Whether a hole there opens a zone. */
  readonly inZone: (p: Point) => boolean;
  /** Least distance between two sites, mm. */
  readonly apart: number;
  /** Sites that are in the bed and stay. */
  readonly fixed: readonly Point[];
  /** Places of another layout: a cover of the same board, or nearly one. */
  readonly known: readonly Point[];
}

/** Lands whose balance is nearer to the middle than this share of the board count as balanced. */
const BALANCED = 1e-6;

/**
 * The task in the hand in which it is solved, and the way back. A bed and its mirror image are one task in two hands: it
 * is solved with the greater part of the lands to the right and to the back, so that both get the same layout.
 * @param places points all over the land
 */
export function inOneHand(
  task: CoverTask,
  places: readonly Point[],
): { readonly task: CoverTask; readonly back: (p: Point) => Point } {
  const { minX, maxX, minY, maxY } = task.rules.board;
  let [x, y] = [0, 0];
  for (const p of places) {
    x += (p[0] - (minX + maxX) / 2) / (maxX - minX);
    y += (p[1] - (minY + maxY) / 2) / (maxY - minY);
  }
  const limit = -BALANCED * places.length;
  const [flipX, flipY] = [x < limit, y < limit];
  const image = (p: Point): Point => [flipX ? minX + maxX - p[0] : p[0], flipY ? minY + maxY - p[1] : p[1]];
  const sorted = (points: readonly Point[]): Point[] =>
    points.map(image).sort((p, q) => p[1] - q[1] || p[0] - q[0]);
  if (!flipX && !flipY) {
    return { task: { ...task, fixed: sorted(task.fixed), known: sorted(task.known) }, back: image };
  }
  const land = mapRegion(task.land, {
    a: flipX ? -1 : 1,
    b: 0,
    c: flipX ? minX + maxX : 0,
    d: 0,
    e: flipY ? -1 : 1,
    f: flipY ? minY + maxY : 0,
  });
  return {
    task: {
      ...task,
      rules: mirroredRules(task.rules, flipX, flipY, image),
      land,
      scan: lineScan(land),
      nearestLand: (p) => {
        const near = task.nearestLand(image(p));
        return near === null ? null : image(near);
      },
      inZone: (p) => task.inZone(image(p)),
      fixed: sorted(task.fixed),
      known: sorted(task.known),
    },
    back: image,
  };
}

function mirroredRules(
  rules: CoverRules,
  flipX: boolean,
  flipY: boolean,
  image: (p: Point) => Point,
): CoverRules {
  let { edges, corners } = rules;
  if (flipX) {
    edges = [edges[0], edges[3], edges[2], edges[1]];
    corners = [corners[1], corners[0], corners[3], corners[2]];
  }
  if (flipY) {
    edges = [edges[2], edges[1], edges[0], edges[3]];
    corners = [corners[3], corners[2], corners[1], corners[0]];
  }
  return { ...rules, edges, corners, landDistance: (p, enough) => rules.landDistance(image(p), enough) };
}
