import Flatten from '@flatten-js/core';
import { describe, expect, it } from 'vitest';
import {
  applyTransform,
  difference,
  intersection,
  isSimpleRing,
  mapRegion,
  type Region,
  regionArea,
  regionFromRing,
  ringArea,
  seededRandom,
  union,
} from './index.ts';
import { disc, plate, starRing } from './testing/shapes.ts';
import { slabArea } from './testing/slab-area.ts';
import { rotation } from './testing/transforms.ts';

const operations = [
  { name: 'union', run: (a: Region, b: Region) => union(a, b), keep: (a: boolean, b: boolean) => a || b },
  { name: 'difference', run: difference, keep: (a: boolean, b: boolean) => a && !b },
  { name: 'intersection', run: intersection, keep: (a: boolean, b: boolean) => a && b },
] as const;

/** Every promise of the Region type. */
function expectTidy(region: Region): void {
  for (const polygon of region) {
    expect(ringArea(polygon.outer)).toBeGreaterThan(0);
    for (const hole of polygon.holes) expect(ringArea(hole)).toBeLessThan(0);
  }
}

function flattenArea(name: string, a: Region, b: Region): number {
  const faces = (r: Region) => {
    const polygon = new Flatten.Polygon();
    for (const { outer, holes } of r) {
      polygon.addFace(outer.map(([x, y]) => Flatten.point(x, y)));
      for (const hole of holes) polygon.addFace(hole.map(([x, y]) => Flatten.point(x, y)));
    }
    return polygon;
  };
  const { unify, subtract, intersect } = Flatten.BooleanOperations;
  const run = name === 'union' ? unify : name === 'difference' ? subtract : intersect;
  return run(faces(a), faces(b)).area();
}

describe('booleans against a strip integrator and a second polygon library', () => {
  // Random star shapes on a raster of 7 mm: corners, edges and crossings coincide all the time.
  it('agree on 500 degenerate pairs', () => {
    const random = seededRandom(11);
    for (let i = 0; i < 500; i++) {
      const ringA = starRing(random, 7, 4 + (i % 7));
      const ringB = starRing(random, 7, 4 + (i % 5));
      const [a, b] = [regionFromRing(ringA), regionFromRing(ringB)];
      for (const { run, keep, name } of operations) {
        const result = run(a, b);
        const truth = slabArea([{ outer: ringA, holes: [] }], [{ outer: ringB, holes: [] }], keep);
        // Crossings of whole-millimetre edges are rounded to 0.1 µm: 30 mm of outline at most.
        expect(Math.abs(regionArea(result) - truth), `${name} of pair ${i}`).toBeLessThan(2e-3);
        expectTidy(result);
      }
    }
  });

  it('agree after an irrational turn, where nothing coincides exactly any more', () => {
    const random = seededRandom(12);
    const turn = rotation(Math.SQRT2, [3, 2]);
    for (let i = 0; i < 300; i++) {
      const [ringA, ringB] = [starRing(random, 7, 8), starRing(random, 7, 6)].map((ring) =>
        ring.map((p) => applyTransform(turn, p)),
      );
      for (const { run, keep, name } of operations) {
        const result = run([{ outer: ringA!, holes: [] }], [{ outer: ringB!, holes: [] }]);
        const truth = slabArea([{ outer: ringA!, holes: [] }], [{ outer: ringB!, holes: [] }], keep);
        expect(Math.abs(regionArea(result) - truth), `${name} of pair ${i}`).toBeLessThan(2e-3);
        expectTidy(result);
      }
    }
  });

  it('agree with the second library on 60 pairs with holes', () => {
    const random = seededRandom(13);
    for (let i = 0; i < 60; i++) {
      const at = (): [number, number] => [random() * 100, random() * 60];
      const a = difference(plate(100, 60), union(disc(at(), 5 + 10 * random()), disc(at(), 8)));
      const b = union(disc(at(), 20), plate(30, 40, at()));
      for (const { run, name } of operations) {
        // Up to 600 mm of outline moved by less than 0.1 µm each way.
        expect(
          Math.abs(regionArea(run(a, b)) - flattenArea(name, a, b)),
          `${name} of pair ${i}`,
        ).toBeLessThan(0.06);
      }
    }
  });
});

describe('booleans, closed forms', () => {
  it('a plate less a disc', () => {
    // Derived: a circumscribed polygon of n sides has area n·r²·tan(π/n), between π·r² and π·(r + tolerance)².
    const area = regionArea(difference(plate(100, 50), disc([50, 25], 10)));
    expect(area).toBeLessThan(5000 - Math.PI * 100);
    expect(area).toBeGreaterThan(5000 - Math.PI * 10.0012 * 10.0012);
  });

  it.each([
    ['shared edge', plate(10, 10), plate(10, 10, [10, 0]), 200, 0, 100],
    ['part of an edge', plate(10, 10), plate(10, 4, [10, 3]), 140, 0, 100],
    ['corner touch', plate(10, 10), plate(10, 10, [10, 10]), 200, 0, 100],
    ['identical', plate(10, 10), plate(10, 10), 100, 100, 0],
    ['inside', plate(10, 10), plate(4, 4, [3, 3]), 100, 16, 84],
    ['inside, touching an edge', plate(10, 10), plate(4, 4, [0, 3]), 100, 16, 84],
    ['apart', plate(10, 10), plate(4, 4, [30, 3]), 116, 0, 100],
    ['with nothing', plate(10, 10), [] as Region, 100, 0, 100],
  ])('%s', (_, a, b, both, common, rest) => {
    expect(regionArea(union(a, b))).toBeCloseTo(both, 9);
    expect(regionArea(intersection(a, b))).toBeCloseTo(common, 9);
    expect(regionArea(difference(a, b))).toBeCloseTo(rest, 9);
  });

  it('fills a hole exactly', () => {
    const frame = difference(plate(10, 10), plate(4, 4, [3, 3]));
    expect(frame[0]!.holes).toHaveLength(1);
    const whole = union(frame, plate(4, 4, [3, 3]));
    expect(whole).toEqual(plate(10, 10));
  });

  it('an island in a hole is a polygon of its own', () => {
    const ring = difference(plate(30, 30), plate(20, 20, [5, 5]));
    const island = union(ring, plate(4, 4, [13, 13]));
    expect(island).toHaveLength(2);
    expect(regionArea(island)).toBeCloseTo(900 - 400 + 16, 9);
  });

  it('four corners are what the clipping makes of them', () => {
    const random = seededRandom(41);
    let plain = 0;
    for (let k = 0; k < 2000; k++) {
      // Large and small, on a coarse raster too, where corners coincide and lie in line.
      const size = [0.02, 8, 800][k % 3]!;
      const at = (): number => (k % 2 === 0 ? size * random() : (size / 8) * Math.floor(8 * random()));
      const ring = Array.from({ length: 4 }, () => [at(), at()] as const);
      if (!isSimpleRing(ring)) continue;
      const clipped = union([{ outer: ring, holes: [] }]);
      expect(regionFromRing(ring), `${k}`).toEqual(clipped);
      if (clipped.length === 1 && clipped[0]!.outer.length === 4) plain++;
    }
    expect(plain).toBeGreaterThan(300);
  });

  it('does not mind which way a ring runs, and gives the same bytes', () => {
    const ring = plate(10, 10)[0]!.outer;
    expect(regionFromRing([...ring].reverse())).toEqual(regionFromRing(ring));
    expect(regionFromRing([...ring.slice(2), ...ring.slice(0, 2)])).toEqual(regionFromRing(ring));
    expect(union(disc([0, 0], 5), plate(3, 3))).toEqual(union(plate(3, 3), disc([0, 0], 5)));
  });

  it('keeps both lobes of a ring that crosses itself', () => {
    // Derived: two triangles of base 10 and height 5.
    const bow = regionFromRing([
      [0, 0],
      [10, 10],
      [10, 0],
      [0, 10],
    ]);
    expect(regionArea(bow)).toBeCloseTo(50, 9);
  });

  it('gives nothing for rings without area', () => {
    expect(regionFromRing([])).toEqual([]);
    expect(regionFromRing([[1, 1]])).toEqual([]);
    expect(regionFromRing([[1, 1], [2, 2]])).toEqual([]); // biome-ignore format: one line
    expect(regionFromRing([[0, 0], [5, 5], [9, 9]])).toEqual([]); // biome-ignore format: one line
    expect(union()).toEqual([]);
  });

  it('refuses coordinates that are no numbers or beyond 100 m', () => {
    expect(() => regionFromRing([[0, 0], [Number.NaN, 0], [0, 1]])).toThrow(/coordinate NaN mm/); // biome-ignore format: one line
    expect(() => regionFromRing([[0, 0], [1e6, 0], [0, 1]])).toThrow(RangeError); // biome-ignore format: one line
  });
});

describe('booleans, properties', () => {
  it('areas add up, and a quarter turn changes nothing but the place', () => {
    const random = seededRandom(14);
    for (let i = 0; i < 100; i++) {
      const a = regionFromRing(starRing(random, 40, 9));
      const b = regionFromRing(starRing(random, 40, 9));
      const both = union(a, b);
      const common = intersection(a, b);
      expect(regionArea(a) + regionArea(b)).toBeCloseTo(regionArea(both) + regionArea(common), 1);
      expect(intersection(difference(a, b), common)).toEqual([]);
      const turn = { a: 0, b: -1, c: 0, d: 1, e: 0, f: 0 };
      expect(regionArea(union(mapRegion(a, turn), mapRegion(b, turn)))).toBeCloseTo(regionArea(both), 2);
    }
  });

  it('holds over six orders of magnitude', () => {
    // Same figure, scaled: the grid of 0.1 µm limits the small end, exact products the large one.
    for (const k of [0.01, 1, 100, 10_000]) {
      const a = plate(2 * k, 3 * k);
      const b = plate(2 * k, 3 * k, [k, k]);
      expect(regionArea(intersection(a, b)) / (k * k)).toBeCloseTo(2, 9);
    }
  });
});
