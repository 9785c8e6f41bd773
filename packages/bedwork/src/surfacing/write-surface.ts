import { distance, type Point } from '@bedledger/geometry';
import { APPROACH, type MotionWriter } from '../motion/motion-writer.ts';
import { chainLength, type Piece } from './path.ts';
import { type Plane, planeAt } from './plane-under.ts';

export interface SurfaceCut {
  readonly pieces: readonly Piece[];
  /** Target plane, and how far above it each pass runs, top pass first (the last is 0). */
  readonly target: Plane;
  readonly above: readonly number[];
  /** Height that rapids respect. */
  readonly top: number;
  /** A restart point about this often, mm at depth; pieces between them only name where they are. */
  readonly every: number;
  readonly feed: number;
  readonly plungeFeed: number;
  /** Slope of a ramp into the board, rad. */
  readonly ramp: number;
  /** Where to come in from outside, or null: ramp onto the row. */
  readonly outside: (start: Point, direction: Point) => Point | null;
}

/** Gap between rim and board where the cutter goes down outside it, mm. */
export const OUTSIDE_GAP = 2;
/** A ramp starts this far above the stock, mm. */
const RAMP_START = 0.2;

/**
 * Writes all passes. The cutter never goes down straight into the board: it comes in from outside with its last
 * millimetres of descent done before the rim reaches the edge, or ramps along the first row and returns. Every
 * pass begins at a restart point, and so does a piece whenever the cut since the last one is long enough.
 */
export function writeSurface(writer: MotionWriter, cut: SurfaceCut): void {
  const passes = cut.above.length;
  let since = Number.POSITIVE_INFINITY;
  cut.above.forEach((above, pass) => {
    since = Number.POSITIVE_INFINITY;
    const height = ([x, y]: Point): number => planeAt(cut.target, x, y) + above;
    for (const piece of cut.pieces) {
      const title = passes > 1 ? `pass ${pass + 1} ${piece.title}` : piece.title;
      // Standing while the spindle comes up to speed again costs minutes: not at every row.
      if (since >= cut.every) {
        writer.restart(title);
        since = 0;
      } else writer.section(title);
      since += chainLength(piece.points);
      enter(writer, cut, piece.points, height);
      for (const point of piece.points.slice(1)) writer.feed(point[0], point[1], height(point), cut.feed);
      writer.retract();
    }
  });
}

function enter(
  writer: MotionWriter,
  cut: SurfaceCut,
  points: readonly Point[],
  height: (p: Point) => number,
): void {
  const start = points[0]!;
  const next = points[1] ?? start;
  const length = distance(start, next);
  const direction: Point =
    length > 0 ? [(next[0] - start[0]) / length, (next[1] - start[1]) / length] : [1, 0];
  const from = length > 0 ? cut.outside(start, direction) : null;
  if (from) {
    // Down beside the board, at depth only in the last half millimetre before the rim touches.
    const touch: Point = [
      from[0] + direction[0] * (OUTSIDE_GAP - 0.5),
      from[1] + direction[1] * (OUTSIDE_GAP - 0.5),
    ];
    writer.over(from[0], from[1]);
    writer.lower(cut.top + APPROACH);
    writer.feed(touch[0], touch[1], height(touch), cut.plungeFeed);
    writer.feed(start[0], start[1], height(start), cut.feed);
    return;
  }
  writer.over(start[0], start[1]);
  writer.lower(cut.top + APPROACH);
  writer.feed(start[0], start[1], cut.top + RAMP_START, cut.plungeFeed);
  const slope = Math.tan(cut.ramp);
  let [x, y] = start;
  let z = cut.top + RAMP_START;
  const stroke = Math.max(length, 1e-3);
  // Forward and back along the first stretch until the depth is reached, then back to the start over the wedge.
  for (let guard = 0; guard < 1000; guard += 1) {
    const drop = z - height([x, y]);
    if (drop <= 1e-9) break;
    const run = Math.min(drop / slope, stroke);
    const to: Point = [start[0] + direction[0] * run, start[1] + direction[1] * run];
    const out = Math.max(height(to), z - run * slope);
    writer.feed(to[0], to[1], out, cut.feed);
    z = out - Math.min(run * slope, Math.max(0, out - height(start)));
    writer.feed(start[0], start[1], Math.max(height(start), z), cut.feed);
    z = Math.max(height(start), z);
    [x, y] = start;
  }
}
