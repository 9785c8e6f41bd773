import type { Case } from '../programs/case.ts';
import { roundingOf } from '../programs/case.ts';
import { isPlaced } from '../simulation/motions.ts';
import { RAPID } from '../trace.ts';

/** Slope of the plane that a skim follows, mm in mm. */
export interface Slope {
  readonly b: number;
  readonly c: number;
}

export const LEVEL: Slope = { b: 0, c: 0 };

/** A motion steeper than this many times the house's tilt limit is a ramp and says nothing about the plane. */
const RAMP = 4;
/** Passes are farther apart than this, mm. */
const APART = 0.06;

/**
 * The slope of the plane that the rows of a program lie in, from the text alone: first from each
 * row along itself and from neighbouring rows across, then from all points of a pass together: least squares about each
 * pass's own mean.
 */
export function slopeOf(c: Case, maxTilt: number): Slope {
  const { motions: m, inside } = c.simulation;
  const rounding = roundingOf(c.record.machine.controller);
  const near = 2 * (c.simulation.cutter?.shape.radius ?? 0);
  const sums = new Normal();
  const points: (readonly [number, number, number])[] = [];
  let before: readonly [number, number, number] | null = null;
  for (let i = 0; i < m.length; i++) {
    if (c.trace.kind[i] === RAPID || inside[i] !== 1 || !isPlaced(m, i)) continue;
    const from = [m.fromX(i), m.fromY(i), m.fromZ(i)] as const;
    const to = [m.toX(i), m.toY(i), m.toZ(i)] as const;
    const dx = to[0] - from[0];
    const dy = to[1] - from[1];
    const long = Math.sqrt(dx * dx + dy * dy);
    if (Math.abs(to[2] - from[2]) > RAMP * Math.tan(maxTilt) * long + 2 * rounding || long < 1) continue;
    sums.add(dx, dy, to[2] - from[2]);
    if (before) {
      const ax = from[0] - before[0];
      const ay = from[1] - before[1];
      if (ax * ax + ay * ay <= near * near) sums.add(ax, ay, from[2] - before[2]);
    }
    before = from;
    points.push(from, to);
  }
  const first = sums.solve();
  const rest = points
    .map((p) => [p, p[2] - first.b * p[0] - first.c * p[1]] as const)
    .sort((p, q) => p[1] - q[1]);
  const refined = new Normal();
  let begin = 0;
  for (let k = 1; k <= rest.length; k++) {
    if (k < rest.length && rest[k]![1] - rest[k - 1]![1] <= APART) continue;
    const pass = rest.slice(begin, k).map(([p]) => p);
    const mean = [0, 1, 2].map((a) => pass.reduce((sum, p) => sum + p[a]!, 0) / pass.length);
    for (const p of pass) refined.add(p[0] - mean[0]!, p[1] - mean[1]!, p[2] - mean[2]!);
    begin = k;
  }
  return refined.solve();
}

/** Normal equations of dz = b·dx + c·dy; the slope is 0 in a direction without data. */
class Normal {
  #xx = 0;
  #xy = 0;
  #yy = 0;
  #xz = 0;
  #yz = 0;

  add(dx: number, dy: number, dz: number): void {
    this.#xx += dx * dx;
    this.#xy += dx * dy;
    this.#yy += dy * dy;
    this.#xz += dx * dz;
    this.#yz += dy * dz;
  }

  solve(): Slope {
    const det = this.#xx * this.#yy - this.#xy * this.#xy;
    if (det > 1e-9 * this.#xx * this.#yy && det > 0) {
      return {
        b: (this.#xz * this.#yy - this.#yz * this.#xy) / det,
        c: (this.#yz * this.#xx - this.#xz * this.#xy) / det,
      };
    }
    if (this.#xx >= this.#yy) return { b: this.#xx > 0 ? this.#xz / this.#xx : 0, c: 0 };
    return { b: 0, c: this.#yz / this.#yy };
  }
}
