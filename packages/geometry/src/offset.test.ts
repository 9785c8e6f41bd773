import Coordinate from 'jsts/org/locationtech/jts/geom/Coordinate.js';
import GeometryFactory from 'jsts/org/locationtech/jts/geom/GeometryFactory.js';
import BufferOp from 'jsts/org/locationtech/jts/operation/buffer/BufferOp.js';
import BufferParameters from 'jsts/org/locationtech/jts/operation/buffer/BufferParameters.js';
import { describe, expect, it } from 'vitest';
import {
  bounds,
  containsPoint,
  difference,
  nearestOnBoundary,
  offset,
  type Point,
  type Region,
  regionArea,
  regionFromRing,
  seededRandom,
  sweep,
  union,
} from './index.ts';
import { nearestOnSegment, ringsOf } from './region.ts';
import { disc, plate, starRing, swissCheese } from './testing/shapes.ts';

/** Area of a buffer with 64 chords to a quarter circle, by the second library. */
function bufferArea(region: Region, delta: number): number {
  const factory = new GeometryFactory();
  const ring = (points: readonly Point[]) =>
    factory.createLinearRing([...points, points[0]!].map(([x, y]) => new Coordinate(x, y)));
  const polygons = region.map((p) => factory.createPolygon(ring(p.outer), p.holes.map(ring)));
  const parameters = new BufferParameters(64);
  return new BufferOp(factory.createMultiPolygon(polygons), parameters).getResultGeometry(delta).getArea();
}

const perimeter = (region: Region): number =>
  ringsOf(region).reduce(
    (sum, ring) =>
      sum +
      ring.reduce((s, p, i) => {
        const q = ring[(i + 1) % ring.length]!;
        return s + Math.sqrt((p[0] - q[0]) * (p[0] - q[0]) + (p[1] - q[1]) * (p[1] - q[1]));
      }, 0),
    0,
  );

describe('offsets against a second library', () => {
  it('agree in area on plates with holes, inward and outward', () => {
    const random = seededRandom(21);
    for (let i = 0; i < 8; i++) {
      const region = swissCheese(random, 300, 200, 12);
      for (const delta of [-9, -2.5, -0.1, 0.1, 3, 11]) {
        const moved = offset(region, delta);
        // Ours errs by at most 2 µm along the outline; its chords of 1/64 quarter by r·(1 − cos(π/256)) on arcs.
        const slack = perimeter(moved) * (0.002 + Math.abs(delta) * 7.6e-5) + 1e-3;
        expect(Math.abs(regionArea(moved) - bufferArea(region, delta)), `${i} by ${delta}`).toBeLessThan(
          slack,
        );
      }
    }
  });

  it('agree on degenerate shapes of a small raster', () => {
    const random = seededRandom(22);
    for (let i = 0; i < 150; i++) {
      const region = regionFromRing(starRing(random, 12, 9));
      for (const delta of [-1, -0.25, 0.5, 2]) {
        const moved = offset(region, delta);
        const slack = (perimeter(moved) + perimeter(region)) * (0.002 + Math.abs(delta) * 7.6e-5) + 1e-3;
        expect(Math.abs(regionArea(moved) - bufferArea(region, delta)), `${i} by ${delta}`).toBeLessThan(
          slack,
        );
      }
    }
  });
});

describe('offsets err on the safe side', () => {
  it('every corner and every edge of a shrunk region keeps the distance', () => {
    const random = seededRandom(23);
    for (let i = 0; i < 6; i++) {
      const region = swissCheese(random, 300, 200, 12);
      const delta = 0.5 + 8 * random();
      for (const ring of ringsOf(offset(region, -delta))) {
        ring.forEach((p, k) => {
          const q = ring[(k + 1) % ring.length]!;
          for (const t of [0, 0.5]) {
            const at: Point = [p[0] + t * (q[0] - p[0]), p[1] + t * (q[1] - p[1])];
            const d = nearestOnBoundary(region, at).distance;
            expect(d).toBeGreaterThanOrEqual(delta);
            expect(d).toBeLessThan(delta + 0.0025);
          }
        });
      }
    }
  });

  it('a grown region has every point within the distance, and none much beyond', () => {
    const random = seededRandom(24);
    for (let i = 0; i < 20; i++) {
      const region = regionFromRing(starRing(random, 40, 9));
      const delta = 0.2 + 9 * random();
      const grown = offset(region, delta);
      for (let k = 0; k < 400; k++) {
        const p: Point = [-15 + 70 * random(), -15 + 70 * random()];
        const d = containsPoint(region, p) ? 0 : nearestOnBoundary(region, p).distance;
        if (d <= delta) expect(containsPoint(grown, p)).toBe(true);
        if (d > delta + 0.0025) expect(containsPoint(grown, p)).toBe(false);
      }
      for (const ring of ringsOf(grown)) {
        for (const p of ring) expect(nearestOnBoundary(region, p).distance).toBeGreaterThanOrEqual(delta);
      }
    }
  });

  it('shrinking in one step leaves no more than shrinking in two', () => {
    const random = seededRandom(25);
    for (let i = 0; i < 6; i++) {
      const region = swissCheese(random, 300, 200, 10);
      const once = offset(region, -7);
      const twice = offset(offset(region, -3), -4);
      // Both are within 4 µm of the truth.
      expect(regionArea(difference(twice, offset(once, 0.004)))).toBeLessThan(1e-3);
      expect(regionArea(difference(once, offset(twice, 0.004)))).toBeLessThan(1e-3);
    }
  });
});

describe('offsets, closed forms', () => {
  it('a plate', () => {
    // Derived: w·h + 2·(w + h)·d + π·d² outward, (w − 2d)(h − 2d) inward.
    expect(regionArea(offset(plate(100, 50), 10))).toBeCloseTo(5000 + 3000 + Math.PI * 100, 0);
    expect(regionArea(offset(plate(100, 50), -10))).toBeCloseTo(80 * 30, 0);
    const box = bounds(offset(plate(100, 50), -10));
    expect(box.minX).toBeGreaterThanOrEqual(10);
    expect(box.minX).toBeLessThanOrEqual(10.0015);
  });

  it('vanishes when nothing is left, fills holes, joins neighbours', () => {
    expect(offset(plate(100, 50), -25)).toEqual([]);
    expect(offset([], 5)).toEqual([]);
    expect(offset(difference(plate(100, 50), disc([50, 25], 4)), 4)[0]!.holes).toEqual([]);
    expect(offset(union(plate(10, 10), plate(10, 10, [15, 0])), 3)).toHaveLength(1);
    expect(offset(plate(10, 10), 0)).toEqual(plate(10, 10));
    expect(() => offset(plate(10, 10), Number.NaN)).toThrow(RangeError);
  });

  it('parts that meet in a corner are moved each for itself', () => {
    const two = union(plate(10, 10), plate(10, 10, [10, 10]));
    expect(offset(two, -1)).toHaveLength(2);
    // Derived: 2 · (10 − 2)², less at most 2 µm on every side.
    expect(regionArea(offset(two, -1))).toBeLessThanOrEqual(128);
    expect(regionArea(offset(two, -1))).toBeGreaterThan(2 * 7.996 * 7.996);
  });
});

describe('sweeps', () => {
  // Derived: stadium 2·r·L + π·r²; at a right-angled corner the two overlap in r² less than a quarter disc short.
  const ell = (r: number): number => 2 * r * 200 + Math.PI * r * r - r * r + (Math.PI * r * r) / 4;
  const path: Point[] = [[0, 0], [100, 0], [100, 100]]; // biome-ignore format: one line

  it('contain or are contained in the true area', () => {
    for (const r of [0.5, 3, 25]) {
      const outside = regionArea(sweep(path, r));
      const inside = regionArea(sweep(path, r, { side: 'inside' }));
      expect(outside).toBeGreaterThan(ell(r));
      expect(inside).toBeLessThan(ell(r));
      expect(outside - inside).toBeLessThan(410 * 2 * 0.002 + r * 0.02);
    }
  });

  it('agree with the distance to the path, point by point', () => {
    const random = seededRandom(26);
    for (let i = 0; i < 20; i++) {
      const zigzag = Array.from({ length: 8 }, (): Point => [100 * random(), 100 * random()]);
      const r = 1 + 12 * random();
      const [outside, inside] = [sweep(zigzag, r), sweep(zigzag, r, { side: 'inside' })];
      for (let k = 0; k < 300; k++) {
        const p: Point = [-15 + 130 * random(), -15 + 130 * random()];
        const d = Math.min(
          ...zigzag.slice(1).map((b, j) => {
            const q = nearestOnSegment(zigzag[j]!, b, p);
            return Math.sqrt((q[0] - p[0]) * (q[0] - p[0]) + (q[1] - p[1]) * (q[1] - p[1]));
          }),
        );
        if (d <= r) expect(containsPoint(outside, p)).toBe(true);
        if (d > r) expect(containsPoint(inside, p)).toBe(false);
        if (d > r + 0.0025) expect(containsPoint(outside, p)).toBe(false);
        if (d < r - 0.0025) expect(containsPoint(inside, p)).toBe(true);
      }
    }
  });

  it('degenerate paths', () => {
    expect(sweep([], 5)).toEqual([]);
    for (const points of [
      [[3, 4]],
      [
        [3, 4],
        [3, 4],
        [3, 4],
      ],
    ] as Point[][]) {
      // biome-ignore format: one line
      expect(regionArea(sweep(points, 5))).toBeCloseTo(25 * Math.PI, 1);
      expect(regionArea(sweep(points, 5))).toBeGreaterThan(25 * Math.PI);
      expect(regionArea(sweep(points, 5, { side: 'inside' }))).toBeLessThan(25 * Math.PI);
    }
    // There and back again covers no more than there.
    expect(regionArea(sweep([[0, 0], [50, 0], [0, 0]], 5))).toBeCloseTo(500 + 25 * Math.PI, 0); // biome-ignore format: one line
    expect(() => sweep([[0, 0]], 0)).toThrow(RangeError);
  });
});
