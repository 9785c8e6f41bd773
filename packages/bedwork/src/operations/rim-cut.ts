import { lengthText, type Units } from '@bedledger/diagnostics';
import type { Cutter } from '@bedledger/fleet';
import type { Point } from '@bedledger/geometry';
import { APPROACH, type MotionWriter } from '../motion/motion-writer.ts';
import { pointLength } from './round-cut.ts';

/** The rim of a round pocket, to be chamfered. Bed frame, mm. */
export interface Rim {
  readonly at: Point;
  /** Of the pocket. */
  readonly radius: number;
  /** Heights of the board's top and of the pocket's floor. */
  readonly top: number;
  readonly floor: number;
  /** Of the chamfer, seen from above. */
  readonly width: number;
}

/** The level circle on which the tip of a cone goes round to cut a chamfer, mm. */
export interface RimPath {
  readonly radius: number;
  /** Height of the tip. */
  readonly tip: number;
  /** Depth of the chamfer along the wall of the pocket. */
  readonly depth: number;
  /** Diameter of the cone in the middle of the cut. */
  readonly across: number;
}

/** Air between the tip and the floor of the pocket, mm: thickness and zero are known to a tenth or two (ours). */
const TIP_AIR = 1;
/** The tip itself does not cut: it runs this far inside the wall at least, mm (ours). */
const LEAST_INSIDE = 0.5;

/** Depth of a chamfer of this width: width ÷ tan(angle/2); `angle` full, degrees. mm. */
export function chamferDepth(width: number, angle: number): number {
  return pointLength(2 * width, angle);
}

/**
 * How a cone cuts a rim, or one sentence why it cannot.
 *
 * With the tip `inside` of the wall and `inside + width` ÷ tan(angle/2) below the board's top, the flank meets the top at
 * radius + width and the wall at the depth of the chamfer; below that it is clear of the wall. The cut lies in the middle
 * of the flank, away from the tip, which has no speed, and from the corner at the full diameter: nearer to the tip where
 * the pocket is shallow or narrow.
 */
export function rimPath(rim: Rim, cutter: Cutter, units: Units): RimPath | string {
  const length = (mm: number): string => lengthText(mm, units);
  const { radius, width, top, floor } = rim;
  if (cutter.kind !== 'v-point') return `cutter ${cutter.id} has no cone: name a pointed cutter`;
  const flank = cutter.diameter / 2;
  if (flank - width < 2 * LEAST_INSIDE) {
    return `the flank of cutter ${cutter.id} is ${length(flank)} wide, too narrow for a rim break of ${length(width)}`;
  }
  const depth = chamferDepth(width, cutter.pointAngle);
  const pocket = top - floor;
  if (depth > pocket / 2) {
    return `a rim break of ${length(width)} is ${length(depth)} deep with cutter ${cutter.id}, more than half of a pocket of ${length(pocket)}`;
  }
  const slope = depth / width;
  const deepest = (pocket - TIP_AIR) / slope - width;
  const inside = Math.min((flank - width) / 2, radius / 2, deepest);
  if (inside < LEAST_INSIDE) {
    return `the tip of cutter ${cutter.id} would come within ${length(TIP_AIR)} of the floor of a pocket of ${length(pocket)}`;
  }
  return {
    radius: radius - inside,
    tip: top - (inside + width) * slope,
    depth,
    across: 2 * inside + width,
  };
}

/**
 * Down through the open pocket, out to the circle by half a circle, once round, and back by half a circle: the cone comes
 * to the rim and leaves it along it, and nowhere stands still against it. Counter-clockwise, so that a clockwise spindle
 * climbs. Feeds of the tip, mm/min.
 */
export function cutRim(
  writer: MotionWriter,
  { at }: Rim,
  path: RimPath,
  feeds: { readonly down: number; readonly round: number },
): void {
  const [cx, cy] = at;
  const { radius, tip } = path;
  const half: Point = [cx + radius / 2, cy];
  const arc = (x: number, centre: Point): void =>
    writer.arc({ clockwise: false, to: [x, cy, tip], centre, feed: feeds.round });
  writer.over(cx, cy);
  writer.lower(writer.stock + APPROACH);
  writer.feed(cx, cy, tip, feeds.down);
  arc(cx + radius, half);
  arc(cx + radius, at);
  arc(cx, half);
  writer.retract();
}
