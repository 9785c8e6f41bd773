import {
  containsPoint,
  difference,
  offset,
  type Point,
  type Region,
  regionFromRing,
  seededRandom,
  union,
} from '@bedledger/geometry';
import { expect, test } from 'vitest';
import { includes } from './intervals.ts';
import { lineScan } from './line-scan.ts';

/** A few overlapping triangles and boxes with a hole. */
function someRegion(seed: number): Region {
  const random = seededRandom(seed);
  const pieces: Region[] = [];
  for (let k = 0; k < 6; k++) {
    const c: Point = [random() * 100, random() * 100];
    const ring = [0, 1, 2, 3].map(
      (i): Point => [
        c[0] + Math.cos(i * 1.5 + k) * (5 + random() * 25),
        c[1] + Math.sin(i * 1.5 + k) * (5 + random() * 25),
      ],
    );
    pieces.push(regionFromRing(ring));
  }
  return difference(
    union(...pieces),
    regionFromRing([
      [40, 40],
      [60, 42],
      [55, 60],
    ]),
  );
}

test('cutting a region with lines agrees with point-in-polygon', () => {
  const random = seededRandom(4);
  let inside = 0;
  for (let seed = 1; seed <= 40; seed++) {
    const region = someRegion(seed);
    const scan = lineScan(region);
    for (let k = 0; k < 200; k++) {
      const p: Point = [random() * 120 - 10, random() * 120 - 10];
      const truth = containsPoint(region, p);
      if (truth) inside++;
      expect(scan.holds(p)).toBe(truth);
      expect(includes(scan.alongY(p[0]), p[1])).toBe(truth);
      expect(includes(scan.alongX(p[1]), p[0])).toBe(truth);
    }
  }
  expect(inside).toBeGreaterThan(500);
});

test('what is near a region agrees with growing the region, a different method', () => {
  const random = seededRandom(9);
  let near = 0;
  for (let seed = 1; seed <= 25; seed++) {
    const region = someRegion(seed);
    const scan = lineScan(region);
    const reach = 1 + random() * 12;
    const grown = offset(region, reach);
    const less = offset(region, reach - 0.01);
    for (let k = 0; k < 150; k++) {
      const p: Point = [random() * 150 - 25, random() * 150 - 25];
      const outer = containsPoint(grown, p);
      const inner = containsPoint(less, p);
      if (outer !== inner) continue; // within a hundredth of the limit
      if (outer) near++;
      expect(includes(scan.nearAlongY(p[0], reach), p[1])).toBe(outer);
      expect(includes(scan.nearAlongX(p[1], reach), p[0])).toBe(outer);
    }
  }
  expect(near).toBeGreaterThan(500);
});

test('an empty region has no lines', () => {
  const scan = lineScan([]);
  expect(scan.holds([3, 3])).toBe(false);
  expect(scan.alongX(3)).toEqual([]);
  expect(scan.nearAlongY(3, 5)).toEqual([]);
});
