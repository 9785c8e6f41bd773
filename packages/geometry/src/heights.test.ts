import { Delaunay } from 'd3-delaunay';
import { describe, expect, it } from 'vitest';
import { type HeightPoint, heightSurface, ringArea, seededRandom } from './index.ts';

const wave = (x: number, y: number): number => 0.3 * Math.sin(x / 300) + 0.2 * Math.cos(y / 500);
const raster = (nx: number, ny: number, z: (x: number, y: number) => number): HeightPoint[] =>
  Array.from({ length: nx * ny }, (_, k) => [
    50 * (k % nx),
    80 * Math.floor(k / nx),
    z(50 * (k % nx), 80 * Math.floor(k / nx)),
  ]);

describe('height surfaces', () => {
  it('a full raster is bilinear, whatever the order of its points', () => {
    // Derived: x·y is bilinear itself, so every cell meets it exactly.
    const points = raster(7, 5, (x, y) => x * y);
    const random = seededRandom(81);
    const shuffled = points
      .map((p) => ({ p, k: random() }))
      .sort((a, b) => a.k - b.k)
      .map(({ p }) => p);
    const [surface, other] = [heightSurface(points), heightSurface(shuffled)];
    expect(surface.kind).toBe('grid');
    for (let i = 0; i < 200; i++) {
      const [x, y] = [300 * random(), 320 * random()];
      expect(surface.at(x, y)).toBeCloseTo(x * y, 8);
      expect(other.at(x, y)).toBe(surface.at(x, y));
    }
    expect(surface.min).toBe(0);
    expect(surface.max).toBe(300 * 320);
    expect(ringArea(surface.hull)).toBe(300 * 320);
    expect(surface.interpolationError).toBeCloseTo(0, 9);
  });

  it('scattered points are linear over Delaunay triangles', () => {
    const random = seededRandom(82);
    const points = Array.from({ length: 300 }, (): HeightPoint => {
      const [x, y] = [1000 * random(), 700 * random()];
      return [x, y, wave(x, y)];
    });
    const surface = heightSurface(points);
    expect(surface.kind).toBe('scattered');
    for (const [x, y, z] of points) expect(surface.at(x, y)).toBeCloseTo(z, 9);
    // Against a search through all triangles by barycentric coordinates.
    const { triangles } = Delaunay.from(points.map((p): [number, number] => [p[0], p[1]]));
    for (let i = 0; i < 300; i++) {
      const [x, y] = [1000 * random(), 700 * random()];
      for (let t = 0; t < triangles.length; t += 3) {
        const [a, b, c] = [points[triangles[t]!]!, points[triangles[t + 1]!]!, points[triangles[t + 2]!]!];
        const area = (p: HeightPoint | [number, number], q: HeightPoint, r: HeightPoint): number =>
          (q[0] - p[0]) * (r[1] - p[1]) - (q[1] - p[1]) * (r[0] - p[0]);
        const whole = area(a, b, c);
        const [wa, wb, wc] = [
          area([x, y], b, c) / whole,
          area([x, y], c, a) / whole,
          area([x, y], a, b) / whole,
        ];
        if (Math.min(wa, wb, wc) > 0)
          expect(surface.at(x, y)).toBeCloseTo(wa * a[2] + wb * b[2] + wc * c[2], 9);
      }
    }
  });

  it('reproduces a plane everywhere inside and stays within the measured range outside', () => {
    const random = seededRandom(83);
    const plane = (x: number, y: number): number => 1 + 0.001 * x - 0.002 * y;
    const points = Array.from({ length: 80 }, (): HeightPoint => {
      const [x, y] = [1000 * random(), 700 * random()];
      return [x, y, plane(x, y)];
    });
    points.push([0, 0, 1], [1000, 0, 2], [1000, 700, 0.6], [0, 700, -0.4]);
    const surface = heightSurface(points);
    expect(surface.interpolationError).toBeLessThan(1e-9);
    for (let i = 0; i < 200; i++) {
      const [x, y] = [1000 * random(), 700 * random()];
      expect(surface.at(x, y)).toBeCloseTo(plane(x, y), 9);
      const far = surface.at(5000 * (random() - 0.5), 5000 * (random() - 0.5));
      expect(far).toBeGreaterThanOrEqual(surface.min);
      expect(far).toBeLessThanOrEqual(surface.max);
    }
    // Beyond an edge the height of the nearest place on it.
    expect(surface.at(500, -300)).toBeCloseTo(plane(500, 0), 9);
    expect(surface.at(1300, 900)).toBeCloseTo(plane(1000, 700), 9);
  });

  it('the stated error shrinks with the spacing and bounds the true one', () => {
    for (const make of [
      (n: number) =>
        raster(n, n, wave).map(
          ([x, y]): HeightPoint => [x * (24 / n), y * (24 / n), wave(x * (24 / n), y * (24 / n))],
        ),
      (n: number) => {
        const random = seededRandom(84);
        return Array.from({ length: n * n }, (): HeightPoint => {
          const [x, y] = [1200 * random(), 1920 * random()];
          return [x, y, wave(x, y)];
        });
      },
    ]) {
      let last = Infinity;
      for (const n of [6, 12, 24]) {
        const surface = heightSurface(make(n));
        const random = seededRandom(85);
        let squares = 0;
        for (let i = 0; i < 2000; i++) {
          const [x, y] = [200 + 800 * random(), 300 + 1200 * random()];
          const miss = surface.at(x, y) - wave(x, y);
          squares += miss * miss;
        }
        expect(Math.sqrt(squares / 2000)).toBeLessThan(surface.interpolationError * 1.2);
        expect(surface.interpolationError).toBeLessThan(last * 0.6);
        last = surface.interpolationError;
      }
    }
  });

  it('one, two, collinear and repeated points', () => {
    expect(heightSurface([[5, 5, 0.3]])).toMatchObject({
      kind: 'plane',
      min: 0.3,
      max: 0.3,
      interpolationError: 0,
    });
    expect(heightSurface([[5, 5, 0.3]]).at(100, -7)).toBe(0.3);
    const two = heightSurface([[0, 0, 1], [100, 0, 2]]); // biome-ignore format: one line
    expect(two.at(25, 40)).toBeCloseTo(1.25, 12);
    expect(two.at(-50, 0)).toBe(1);
    const line = heightSurface([[0, 0, 1], [50, 50, 5], [100, 100, 2]]); // biome-ignore format: one line
    expect(line.kind).toBe('plane');
    expect(line.at(25, 25)).toBeCloseTo(3, 12);
    expect(line.at(75, 75)).toBeCloseTo(3.5, 12);
    // Measured twice: the mean counts.
    expect(heightSurface([[0, 0, 1], [0, 0, 3]]).at(0, 0)).toBe(2); // biome-ignore format: one line
    expect(heightSurface([...raster(3, 3, () => 1), [50, 80, 3]]).at(50, 80)).toBe(2);
    // A raster with a hole in it is scattered.
    expect(heightSurface(raster(4, 4, wave).slice(1)).kind).toBe('scattered');
    expect(() => heightSurface([])).toThrow(/no points/);
    expect(() => heightSurface([[0, 0, Number.NaN]])).toThrow(RangeError);
    expect(() => two.at(Number.NaN, 0)).toThrow(RangeError);
  });
});
