import {
  bounds,
  intersection,
  offset,
  type Point,
  type Region,
  rectangleRing,
  regionFromRing,
  sweep,
} from '@bedledger/geometry';
import type { GrooveGrid, Zone } from '../model/machine.ts';
import { zoneRegion } from './regions.ts';

/** One groove of a grid: the line it follows and the land it takes. */
export interface GridGroove {
  /** `x` grooves run along Y at one X; `y` grooves along X at one Y. */
  readonly axis: 'x' | 'y';
  /** Number from the left, or from the operator's side, starting with 1. */
  readonly number: number;
  readonly from: Point;
  readonly to: Point;
  readonly region: Region;
}

/**
 * Positions of a grid's centre lines along one side of length `span`: as many as fit at the pitch, one at least, centred
 * unless the profile gives the first one.
 */
export function gridLines(span: number, pitch: number, first?: number): number[] {
  if (!(span > 0) || !(pitch > 0)) return [];
  const n =
    first === undefined
      ? Math.max(1, Math.floor(span / pitch + 1e-9))
      : Math.max(0, Math.floor((span - first) / pitch + 1e-9) + 1);
  const start = first ?? (span - pitch * (n - 1)) / 2;
  return Array.from({ length: n }, (_, i) => start + i * pitch).filter((v) => v >= 0 && v <= span);
}

/**
 * Grooves of a grid inside a zone, nominal bed frame, mm. Lines are laid out in the zone's box; every groove ends at the
 * outer wall of the outermost groove that crosses it, so that the grid is closed. Where the zone is not a rectangle the
 * grooves are cut off half a width inside its outline.
 */
export function gridGrooves(zone: Zone, grid: GrooveGrid): GridGroove[] {
  const region = zoneRegion(zone);
  if (region.length === 0) return [];
  const box = bounds(region);
  const half = grid.width / 2;
  const xs = gridLines(box.maxX - box.minX, grid.pitch[0], grid.offset?.[0]).map((v) => box.minX + v);
  const ys = gridLines(box.maxY - box.minY, grid.pitch[1], grid.offset?.[1]).map((v) => box.minY + v);
  if (xs.length === 0 || ys.length === 0) return [];
  const clip = zone.shape.kind === 'rect' ? null : offset(region, -half);
  const out: GridGroove[] = [];
  const add = (axis: 'x' | 'y', number: number, from: Point, to: Point) => {
    const low: Point = axis === 'x' ? [from[0] - half, from[1]] : [from[0], from[1] - half];
    const size: Point = axis === 'x' ? [grid.width, to[1] - from[1]] : [to[0] - from[0], grid.width];
    const whole = regionFromRing(rectangleRing(low, size));
    const land = clip ? intersection(whole, clip) : whole;
    if (land.length > 0) out.push({ axis, number, from, to, region: land });
  };
  for (const [i, x] of xs.entries()) add('x', i + 1, [x, ys[0]! - half], [x, ys.at(-1)! + half]);
  for (const [i, y] of ys.entries()) add('y', i + 1, [xs[0]! - half, y], [xs.at(-1)! + half, y]);
  return out;
}

/** Land taken by a channel along an open path: round ends, never smaller than the cutter's sweep. */
export function channelRegion(points: readonly Point[], width: number): Region {
  return sweep(points, width / 2);
}
