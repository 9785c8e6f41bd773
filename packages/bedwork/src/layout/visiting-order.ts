import type { Machine } from '@bedledger/fleet';
import { type Point, shortestTour } from '@bedledger/geometry';

/**
 * Seconds of a rapid from rest to rest: the slower of the two axes, each accelerating, cruising and braking
 * (d/v + v/a, or 2·√(d/a) when it never reaches its speed).
 */
export function rapidSeconds(machine: Machine, from: Point, to: Point): number {
  const a = machine.motion.acceleration.xy;
  const x = axisSeconds(Math.abs(to[0] - from[0]), machine.motion.rapid.x / 60, a);
  const y = axisSeconds(Math.abs(to[1] - from[1]), machine.motion.rapid.y / 60, a);
  return Math.max(x, y);
}

/** Rest to rest over `d` mm at up to `v` mm/s with `a` mm/s². */
function axisSeconds(d: number, v: number, a: number): number {
  if (d === 0) return 0;
  return d >= (v * v) / a ? d / v + v / a : 2 * Math.sqrt(d / a);
}

/**
 * Order in which to visit points so that rapids take the least machine time, from the park position and back to it.
 * Exact up to ten sites, improved by exchanges beyond; the same order for the same input.
 * @returns indexes into `points`
 */
export function visitingOrder(machine: Machine, points: readonly Point[]): number[] {
  const n = points.length;
  if (n <= 1) return points.map((_, i) => i);
  const all: Point[] = [...points, machine.park, machine.park];
  const size = n + 2;
  const seconds = new Float64Array(size * size);
  for (let i = 0; i < size; i++) {
    for (let j = i + 1; j < size; j++) {
      const t = rapidSeconds(machine, all[i] as Point, all[j] as Point);
      seconds[i * size + j] = t;
      seconds[j * size + i] = t;
    }
  }
  const tour = shortestTour(size, (i, j) => seconds[i * size + j] as number, {
    closed: false,
    start: n,
    end: n + 1,
  });
  return tour.order.filter((i) => i < n);
}
