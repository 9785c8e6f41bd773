import { inverse, Matrix, QrDecomposition } from 'ml-matrix';
import { describe, expect, it } from 'vitest';
import { fitPlane, type HeightPoint, seededRandom } from './index.ts';

describe('planes', () => {
  it('exact: height, tilt and direction', () => {
    // Derived: z = 2 + 0.003·x + 0.004·y rises 5 mm in a metre towards atan2(4, 3).
    const points = [[0, 0], [1000, 0], [0, 500], [700, 300]].map(([x, y]): HeightPoint => [x!, y!, 2 + 0.003 * x! + 0.004 * y!]); // biome-ignore format: one line
    const plane = fitPlane(points);
    expect(plane.a).toBeCloseTo(2, 12);
    expect(plane.b).toBeCloseTo(0.003, 14);
    expect(plane.c).toBeCloseTo(0.004, 14);
    expect(plane.tilt).toBeCloseTo(Math.atan(0.005), 12);
    expect(plane.direction).toBeCloseTo(Math.atan2(4, 3), 9);
    expect(plane.rms).toBeLessThan(1e-12);
  });

  it('least squares and covariance against a general linear-algebra library', () => {
    const random = seededRandom(71);
    for (let k = 0; k < 20; k++) {
      const points = Array.from(
        { length: 4 + k },
        (): HeightPoint => [1000 + 500 * random(), 3000 * random(), random()],
      );
      const design = new Matrix(points.map(([x, y]) => [1, x, y]));
      const z = Matrix.columnVector(points.map((p) => p[2]));
      const solution = new QrDecomposition(design).solve(z);
      const residual = Matrix.sub(z, design.mmul(solution));
      const variance = residual.norm() ** 2 / (points.length - 3);
      const covariance = inverse(design.transpose().mmul(design)).mul(variance);
      const plane = fitPlane(points);
      [plane.a, plane.b, plane.c].forEach((value, i) => {
        expect(value).toBeCloseTo(solution.get(i, 0), 9);
        for (let j = 0; j < 3; j++) {
          expect(plane.covariance![i]![j]! / covariance.get(i, j)).toBeCloseTo(1, 5);
        }
      });
      expect(plane.rms).toBeCloseTo(residual.norm() / Math.sqrt(points.length), 9);
    }
  });

  it('three points say nothing about their spread; fewer or collinear ones give no plane', () => {
    expect(fitPlane([[0, 0, 1], [1, 0, 2], [0, 1, 3]]).covariance).toBeNull(); // biome-ignore format: one line
    expect(fitPlane([[0, 0, 1], [9, 0, 1], [0, 9, 1]])).toMatchObject({ tilt: 0, direction: 0 }); // biome-ignore format: one line
    expect(() => fitPlane([[0, 0, 1], [1, 0, 2]])).toThrow(/at least three/); // biome-ignore format: one line
    expect(() => fitPlane([[0, 0, 1], [1, 1, 2], [2, 2, 4]])).toThrow(/on one line/); // biome-ignore format: one line
    expect(() => fitPlane([[0, 0, Number.NaN], [1, 0, 2], [0, 1, 3]])).toThrow(RangeError); // biome-ignore format: one line
  });
});
