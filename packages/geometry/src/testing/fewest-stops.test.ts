import { describe, expect, it } from 'vitest';
import { seededRandom } from '../index.ts';
import { fewestStops, type StopsProblem } from './fewest-stops.ts';

const stopsOf = (problem: StopsProblem): number[] => {
  const result = fewestStops(problem);
  if ('impossible' in result) throw new Error(result.impossible);
  expect(result.lowerBound).toBe(result.stops.length);
  return result.stops;
};

/** Every promise of a chain. */
function expectChain(problem: StopsProblem, stops: readonly number[]): void {
  const { from, to, pitchMax, fixed = [], allowed } = problem;
  const slack = 1e-6;
  expect(stops[0]!).toBeLessThanOrEqual(from + problem.firstMax + slack);
  expect(stops[stops.length - 1]!).toBeGreaterThanOrEqual(to - problem.lastMax - slack);
  for (let i = 1; i < stops.length; i++) {
    expect(stops[i]!).toBeGreaterThan(stops[i - 1]!);
    expect(stops[i]! - stops[i - 1]!).toBeLessThanOrEqual(pitchMax + slack);
  }
  for (const x of fixed) expect(stops).toContain(x);
  for (const x of stops) {
    if (fixed.includes(x)) continue;
    expect(x).toBeGreaterThanOrEqual(from + problem.firstMin - slack);
    expect(x).toBeLessThanOrEqual(to - problem.lastMin + slack);
    if (allowed) expect(allowed.some(([a, b]) => x >= a - slack && x <= b + slack)).toBe(true);
  }
}

/** Least number, and least total preference for it, over whole-number chains, by breadth-first search. */
function exhaustive(problem: StopsProblem): { count: number; prefer: number } | null {
  const { from, to, pitchMax, allowed, fixed = [] } = problem;
  const prefer = problem.prefer ?? (() => 0);
  const places: number[] = [];
  for (let x = from; x <= to; x++) {
    const free =
      x >= from + problem.firstMin &&
      x <= to - problem.lastMin &&
      (!allowed || allowed.some(([a, b]) => x >= a && x <= b));
    if (free || fixed.includes(x)) places.push(x);
  }
  const best = new Map<number, Map<number, number>>();
  let answer: { count: number; prefer: number } | null = null;
  for (const x of places) {
    const mine = new Map<number, number>();
    const offer = (count: number, cost: number): void => {
      const total = cost + (fixed.includes(x) ? 0 : prefer(x));
      if (total < (mine.get(count) ?? Infinity)) mine.set(count, total);
    };
    const passed = (a: number, b: number): boolean => fixed.some((f) => f > a && f < b);
    if (x <= from + problem.firstMax && !fixed.some((f) => f < x)) offer(1, 0);
    for (const [y, counts] of best) {
      if (x - y > pitchMax || passed(y, x)) continue;
      for (const [count, cost] of counts) offer(count + 1, cost);
    }
    best.set(x, mine);
    if (x >= to - problem.lastMax && !fixed.some((f) => f > x)) {
      for (const [count, cost] of mine) {
        if (!answer || count < answer.count || (count === answer.count && cost < answer.prefer))
          answer = { count, prefer: cost };
      }
    }
  }
  return answer;
}

describe('fewest stops', () => {
  it('closed form: the number of gaps is the length over the pitch, rounded up', () => {
    // Derived: with both ends free in their windows the span is at least L − firstMax − lastMax.
    for (let length = 200; length < 4000; length += 137) {
      for (const pitch of [150, 300, 401.5]) {
        const problem = {
          from: 0,
          to: length,
          firstMin: 60,
          firstMax: 90,
          lastMin: 60,
          lastMax: 90,
          pitchMax: pitch,
        };
        const stops = stopsOf(problem);
        expectChain(problem, stops);
        expect(stops).toHaveLength(Math.ceil((length - 180) / pitch - 1e-9) + 1);
        // Nothing stands in the way: evenly spread and symmetric.
        const gaps = stops.slice(1).map((x, i) => x - stops[i]!);
        expect(Math.max(...gaps) - Math.min(...gaps)).toBeLessThan(1e-6);
        stops.forEach((x, i) => {
          expect(x + stops[stops.length - 1 - i]!).toBeCloseTo(length, 6);
        });
      }
    }
  });

  it('agrees with exhaustive search on 400 random whole-number problems', () => {
    const random = seededRandom(91);
    let possible = 0;
    for (let k = 0; k < 400; k++) {
      const allowed = Array.from({ length: 5 + (k % 5) }, (): [number, number] => {
        const a = Math.floor(120 * random());
        return [a, a + Math.floor(22 * random())];
      });
      const cheap = Math.floor(120 * random());
      const problem: StopsProblem = {
        from: 0,
        to: 120,
        firstMin: 3,
        firstMax: 3 + Math.floor(20 * random()),
        lastMin: 3,
        lastMax: 3 + Math.floor(20 * random()),
        pitchMax: 20 + Math.floor(30 * random()),
        allowed,
        fixed: k % 3 === 0 ? [Math.floor(120 * random()), Math.floor(120 * random())] : [],
        prefer: (x) => (Math.abs(Math.round(x) - cheap) % 11 < 4 ? 0 : 1),
      };
      const truth = exhaustive(problem);
      const result = fewestStops(problem);
      // All bounds are whole numbers, so a chain exists if and only if a whole-number chain does.
      expect('stops' in result, `problem ${k}`).toBe(truth !== null);
      if (!('stops' in result) || truth === null) continue;
      possible++;
      expectChain(problem, result.stops);
      expect(result.stops, `problem ${k}`).toHaveLength(truth.count);
      const cost = result.stops
        .filter((x) => !problem.fixed!.includes(x))
        .reduce((sum, x) => sum + problem.prefer!(x), 0);
      expect(cost, `problem ${k}`).toBeLessThanOrEqual(truth.prefer);
    }
    expect(possible).toBeGreaterThan(100);
  });

  it('prefers dividers when that costs no more stops', () => {
    const dividers = [410, 820, 1230, 1640, 2050];
    const problem: StopsProblem = {
      from: 0,
      to: 2460,
      firstMin: 60,
      firstMax: 90,
      lastMin: 60,
      lastMax: 90,
      pitchMax: 420,
      prefer: (x) => (dividers.some((d) => Math.abs(x - d) <= 10) ? 0 : 1),
    };
    const stops = stopsOf(problem);
    expect(stops).toHaveLength(7);
    expect(stops.slice(1, -1).every((x, i) => Math.abs(x - dividers[i]!) <= 10)).toBe(true);
    stops.forEach((x, i) => {
      expect(x + stops[stops.length - 1 - i]!).toBeCloseTo(2460, 6);
    });
  });

  it('is mirrored when the problem is', () => {
    const random = seededRandom(92);
    for (let k = 0; k < 40; k++) {
      const allowed = Array.from({ length: 12 }, (): [number, number] => {
        const a = 1000 * random();
        return [a, a + 60 * random()];
      });
      const problem: StopsProblem = {
        from: 0,
        to: 1000,
        firstMin: 20,
        firstMax: 120,
        lastMin: 30,
        lastMax: 90,
        pitchMax: 210,
        allowed,
      };
      const mirror: StopsProblem = {
        ...problem,
        firstMin: 30,
        firstMax: 90,
        lastMin: 20,
        lastMax: 120,
        allowed: allowed.map(([a, b]) => [1000 - b, 1000 - a]),
      };
      const [there, back] = [fewestStops(problem), fewestStops(mirror)];
      expect('stops' in there).toBe('stops' in back);
      if ('stops' in there && 'stops' in back) expect(there.stops).toHaveLength(back.stops.length);
    }
  });

  it('keeps fixed stops, even where no new one could be', () => {
    const problem: StopsProblem = {
      from: 0,
      to: 1000,
      firstMin: 50,
      firstMax: 80,
      lastMin: 50,
      lastMax: 80,
      pitchMax: 300,
      allowed: [[0, 400], [600, 1000]],
      fixed: [500, 12],
    }; // biome-ignore format: intervals in a line
    const stops = stopsOf(problem);
    expectChain(problem, stops);
    // 12 is a first stop already; 12 → 500 and 500 → 920…950 take one each.
    expect(stops).toHaveLength(5);
  });

  it('one stop where one is enough', () => {
    expect(
      stopsOf({ from: 0, to: 150, firstMin: 60, firstMax: 90, lastMin: 60, lastMax: 90, pitchMax: 400 }),
    ).toEqual([75]);
  });

  it('a chain of exact pitches is not lost to rounding', () => {
    const problem: StopsProblem = {
      from: 0,
      to: 1.1,
      firstMin: 0.1,
      firstMax: 0.1,
      lastMin: 0.1,
      lastMax: 0.1,
      pitchMax: 0.1,
    };
    expect(stopsOf(problem)).toHaveLength(10);
  });

  it('says where it breaks', () => {
    const problem: StopsProblem = {
      from: 0,
      to: 2000,
      firstMin: 60,
      firstMax: 90,
      lastMin: 60,
      lastMax: 90,
      pitchMax: 400,
    };
    expect(fewestStops({ ...problem, allowed: [[0, 500], [1000, 2000]] })).toEqual({ impossible: 'no allowed place within 400 after 500', at: 500 }); // biome-ignore format: one line
    expect(fewestStops({ ...problem, allowed: [[100, 2000]] })).toMatchObject({ at: 60 });
    expect(fewestStops({ ...problem, allowed: [[0, 1900]] })).toMatchObject({ at: 1910 });
    expect(fewestStops({ ...problem, allowed: [] })).toHaveProperty('impossible');
    expect(fewestStops({ ...problem, fixed: [2500] })).toMatchObject({ at: 2500 });
    expect(fewestStops({ ...problem, to: 100 })).toHaveProperty('impossible');
  });

  it('refuses nonsense', () => {
    const problem: StopsProblem = {
      from: 0,
      to: 100,
      firstMin: 6,
      firstMax: 9,
      lastMin: 6,
      lastMax: 9,
      pitchMax: 40,
    };
    for (const wrong of [
      { to: -1 },
      { pitchMax: 0 },
      { firstMin: 10 },
      { lastMin: 10 },
      { from: Number.NaN },
      { allowed: [[5, 4] as const] },
      { fixed: [Number.NaN] },
    ]) {
      expect(() => fewestStops({ ...problem, ...wrong }), JSON.stringify(wrong)).toThrow(RangeError);
    }
  });
});
