import { describe, expect, it } from 'vitest';
import {
  applyTransform,
  bounds,
  circleRing,
  composeTransforms,
  containsPoint,
  distance,
  IDENTITY,
  invertTransform,
  isSimpleRing,
  mapRegion,
  nearestOnBoundary,
  nearestPointIn,
  type Point,
  type Ring,
  rectangleRing,
  regionArea,
  regionFromRing,
  ringArea,
  seededRandom,
} from './index.ts';
import { plate, starRing, swissCheese } from './testing/shapes.ts';
import { rotation, translation } from './testing/transforms.ts';

describe('rings', () => {
  it('signed area, shoelace formula', () => {
    const l: Ring = [[0, 0], [4, 0], [4, 1], [1, 1], [1, 3], [0, 3]]; // biome-ignore format: one line
    expect(ringArea(l)).toBe(6);
    expect(ringArea([...l].reverse())).toBe(-6);
    expect(ringArea([])).toBe(0);
    expect(ringArea([[1, 1], [2, 5]])).toBe(0); // biome-ignore format: one line
  });

  it('keeps the area of a small ring far from the origin', () => {
    // Coordinates of 100 m, a square of 1 mm: products of absolute coordinates would lose it.
    expect(ringArea(rectangleRing([99_000, 99_000], [1, 1]))).toBe(1);
  });

  it('circles lie wholly on their side after rounding to the grid', () => {
    for (const radius of [0.05, 0.4, 3, 12.7, 500]) {
      for (const tolerance of [0.001, 0.05]) {
        const at: Point = [123.4567, -9.8765];
        const outer = regionFromRing(circleRing(at, radius, 'circumscribed', tolerance));
        const inner = regionFromRing(circleRing(at, radius, 'inscribed', tolerance));
        expect(nearestOnBoundary(outer, at).distance).toBeGreaterThanOrEqual(radius);
        for (const p of inner[0]!.outer) expect(distance(p, at)).toBeLessThanOrEqual(radius);
        for (const p of outer[0]!.outer) expect(distance(p, at)).toBeLessThan(radius + tolerance + 3e-4);
        expect(nearestOnBoundary(inner, at).distance).toBeGreaterThan(radius - tolerance - 3e-4);
      }
    }
    expect(() => circleRing([0, 0], 0, 'inscribed')).toThrow(RangeError);
    expect(() => circleRing([0, 0], 1, 'inscribed', 0)).toThrow(RangeError);
    expect(() => circleRing([0, 0], Number.NaN, 'inscribed')).toThrow(/radius NaN/);
  });

  it('circles are symmetric about both axes and both diagonals', () => {
    const ring = circleRing([0, 0], 7.3, 'circumscribed');
    const key = (x: number, y: number): string => `${x + 0},${y + 0}`;
    const corners = new Set(ring.map(([x, y]) => key(x, y)));
    for (const [x, y] of ring) {
      for (const image of [key(-x, y), key(x, -y), key(y, x)]) expect(corners.has(image)).toBe(true);
    }
  });

  it('simple or not', () => {
    expect(isSimpleRing(rectangleRing([0, 0], [3, 2]))).toBe(true);
    expect(isSimpleRing(circleRing([5, 5], 100, 'inscribed'))).toBe(true);
    const not: Record<string, Ring> = {
      'nothing': [],
      'one point': [[1, 1]],
      'two points': [[0, 0], [1, 1]],
      'on one line': [[0, 0], [1, 1], [2, 2]],
      'bow tie': [[0, 0], [2, 2], [2, 0], [0, 2]],
      'corner twice': [[0, 0], [2, 0], [2, 0], [2, 2]],
      'corner visited again': [[0, 0], [4, 0], [2, 2], [4, 4], [0, 4], [2, 2]],
      'corner on an edge': [[0, 0], [4, 0], [4, 4], [2, 0], [0, 4]],
      'spike': [[0, 0], [4, 0], [6, 0], [4, 0], [4, 4], [0, 4]],
      'fold': [[0, 0], [6, 0], [4, 0], [4, 4], [0, 4]],
    }; // biome-ignore format: one case a line
    for (const [name, ring] of Object.entries(not)) expect(isSimpleRing(ring), name).toBe(false);
    expect(() => isSimpleRing([[0, 0], [1, 0], [0, Infinity]])).toThrow(RangeError); // biome-ignore format: one line
    expect(() => rectangleRing([0, 0], [3, 0])).toThrow(RangeError);
  });
});

describe('regions', () => {
  it('contains what a horizontal ray says, and its whole boundary', () => {
    const random = seededRandom(31);
    for (let i = 0; i < 40; i++) {
      const ring = starRing(random, 9, 8);
      const region = regionFromRing(ring);
      for (const p of ring) expect(containsPoint(region, p)).toBe(true);
      for (let k = 0; k < 100; k++) {
        // Winding number by angles: independent of the crossing rule.
        const p: Point = [10 * random(), 10 * random()];
        let turn = 0;
        ring.forEach((a, j) => {
          const b = ring[(j + 1) % ring.length]!;
          const [ax, ay, bx, by] = [a[0] - p[0], a[1] - p[1], b[0] - p[0], b[1] - p[1]];
          turn += Math.atan2(ax * by - ay * bx, ax * bx + ay * by);
        });
        expect(containsPoint(region, p)).toBe(Math.abs(turn) > Math.PI);
      }
    }
  });

  it('nearest points', () => {
    const frame = swissCheese(seededRandom(32), 100, 60, 0);
    expect(nearestOnBoundary(frame, [50, 10])).toEqual({ point: [50, 0], distance: 10 });
    expect(nearestOnBoundary(frame, [103, 64])).toEqual({ point: [100, 60], distance: 5 });
    expect(nearestPointIn(frame, [50, 10])).toEqual([50, 10]);
    expect(nearestPointIn(frame, [50, -10])).toEqual([50, 0]);
    expect(nearestPointIn([], [1, 1])).toBeNull();
    expect(containsPoint([], [1, 1])).toBe(false);
    expect(() => nearestOnBoundary([], [0, 0])).toThrow(RangeError);
    expect(() => bounds([])).toThrow(/empty region/);
  });

  it('a nearest point counts as inside', () => {
    const random = seededRandom(33);
    const region = swissCheese(random, 300, 200, 14);
    for (let k = 0; k < 500; k++) {
      const p: Point = [-50 + 400 * random(), -50 + 300 * random()];
      expect(containsPoint(region, nearestPointIn(region, p)!)).toBe(true);
    }
  });

  it('maps keep areas by the determinant and outer rings counter-clockwise', () => {
    const region = swissCheese(seededRandom(34), 300, 200, 8);
    const mirror = { a: -2, b: 0.3, c: 5, d: 0.1, e: 1, f: 7 };
    const image = mapRegion(region, mirror);
    expect(regionArea(image)).toBeCloseTo(regionArea(region) * Math.abs(-2 * 1 - 0.3 * 0.1), 6);
    for (const p of image) {
      expect(ringArea(p.outer)).toBeGreaterThan(0);
      for (const hole of p.holes) expect(ringArea(hole)).toBeLessThan(0);
    }
    expect(bounds(mapRegion(plate(3, 2), translation(10, 20)))).toEqual({
      minX: 10,
      minY: 20,
      maxX: 13,
      maxY: 22,
    });
  });
});

describe('transforms', () => {
  it('compose and undo', () => {
    const t = composeTransforms(translation(3, -4), rotation(0.7, [10, 20]));
    // Derived: the centre of a turn stays where it is, then moves with the translation.
    const [x, y] = applyTransform(t, [10, 20]);
    expect(x).toBeCloseTo(13, 12);
    expect(y).toBeCloseTo(16, 12);
    const back = composeTransforms(invertTransform(t), t);
    for (const key of ['a', 'b', 'c', 'd', 'e', 'f'] as const)
      expect(back[key]).toBeCloseTo(IDENTITY[key], 12);
    const quarter = applyTransform(rotation(Math.PI / 2), [1, 0]);
    expect(quarter[0]).toBeCloseTo(0, 15);
    expect(quarter[1]).toBeCloseTo(1, 15);
    expect(() => invertTransform({ a: 1, b: 2, c: 0, d: 2, e: 4, f: 0 })).toThrow(/cannot be inverted/);
  });
});

describe('numbers', () => {
  it('seeded numbers are uniform enough, repeatable and different for each seed', () => {
    const draw = (seed: number): number[] => {
      const random = seededRandom(seed);
      return Array.from({ length: 20_000 }, random);
    };
    expect(draw(7)).toEqual(draw(7));
    expect(draw(7)).not.toEqual(draw(8));
    const counts = new Array<number>(20).fill(0);
    for (const x of draw(9)) counts[Math.floor(20 * x)]!++;
    // Chi-square with 19 degrees of freedom exceeds 43.8 once in a thousand (NIST/SEMATECH handbook, table 1.3.6.7.4).
    const chi = counts.reduce((sum, n) => sum + ((n - 1000) * (n - 1000)) / 1000, 0);
    expect(chi).toBeLessThan(43.8);
  });
});
