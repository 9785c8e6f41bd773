import assert from 'node:assert/strict';
import { type CoverInstance, coverSet, seededRandom, shortestTour } from '../index.ts';
import { scatteredPlaces } from './instances.ts';
import { cheapestCover, shortestClosedTour } from './mixed-integer.ts';

// Covers and tours against the optimum of a mixed-integer solver: a few in the tests, any number as a proof.

/** Rows over `columns`, each column in a row with the chance `density`; with costs of 1 to 20 where `weighted`. */
export function randomCover(
  seed: number,
  columns: number,
  rows: number,
  density: number,
  weighted: boolean,
): CoverInstance {
  const random = seededRandom(seed);
  return {
    columns,
    rows: Array.from({ length: rows }, () => {
      const row = Array.from({ length: columns }, (_, j) => j).filter(() => random() < density);
      return row.length > 0 ? row : [Math.floor(random() * columns)];
    }),
    ...(weighted ? { cost: Array.from({ length: columns }, () => 1 + Math.floor(20 * random())) } : {}),
  };
}

/** Throws unless every row has a chosen column, each chosen once, the fixed ones among them. */
export function assertCovers(instance: CoverInstance, chosen: readonly number[]): void {
  const inside = new Set(chosen);
  assert.equal(inside.size, chosen.length);
  for (const row of instance.rows) assert.ok(row.some((j) => inside.has(j)));
  for (const j of instance.fixed ?? []) assert.ok(inside.has(j));
}

/** Throws unless the instance of middle size with this number is covered as cheaply as the solver covers it. */
export async function coverAgainstSolver(number: number): Promise<void> {
  const size = number % 12;
  const instance = randomCover(700 + number, 60 + 10 * size, 50 + 5 * size, 0.06, number % 2 === 0);
  const cover = coverSet(instance);
  const truth = await cheapestCover(instance);
  assertCovers(instance, cover.chosen);
  assert.ok(Math.abs(cover.cost - truth) < 5e-7, `${cover.cost}, ${truth} do`);
  assert.ok(cover.lowerBound <= truth + 1e-6, `bound ${cover.lowerBound}, ${truth} do`);
  if (cover.provenOptimal) assert.equal(cover.lowerBound, cover.cost);
}

/** Throws unless the tour of `n` scattered places is within `slack` of the solver's: 0.005 is half a percent. */
export async function tourAgainstSolver(n: number, seed: number, slack: number): Promise<void> {
  const { cost } = scatteredPlaces(n, seed);
  const tour = shortestTour(n, cost, { closed: true });
  assert.deepEqual(
    [...tour.order].sort((a, b) => a - b),
    Array.from({ length: n }, (_, i) => i),
  );
  assert.equal(
    tour.cost,
    tour.order.reduce((sum, from, i) => sum + cost(from, tour.order[(i + 1) % n]!), 0),
  );
  assert.equal(tour.proven, false);
  const optimum = await shortestClosedTour(n, cost);
  assert.ok(tour.cost >= optimum, `${tour.cost} is below the optimum ${optimum}`);
  assert.ok(tour.cost <= optimum * (1 + slack), `${tour.cost}, the optimum is ${optimum}`);
}
