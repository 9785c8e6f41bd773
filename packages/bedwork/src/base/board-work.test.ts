import { describe, expect, test } from 'vitest';
import { fewDrills, MOST_DRILLS } from './board-work.ts';

const hole = (need: number, widest = 99) => ({ need, widest, opened: true });
const SIZES = [6.5, 7, 7.5, 8, 8.5, 9, 9.5, 10, 11, 12];

/** Room that a choice of drills wastes, mm: every hole gets the next of them. */
function waste(needs: readonly number[], drills: readonly number[]): number {
  let sum = 0;
  for (const need of needs) {
    const next = drills.find((size) => size >= need);
    if (next === undefined) return Number.POSITIVE_INFINITY;
    sum += next - need;
  }
  return sum;
}

/** Every choice of at most four, tried. */
function leastWaste(needs: readonly number[]): number {
  let least = Number.POSITIVE_INFINITY;
  for (let bits = 1; bits < 1 << SIZES.length; bits++) {
    const chosen = SIZES.filter((_, k) => bits & (1 << k));
    if (chosen.length <= MOST_DRILLS) least = Math.min(least, waste(needs, chosen));
  }
  return least;
}

function seeded(seed: number): () => number {
  let state = seed;
  return () => {
    state = (state * 1103515245 + 12345) % 2147483648;
    return state / 2147483648;
  };
}

describe('drills for one board', () => {
  test('two sizes reach everything: no more are asked for', () => {
    expect(fewDrills([hole(6.9), hole(7), hole(8.2)], SIZES)).toEqual([7, 8.5]);
  });

  test('nothing to open asks for no drill', () => {
    expect(fewDrills([], SIZES)).toEqual([]);
  });

  test('a hole that no size reaches is left out', () => {
    expect(fewDrills([hole(6.9), hole(12.3)], SIZES)).toEqual([7]);
  });

  test('never more than four, and no four waste less room: against every choice', () => {
    const random = seeded(11);
    for (let round = 0; round < 60; round++) {
      const needs = Array.from({ length: 1 + Math.floor(random() * 14) }, () => 6.2 + random() * 5.8);
      const drills = fewDrills(
        needs.map((need) => hole(need)),
        SIZES,
      );
      expect(drills.length).toBeLessThanOrEqual(MOST_DRILLS);
      expect(waste(needs, drills)).toBeCloseTo(leastWaste(needs), 9);
    }
  });

  test('a drill beside which a head no longer bears is avoided where another choice is left', () => {
    // alone, 7.1 and 7.6 would share 8 with the others for less waste than a drill of their own
    const tight = [7.1, 7.6, 8.1, 8.6, 9.1].map((need) => hole(need, need + 0.45));
    const drills = fewDrills(tight.slice(0, 4), SIZES);
    for (const { need, widest } of tight.slice(0, 4)) {
      expect(drills.find((size) => size >= need)!).toBeLessThanOrEqual(widest);
    }
  });
});
