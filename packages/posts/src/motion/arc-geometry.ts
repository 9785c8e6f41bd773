import { directionOf, TWO_PI } from './trig.ts';

/** An arc in XY with whatever happens to Z on the way, millimetres, bed frame. */
export interface Arc {
  readonly sx: number;
  readonly sy: number;
  readonly sz: number;
  readonly ex: number;
  readonly ey: number;
  readonly ez: number;
  readonly cx: number;
  readonly cy: number;
  readonly clockwise: boolean;
  readonly radius: number;
  /** Direction of the start seen from the centre, [0, 2π). */
  readonly from: number;
  /** Angle travelled, (0, 2π]. */
  readonly sweep: number;
}

/** Ends closer than this are the same point: a full turn, not a vanishing arc. */
const SAME_POINT = 1e-6;

/** Angle travelled between two directions, (0, 2π]. */
export function sweepBetween(from: number, to: number, clockwise: boolean): number {
  let sweep = clockwise ? from - to : to - from;
  if (sweep < 0) sweep += TWO_PI;
  return sweep === 0 ? TWO_PI : sweep;
}

/** The arc from a start point to an end about a centre. End equal to start: one full turn. */
export function arcOf(
  start: readonly [number, number, number],
  end: readonly [number, number, number],
  centre: readonly [number, number],
  clockwise: boolean,
): Arc {
  const [sx, sy, sz] = start;
  const [ex, ey, ez] = end;
  const [cx, cy] = centre;
  const dx = sx - cx;
  const dy = sy - cy;
  const from = directionOf(dx, dy);
  const same = Math.abs(ex - sx) < SAME_POINT && Math.abs(ey - sy) < SAME_POINT;
  const sweep = same ? TWO_PI : sweepBetween(from, directionOf(ex - cx, ey - cy), clockwise);
  return { sx, sy, sz, ex, ey, ez, cx, cy, clockwise, radius: Math.sqrt(dx * dx + dy * dy), from, sweep };
}
