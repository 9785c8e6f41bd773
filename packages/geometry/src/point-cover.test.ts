import { describe, expect, test } from 'vitest';
import { coverageRadius, coverSet, distance, PointCover, placesBeyond, seededRandom } from './index.ts';
import { voronoiCells } from './testing/voronoi-cells.ts';
import type { Point } from './types.ts';

/** Random candidates and demands with reaches that every demand can be met with. */
function instance(seed: number, candidates: number, demands: number) {
  const random = seededRandom(seed);
  const point = (): Point => [random() * 100, random() * 100];
  const points = Array.from({ length: candidates }, point);
  const wanted = Array.from({ length: demands }, () => {
    const at = point();
    const near = Math.min(...points.map((p) => distance(p, at)));
    return { at, reach: Math.max(near, 18 + 10 * random()) };
  });
  return { points, wanted };
}

function coverOf(seed: number, apart: number) {
  const { points, wanted } = instance(seed, 60, 50);
  const cover = new PointCover({ apart, seed: 1 });
  for (const p of points) cover.addCandidate(p);
  for (const d of wanted) cover.addDemand(d.at, d.reach);
  return { points, wanted, cover };
}

describe('cover by points', () => {
  test('finds as few as the exact set cover, and never fewer', () => {
    for (let seed = 1; seed <= 12; seed++) {
      const { points, wanted, cover } = coverOf(seed, 0);
      const rows = wanted.map((d) =>
        points.flatMap((p, i) => (distance(p, d.at) <= d.reach + 1e-6 ? [i] : [])),
      );
      const exact = coverSet({ columns: points.length, rows });
      expect(exact.provenOptimal).toBe(true);
      cover.fill();
      expect(cover.search(exact.cost, 3e6)).toBe(true);
      expect(cover.search(exact.cost - 1, 2e5)).toBe(false);
    }
  });

  test('what it says is met is met, and chosen points keep their distance', () => {
    for (let seed = 1; seed <= 20; seed++) {
      const { wanted, cover } = coverOf(seed, 9);
      for (let size = 4; size < 20; size++) if (cover.search(size, 1e5)) break;
      const chosen = cover.chosen().map((i) => cover.point(i));
      for (const [i, p] of chosen.entries())
        for (const q of chosen.slice(i + 1)) expect(distance(p, q)).toBeGreaterThanOrEqual(9);
      const open = wanted.filter((d) => !chosen.some((p) => distance(p, d.at) <= d.reach + 1e-6));
      expect(cover.complete).toBe(open.length === 0);
    }
  });

  test('candidates and demands added late count as if they had been there', () => {
    const { points, wanted } = instance(5, 40, 40);
    const cover = new PointCover({ apart: 0, seed: 3 });
    for (let k = 0; k < 40; k++) {
      cover.addCandidate(points[k] as Point);
      cover.addDemand((wanted[k] as (typeof wanted)[0]).at, (wanted[k] as (typeof wanted)[0]).reach);
      if (k % 7 === 0) cover.fill();
    }
    cover.fill();
    expect(cover.complete).toBe(true);
    cover.thin();
    expect(cover.complete).toBe(true);
    for (const i of cover.chosen()) expect(cover.aloneMeets(i).length).toBeGreaterThan(0);
  });

  test('a fixed point stays, and nothing is chosen too near to it', () => {
    const { cover } = coverOf(2, 15);
    cover.fix(7);
    cover.fill();
    cover.search(6, 1e5);
    expect(cover.chosen()).toContain(7);
    for (const i of cover.chosen()) {
      if (i !== 7) expect(distance(cover.point(i), cover.point(7))).toBeGreaterThanOrEqual(15);
    }
  });

  test('a square meets what its nearest point meets', () => {
    const cover = new PointCover({ apart: 0, seed: 1 });
    cover.addCandidate([0, 0], 2);
    cover.addDemand([5, 0], 3);
    cover.addDemand([5, 5], 4.2);
    // derived: from the corner [2, 2] to [5, 5] it is 3·√2 = 4.243
    expect(cover.metBy(0)).toEqual([0]);
    expect(cover.metBy(1)).toEqual([]);
  });
});

describe('places beyond the reach of sites', () => {
  const box = { minX: 0, minY: 0, maxX: 90, maxY: 60 };
  const region = [
    {
      outer: [
        [0, 0],
        [90, 0],
        [90, 60],
        [0, 60],
      ] as Point[],
      holes: [],
    },
  ];

  test('the farthest of them is the coverage radius; none are left at that radius', () => {
    const random = seededRandom(6);
    for (let n = 1; n <= 30; n++) {
      const sites = Array.from({ length: n }, (): Point => [random() * 90, random() * 60]);
      const { radius } = coverageRadius(sites, region);
      const far = placesBeyond(sites, box, 0).map((p) => Math.min(...sites.map((s) => distance(s, p))));
      expect(Math.max(...far)).toBeCloseTo(radius, 6);
      expect(placesBeyond(sites, box, radius + 1e-6)).toEqual([]);
      expect(placesBeyond(sites, box, radius - 1e-3).length).toBeGreaterThan(0);
    }
  });

  test('they are corners of the sites’ cells, cut out by the polygon booleans', () => {
    const random = seededRandom(8);
    for (let n = 3; n <= 12; n++) {
      const sites = Array.from({ length: n }, (): Point => [random() * 90, random() * 60]);
      const cells = voronoiCells(sites, region).flatMap((cell, i) =>
        cell.flatMap((polygon) => polygon.outer.map((p) => distance(p, sites[i] as Point))),
      );
      const { radius } = coverageRadius(sites, region);
      expect(Math.max(...cells)).toBeCloseTo(radius, 3);
      for (const p of placesBeyond(sites, box, radius / 2)) {
        const own = Math.min(...sites.map((s) => distance(s, p)));
        expect(Math.min(...cells.map((d) => Math.abs(d - own)))).toBeLessThan(1e-3);
      }
    }
  });

  test('sites in one line have no triangles, and the box is looked at all the same', () => {
    const sites: Point[] = [
      [15, 30],
      [45, 30],
      [75, 30],
    ];
    // derived: corners and the points half-way on the long sides, √(15² + 30²) = 33.54
    expect(placesBeyond(sites, box, 33.5).length).toBe(8);
    expect(placesBeyond(sites, box, 33.6)).toEqual([]);
  });
});
