import type { Machine, Shape } from '@bedledger/fleet';
import { circleRing, type Region, rectangleRing, regionFromRing, union } from '@bedledger/geometry';

/** A solid on the bed that stands higher than a given height. */
export interface Obstacle {
  readonly name: string;
  readonly height: number;
  readonly region: Region;
}

function solid(shape: Shape): Region {
  if (shape.kind === 'circle')
    return regionFromRing(circleRing(shape.at, shape.diameter / 2, 'circumscribed'));
  if (shape.kind === 'rect') return regionFromRing(rectangleRing(shape.at, shape.size));
  return regionFromRing(shape.points);
}

/** Clamps and keep-outs whose tops are above `height`, bed frame. */
export function obstaclesAbove(machine: Machine, height: number): Obstacle[] {
  const found: Obstacle[] = [];
  for (const clamp of machine.clamps) {
    if (clamp.height > height)
      found.push({ name: `clamp ${clamp.id}`, height: clamp.height, region: solid(clamp.shape) });
  }
  for (const keepOut of machine.bed.keepOuts) {
    if (keepOut.height !== null && keepOut.height > height) {
      found.push({ name: `keep-out ${keepOut.id}`, height: keepOut.height, region: solid(keepOut.shape) });
    }
  }
  return found;
}

export function obstacleRegion(obstacles: readonly Obstacle[]): Region {
  return obstacles.length === 0 ? [] : union(...obstacles.map((o) => o.region));
}
