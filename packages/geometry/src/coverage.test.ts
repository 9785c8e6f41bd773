import { describe, expect, it } from 'vitest';
import {
  bounds,
  containsPoint,
  coverageRadius,
  distance,
  intersection,
  type Point,
  type Region,
  regionArea,
  seededRandom,
  union,
} from './index.ts';
import { ringsOf } from './region.ts';
import { plate, swissCheese } from './testing/shapes.ts';
import { voronoiCells } from './testing/voronoi-cells.ts';

const nearest = (sites: readonly Point[], p: Point): number => Math.min(...sites.map((s) => distance(s, p)));

/** Greatest distance on a fine raster and along every edge: never above the truth, and below it by less than a step. */
function denseScan(sites: readonly Point[], region: Region, step: number): number {
  let worst = 0;
  const box = bounds(region);
  for (let x = box.minX; x <= box.maxX; x += step) {
    for (let y = box.minY; y <= box.maxY; y += step) {
      const d = nearest(sites, [x, y]);
      if (d > worst && containsPoint(region, [x, y])) worst = d;
    }
  }
  for (const ring of ringsOf(region)) {
    ring.forEach((p, i) => {
      const q = ring[(i + 1) % ring.length]!;
      const parts = Math.ceil(distance(p, q) / step);
      for (let k = 0; k <= parts; k++) {
        const t = k / parts;
        worst = Math.max(worst, nearest(sites, [p[0] + t * (q[0] - p[0]), p[1] + t * (q[1] - p[1])]));
      }
    });
  }
  return worst;
}

describe('coverage radius', () => {
  it('agrees with dense scans on plates with holes and bites', () => {
    const random = seededRandom(51);
    for (let i = 0; i < 25; i++) {
      const region = swissCheese(random, 300, 200, 3 * (i % 5));
      const sites = Array.from({ length: 1 + (i % 13) }, (): Point => [300 * random(), 200 * random()]);
      const step = 1.5;
      const { radius, at, site } = coverageRadius(sites, region);
      const scanned = denseScan(sites, region, step);
      expect(radius).toBeGreaterThanOrEqual(scanned - 1e-6);
      // A raster point is within half a diagonal of any point that is not cut off from it by the boundary.
      expect(radius).toBeLessThan(scanned + step);
      expect(containsPoint(region, at)).toBe(true);
      expect(nearest(sites, at)).toBeCloseTo(radius, 9);
      expect(distance(sites[site]!, at)).toBeCloseTo(radius, 9);
    }
  });

  it('agrees with the farthest corner of the cells clipped by the polygon library', () => {
    const random = seededRandom(52);
    for (let i = 0; i < 20; i++) {
      const region = swissCheese(random, 300, 200, 12);
      const sites = Array.from({ length: 30 }, (): Point => [300 * random(), 200 * random()]);
      const cells = voronoiCells(sites, region);
      const corners = cells.flatMap((cell, k) =>
        ringsOf(cell).flatMap((r) => r.map((p) => distance(p, sites[k]!))),
      );
      // Corners of the cells lie on the 0.1 µm grid.
      expect(Math.abs(coverageRadius(sites, region).radius - Math.max(...corners))).toBeLessThan(2e-4);
    }
  });

  it('closed forms', () => {
    // Derived: half diagonal of a cell of the regular grid.
    const grid = [0, 1, 2, 3].flatMap((i) => [0, 1, 2].map((j): Point => [50 + 100 * i, 50 + 100 * j]));
    expect(coverageRadius(grid, plate(400, 300)).radius).toBeCloseTo(Math.sqrt(5000), 12);
    // One site in a corner of a 3-4-5 plate.
    expect(coverageRadius([[0, 0]], plate(300, 400)).radius).toBe(500);
    // Two sites: where their bisector leaves the plate.
    expect(coverageRadius([[0, 0], [200, 0]], plate(200, 100)).radius).toBeCloseTo(Math.sqrt(20_000), 12); // biome-ignore format: one line
  });

  it('one, two, collinear, duplicate and cocircular sites', () => {
    const region = swissCheese(seededRandom(53), 300, 200, 9);
    const cases: Point[][] = [
      [[10, 10]],
      [[10, 10], [10, 10]],
      [[10, 10], [290, 190]],
      [[30, 100], [90, 100], [150, 100], [270, 100]],
      [[30, 20], [90, 60], [150, 100], [270, 180]],
      [[50, 50], [50, 50], [250, 50], [250, 50], [150, 150]],
      Array.from({ length: 12 }, (_, k): Point => [150 + 80 * Math.cos(k), 100 + 80 * Math.sin(k)]),
      [[-500, -500], [900, 900]],
    ]; // biome-ignore format: one case a line
    for (const sites of cases) {
      const { radius } = coverageRadius(sites, region);
      const scanned = denseScan(sites, region, 2);
      expect(radius).toBeGreaterThanOrEqual(scanned - 1e-6);
      expect(radius).toBeLessThan(scanned + 2);
    }
  });

  it('scales with its input and never grows by another site', () => {
    const random = seededRandom(54);
    const sites = Array.from({ length: 20 }, (): Point => [300 * random(), 200 * random()]);
    let last = Infinity;
    for (let n = 1; n <= sites.length; n++) {
      const { radius } = coverageRadius(sites.slice(0, n), plate(300, 200));
      expect(radius).toBeLessThanOrEqual(last);
      last = radius;
    }
    for (const k of [0.01, 1, 10]) {
      const scaled = sites.map(([x, y]): Point => [k * x, k * y]);
      expect(coverageRadius(scaled, plate(300 * k, 200 * k)).radius / k).toBeCloseTo(last, 9);
    }
  });

  it('refuses nothing to cover and nothing to cover it with', () => {
    expect(() => coverageRadius([], plate(1, 1))).toThrow(/no sites/);
    expect(() => coverageRadius([[0, 0]], [])).toThrow(/empty region/);
    expect(() => coverageRadius([[Number.NaN, 0]], plate(1, 1))).toThrow(/site 0/);
  });
});

describe('Voronoi cells', () => {
  it('part the region without gap or overlap', () => {
    const random = seededRandom(55);
    const region = swissCheese(random, 300, 200, 10);
    const sites = Array.from({ length: 25 }, (): Point => [300 * random(), 200 * random()]);
    const cells = voronoiCells(sites, region);
    expect(cells.reduce((sum, cell) => sum + regionArea(cell), 0)).toBeCloseTo(regionArea(region), 0);
    expect(Math.abs(regionArea(union(...cells)) - regionArea(region))).toBeLessThan(0.5);
    for (let i = 1; i < cells.length; i++)
      expect(regionArea(intersection(cells[0]!, cells[i]!))).toBeLessThan(0.1);
    for (let k = 0; k < 300; k++) {
      const p: Point = [300 * random(), 200 * random()];
      if (!containsPoint(region, p)) continue;
      const ds = sites.map((s) => distance(s, p));
      const owner = ds.indexOf(Math.min(...ds));
      const runnerUp = Math.min(...ds.filter((_, i) => i !== owner));
      if (runnerUp - ds[owner]! > 0.001) expect(containsPoint(cells[owner]!, p)).toBe(true);
    }
  });

  it('of one place listed twice the first has the cell', () => {
    const cells = voronoiCells([[5, 5], [5, 5], [15, 5]], plate(20, 10)); // biome-ignore format: one line
    expect(cells.map((cell) => Math.round(regionArea(cell)))).toEqual([100, 0, 100]);
    expect(voronoiCells([], plate(1, 1))).toEqual([]);
    expect(voronoiCells([[0, 0]], [])).toEqual([[]]);
    expect(regionArea(voronoiCells([[500, 500]], plate(20, 10))[0]!)).toBe(200);
  });
});
