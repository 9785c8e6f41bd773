import { Matrix, solve } from 'ml-matrix';
import { describe, expect, it } from 'vitest';
import {
  applyTransform,
  type Point,
  type PointPair,
  register,
  residualSurface,
  seededRandom,
} from './index.ts';

const field = ([x, y]: Point): Point => [
  0.25 * Math.sin(x / 500 + y / 700),
  0.2 * Math.cos(x / 600 - y / 400),
];
const gridOf = (nx: number, ny: number): Point[] =>
  Array.from({ length: nx * ny }, (_, k) => [
    (1200 * (k % nx)) / (nx - 1),
    (2400 * Math.floor(k / nx)) / (ny - 1),
  ]);

function survey(marks: readonly Point[], sigma: number, seed: number, amount = 1): PointPair[] {
  const random = seededRandom(seed);
  const noise = (): number => Math.sqrt(-2 * Math.log(1 - random())) * Math.cos(2 * Math.PI * random());
  return marks.map((from, i) => {
    const [dx, dy] = field(from);
    return {
      id: `M${i}`,
      from,
      to: [from[0] + 3 + amount * dx + sigma * noise(), from[1] - 2 + amount * dy + sigma * noise()],
    };
  });
}

describe('residual surfaces', () => {
  it('without smoothing equal a thin-plate spline solved by a general library', () => {
    const marks = gridOf(3, 5);
    const pairs = survey(marks, 0, 1);
    const fit = register(pairs, { sigma: 0.05, model: 'rigid' });
    const surface = residualSurface(pairs, fit);
    expect(surface.kind).toBe('thin-plate');
    const u = (p: Point, q: Point): number => {
      const r2 = ((p[0] - q[0]) ** 2 + (p[1] - q[1]) ** 2) / 1e6;
      return r2 === 0 ? 0 : r2 * Math.log(r2);
    };
    const n = marks.length;
    const rows = marks.map((p) => [...marks.map((q) => u(p, q)), 1, p[0] / 1000, p[1] / 1000]);
    const system = new Matrix([...rows, ...[0, 1, 2].map((c) => [...rows.map((r) => r[n + c]!), 0, 0, 0])]);
    const residuals = pairs.map((p) => {
      const [x, y] = applyTransform(fit.transform, p.from);
      return [p.to[0] - x, p.to[1] - y];
    });
    const weights = solve(system, new Matrix([...residuals, [0, 0], [0, 0], [0, 0]]));
    const random = seededRandom(2);
    for (let k = 0; k < 100; k++) {
      const p: Point = [1200 * random(), 2400 * random()];
      const basis = Matrix.rowVector([...marks.map((q) => u(p, q)), 1, p[0] / 1000, p[1] / 1000]);
      const truth = basis.mmul(weights);
      expect(surface.at(p)[0]).toBeCloseTo(truth.get(0, 0), 6);
      expect(surface.at(p)[1]).toBeCloseTo(truth.get(0, 1), 6);
    }
  });

  it('leave-one-out errors are those of really leaving one out', () => {
    const pairs = survey(gridOf(3, 4), 0, 3);
    const fit = register(pairs, { sigma: 0.05, model: 'rigid' });
    const surface = residualSurface(pairs, fit);
    // Every mark against a spline through the others: smoothing is off for exact data, so the corners are met.
    let squares = 0;
    for (let i = 0; i < pairs.length; i++) {
      const rest = pairs.filter((_, k) => k !== i);
      const n = rest.length;
      const u = (p: Point, q: Point): number => {
        const r2 = ((p[0] - q[0]) ** 2 + (p[1] - q[1]) ** 2) / 1e6;
        return r2 === 0 ? 0 : r2 * Math.log(r2);
      };
      const row = (p: Point): number[] => [...rest.map((q) => u(p, q.from)), 1, p[0] / 1000, p[1] / 1000];
      const rows = rest.map((p) => row(p.from));
      const system = new Matrix([...rows, ...[0, 1, 2].map((c) => [...rows.map((r) => r[n + c]!), 0, 0, 0])]);
      const right = rest.map((p) => {
        const [x, y] = applyTransform(fit.transform, p.from);
        return [p.to[0] - x, p.to[1] - y];
      });
      const weights = solve(system, new Matrix([...right, [0, 0], [0, 0], [0, 0]]));
      const guess = Matrix.rowVector(row(pairs[i]!.from)).mmul(weights);
      const [x, y] = applyTransform(fit.transform, pairs[i]!.from);
      squares += (pairs[i]!.to[0] - x - guess.get(0, 0)) ** 2 + (pairs[i]!.to[1] - y - guess.get(0, 1)) ** 2;
    }
    // Cross-validation may prefer some smoothing, which only lowers its own figure.
    expect(surface.leaveOneOutRms).toBeLessThanOrEqual(Math.sqrt(squares / pairs.length) + 1e-9);
    expect(surface.leaveOneOutRms).toBeGreaterThan(0.5 * Math.sqrt(squares / pairs.length));
  });

  it('lowers the error between the marks where there is something to find', () => {
    for (const sigma of [0.01, 0.05]) {
      const pairs = survey(gridOf(5, 9), sigma, 4);
      const fit = register(pairs, { sigma, model: 'rigid' });
      const surface = residualSurface(pairs, fit);
      expect(surface.helps).toBe(true);
      const random = seededRandom(5);
      let plain = 0;
      let corrected = 0;
      for (let k = 0; k < 500; k++) {
        const p: Point = [1200 * random(), 2400 * random()];
        const [tx, ty] = [p[0] + 3 + field(p)[0], p[1] - 2 + field(p)[1]];
        const [x, y] = applyTransform(fit.transform, p);
        const [dx, dy] = surface.at(p);
        plain += (tx - x) ** 2 + (ty - y) ** 2;
        corrected += (tx - x - dx) ** 2 + (ty - y - dy) ** 2;
      }
      expect(Math.sqrt(corrected)).toBeLessThan(0.5 * Math.sqrt(plain));
    }
  });

  it('says that it does not help on pure noise, on few marks and on one line', () => {
    let helped = 0;
    for (let seed = 0; seed < 100; seed++) {
      const pairs = survey(gridOf(3, 4), 0.05, 100 + seed, 0);
      if (residualSurface(pairs, register(pairs, { sigma: 0.05 })).helps) helped++;
    }
    expect(helped).toBeLessThanOrEqual(5);
    for (const marks of [gridOf(2, 2), Array.from({ length: 8 }, (_, k): Point => [100 * k, 50 * k])]) {
      const pairs = survey(marks, 0.05, 6);
      const surface = residualSurface(pairs, register(pairs, { sigma: 0.05 }));
      expect(surface).toMatchObject({ kind: 'none', helps: false });
      expect(surface.at([100, 100])).toEqual([0, 0]);
    }
  });

  it('fades to nothing outside the marks', () => {
    const pairs = survey(gridOf(3, 5), 0.01, 7);
    const surface = residualSurface(pairs, register(pairs, { sigma: 0.01, model: 'rigid' }));
    expect(surface.at([-1000, 600])).toEqual([0, 0]);
    expect(surface.at([600, 5000])).toEqual([0, 0]);
    const [atEdge] = surface.at([0, 600]);
    const [beyond] = surface.at([-60, 600]);
    expect(Math.abs(atEdge)).toBeGreaterThan(0.01);
    expect(Math.abs(beyond)).toBeLessThan(Math.abs(atEdge) * 1.5);
  });
});
