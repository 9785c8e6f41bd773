import type { Point } from '@bedledger/geometry';
import { sweepBetween } from '../motion/arc-geometry.ts';
import { directionOf, HALF_PI } from '../motion/trig.ts';

/** An arc that ends on an axis of its centre does not pass it, radians. */
const AT_END = 1e-9;

/** Least and greatest coordinates reached, in steps of the coordinate grid, program coordinates. */
export class Extents {
  minX = Number.POSITIVE_INFINITY;
  maxX = Number.NEGATIVE_INFINITY;
  minY = Number.POSITIVE_INFINITY;
  maxY = Number.NEGATIVE_INFINITY;
  minZ = Number.POSITIVE_INFINITY;
  maxZ = Number.NEGATIVE_INFINITY;

  xy(x: number, y: number): void {
    if (x < this.minX) this.minX = x;
    if (x > this.maxX) this.maxX = x;
    if (y < this.minY) this.minY = y;
    if (y > this.maxY) this.maxY = y;
  }

  z(z: number): void {
    if (z < this.minZ) this.minZ = z;
    if (z > this.maxZ) this.maxZ = z;
  }

  /** An arc's ends and where it bulges past them; centre in (fractions of) grid steps. */
  arc(start: Point, end: Point, centre: Point, clockwise: boolean): void {
    // By index: taking the pairs apart costs a third of an arc's time.
    const sx = start[0];
    const sy = start[1];
    const ex = end[0];
    const ey = end[1];
    const cx = centre[0];
    const cy = centre[1];
    this.xy(sx, sy);
    this.xy(ex, ey);
    const dx = sx - cx;
    const dy = sy - cy;
    const r = Math.sqrt(dx * dx + dy * dy);
    if (cx + r <= this.maxX && cx - r >= this.minX && cy + r <= this.maxY && cy - r >= this.minY) return;
    const from = directionOf(dx, dy);
    const sweep = sweepBetween(from, directionOf(ex - cx, ey - cy), clockwise);
    const reaches = (quarter: number): boolean =>
      sx === ex && sy === ey ? true : sweepBetween(from, quarter * HALF_PI, clockwise) < sweep - AT_END;
    if (reaches(0)) this.xy(cx + r, ey);
    if (reaches(1)) this.xy(ex, cy + r);
    if (reaches(2)) this.xy(cx - r, ey);
    if (reaches(3)) this.xy(ex, cy - r);
  }

  copy(): Extents {
    return Object.assign(new Extents(), this);
  }
}
