import { describe, expect, it } from 'vitest';
import { type CoverInstance, coverSet } from './index.ts';
import { assertCovers, coverAgainstSolver, randomCover } from './testing/against-solver.ts';
import { coverWithWitnesses, graphDistances, weightedCover, withinRadius } from './testing/instances.ts';
import { cheapestCover } from './testing/mixed-integer.ts';

/** Cheapest over all subsets of at most 16 columns. */
function everySubset(instance: CoverInstance): number {
  const cost = instance.cost ?? new Array<number>(instance.columns).fill(1);
  const masks = instance.rows.map((row) => row.reduce((m, j) => m | (1 << j), 0));
  const must = (instance.fixed ?? []).reduce((m, j) => m | (1 << j), 0);
  let best = Infinity;
  for (let set = 0; set < 1 << instance.columns; set++) {
    if ((set & must) !== must || masks.some((m) => (m & set) === 0)) continue;
    best = Math.min(
      best,
      cost.reduce((sum, c, j) => (set & (1 << j) ? sum + c : sum), 0),
    );
  }
  return best;
}

describe('covers against other ways to find them', () => {
  it('every subset: 200 small instances, with costs, fractions and fixed columns', () => {
    for (let k = 0; k < 200; k++) {
      const base = randomCover(k, 5 + (k % 9), 3 + (k % 14), 0.15 + 0.05 * (k % 5), k % 2 === 1);
      const instance: CoverInstance = {
        ...base,
        ...(k % 5 === 0 ? { fixed: [k % base.columns] } : {}),
        ...(k % 7 === 3
          ? { cost: Array.from({ length: base.columns }, (_, j) => 0.1 + ((j * 37) % 11) / 3) }
          : {}),
      };
      const cover = coverSet(instance);
      assertCovers(instance, cover.chosen);
      expect(cover.cost).toBeCloseTo(everySubset(instance), 9);
      expect(cover.provenOptimal, `instance ${k}`).toBe(true);
      expect(cover.lowerBound).toBe(cover.cost);
    }
  });

  // Any number of them: the proof `covers`.
  it.each([0, 3, 5])('a mixed-integer solver: instance %i of middle size', coverAgainstSolver);

  it('sites on a bed: discs over a raster of places', async () => {
    // 12 × 8 candidates at 100 mm, demand on a raster of 50 mm, radius 170 mm.
    const candidates = Array.from({ length: 96 }, (_, i) => [
      100 * (i % 12) + 50,
      100 * Math.floor(i / 12) + 50,
    ]);
    const rows: number[][] = [];
    for (let x = 0; x <= 1200; x += 50) {
      for (let y = 0; y <= 800; y += 50) {
        rows.push(
          candidates.flatMap(([cx, cy], j) =>
            (cx! - x) * (cx! - x) + (cy! - y) * (cy! - y) <= 170 * 170 ? [j] : [],
          ),
        );
      }
    }
    const cover = coverSet({ columns: 96, rows });
    assertCovers({ columns: 96, rows }, cover.chosen);
    const truth = await cheapestCover({ columns: 96, rows });
    expect(cover.cost).toBe(Math.round(truth));
    expect(cover.lowerBound).toBeLessThanOrEqual(truth + 1e-6);
  });
});

describe('instances with a known best value', () => {
  it.each([
    [200, 1000, 38, 0.02],
    [200, 1000, 37, 0.02],
    [50, 500, 5, 0.2],
    [50, 500, 6, 0.2],
  ])('%i rows, %i columns, as many witness rows as planted columns: %i', (rows, columns, least, density) => {
    const instance = coverWithWitnesses({ rows, columns, least, density, seed: least });
    const cover = coverSet(instance);
    assertCovers(instance, cover.chosen);
    expect(cover.cost).toBe(least);
    expect(cover.lowerBound).toBeLessThanOrEqual(least);
  });

  it.each([41, 42])(
    '200 rows and 1000 columns with costs, draw %i: the solver’s optimum, proven',
    async (seed) => {
      const instance = weightedCover(200, 1000, 0.02, seed);
      const optimum = await cheapestCover(instance);
      const cover = coverSet(instance);
      assertCovers(instance, cover.chosen);
      expect(cover).toMatchObject({ cost: optimum, lowerBound: optimum, provenOptimal: true });
    },
  );

  it.each([
    [5, 126],
    [10, 88],
  ])(
    '%i centres of a graph of 100 corners: radius %i by covering, by the solver too',
    async (centres, radius) => {
      const distances = graphDistances(100, 200, centres / 5);
      const enough = withinRadius(distances, 100, radius);
      const tooSmall = withinRadius(distances, 100, radius - 1);
      expect(await cheapestCover(enough)).toBeLessThanOrEqual(centres);
      expect(await cheapestCover(tooSmall)).toBeGreaterThan(centres);
      expect(coverSet(enough).cost).toBeLessThanOrEqual(centres);
      // One less is not enough, whatever is chosen.
      expect(coverSet(tooSmall).lowerBound).toBeGreaterThan(centres);
    },
  );
});

describe('generated instances with known covers', () => {
  it('edges of a hypercube that meet every 4-cycle (Grossman & Wool 1997, set CYC): 60 in six dimensions', () => {
    // Every 4-cycle is a base corner and two directions; every edge a corner and one direction.
    const n = 6;
    const edge = new Map<string, number>();
    for (let v = 0; v < 1 << n; v++) {
      for (let d = 0; d < n; d++) if (!(v & (1 << d))) edge.set(`${v},${d}`, edge.size);
    }
    const rows: number[][] = [];
    for (let v = 0; v < 1 << n; v++) {
      for (let d = 0; d < n; d++) {
        for (let e = d + 1; e < n; e++) {
          if (v & (1 << d) || v & (1 << e)) continue;
          rows.push([
            edge.get(`${v},${d}`)!,
            edge.get(`${v},${e}`)!,
            edge.get(`${v | (1 << e)},${d}`)!,
            edge.get(`${v | (1 << d)},${e}`)!,
          ]);
        }
      }
    }
    expect([edge.size, rows.length]).toEqual([192, 240]);
    expect(coverSet({ columns: edge.size, rows }).cost).toBe(60);
  });

  it('four-element sets that no two-colouring leaves mixed (set CLR): 25 on ten points', () => {
    const sets: number[] = [];
    for (let m = 0; m < 1024; m++) if (m.toString(2).replaceAll('0', '').length === 4) sets.push(m);
    const rows: number[][] = [];
    // Every colouring, but for exchanging the colours; the one with a single colour is met by any set.
    for (let colour = 1; colour < 512; colour++) {
      rows.push(sets.flatMap((m, j) => ((m & colour) === m || (m & colour) === 0 ? [j] : [])));
    }
    expect([sets.length, rows.length]).toEqual([210, 511]);
    const cover = coverSet({ columns: sets.length, rows });
    expect(cover.cost).toBe(25);
    expect(cover.provenOptimal).toBe(cover.lowerBound === 25);
  });

  it('another column never makes it dearer, another row never cheaper', () => {
    const whole = randomCover(900, 40, 30, 0.12, true);
    const cost = coverSet(whole).cost;
    expect(coverSet({ ...whole, rows: whole.rows.slice(0, 20) }).cost).toBeLessThanOrEqual(cost);
    const wider = {
      columns: 41,
      rows: whole.rows.map((row, r) => (r % 4 === 0 ? [...row, 40] : row)),
      cost: [...whole.cost!, 3],
    };
    expect(coverSet(wider).cost).toBeLessThanOrEqual(cost);
  });
});

describe('covers, edge cases', () => {
  it('nothing to cover', () => {
    expect(coverSet({ columns: 0, rows: [] })).toEqual({
      chosen: [],
      cost: 0,
      lowerBound: 0,
      provenOptimal: true,
    });
    expect(coverSet({ columns: 3, rows: [], fixed: [1, 1] })).toEqual({
      chosen: [1],
      cost: 1,
      lowerBound: 1,
      provenOptimal: true,
    });
  });

  it('repeated columns in a row and unsorted rows do no harm', () => {
    expect(coverSet({ columns: 3, rows: [[2, 0, 2], [1, 1], [2, 1, 0]] }).cost).toBe(2); // biome-ignore format: one line
  });

  it('without the proof it says so', () => {
    const instance = randomCover(901, 80, 120, 0.05, false);
    const quick = coverSet(instance, { proof: 0, steps: 200 });
    assertCovers(instance, quick.chosen);
    expect(quick.provenOptimal).toBe(false);
    expect(quick.lowerBound).toBeLessThanOrEqual(coverSet(instance).cost);
    const warm = coverSet(instance, { proof: 0, steps: 0, start: quick.chosen });
    expect(warm.cost).toBeLessThanOrEqual(quick.cost);
  });

  it('is deterministic', () => {
    const instance = randomCover(902, 100, 150, 0.05, false);
    expect(coverSet(instance, { steps: 3000 })).toEqual(coverSet(instance, { steps: 3000 }));
  });

  it('refuses nonsense', () => {
    expect(() => coverSet({ columns: 2, rows: [[0], []] })).toThrow(/row 1 has no column/);
    expect(() => coverSet({ columns: 2, rows: [[2]] })).toThrow(/column 2 of row 0/);
    expect(() => coverSet({ columns: 2, rows: [[0]], cost: [1] })).toThrow(/1 costs for 2 columns/);
    expect(() => coverSet({ columns: 2, rows: [[0]], cost: [1, 0] })).toThrow(/column 1 costs 0/);
    expect(() => coverSet({ columns: 2, rows: [[0]], fixed: [7] })).toThrow(/column 7/);
  });
});
