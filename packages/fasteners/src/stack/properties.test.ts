import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import type { FixingWritten } from '../fixing/written.ts';
import type { StackInput } from '../model.ts';
import { naiveCheck } from '../testing/naive-check.ts';
import { fixingOf, M6_WRITTEN, RULES } from '../testing/sample.ts';
import { solveStack, stackOrNull } from './solve.ts';

const bush = (outside: number, length: number, taper = 0): FixingWritten['insert'] => ({
  measured: { outside, length, taper, by: 'caliper', uncertainty: 0.02 },
});
const FIXINGS = [
  fixingOf(M6_WRITTEN),
  fixingOf({ ...M6_WRITTEN, washer: 'none' }),
  fixingOf({ ...M6_WRITTEN, screw: { head: 'iso4762-socket-cap' }, insert: bush(10.5, 14, 4), socket: {} }),
  fixingOf({ ...M6_WRITTEN, screw: { head: 'iso10642-countersunk' }, washer: 'none', socket: {} }),
  fixingOf({ ...M6_WRITTEN, washer: { inside: 6.4, outside: 25, thickness: 1.5, uncertainty: 0.1 } }),
  fixingOf({
    title: 'M8 nylon',
    thread: 'M8',
    screw: { head: 'iso4017-hex' },
    insert: { ...bush(12, 16), through: true },
    washer: 'iso7089',
    socket: { size: 13, measured: { outside: 18, by: 'caliper', uncertainty: 0.05 } },
  }),
  fixingOf({
    title: '1/4-20 nylon',
    thread: '1/4-20',
    screw: { head: 'asme-b18.3-button' },
    insert: bush(10.3, 13),
    washer: 'asme-b18.21.1-narrow',
    socket: {},
  }),
];

const between = (min: number, max: number) => fc.double({ min, max, noNaN: true, noDefaultInfinity: true });
const inputs: fc.Arbitrary<StackInput> = fc
  .record({
    fixing: fc.constantFrom(...FIXINGS),
    thickness: between(8, 45),
    thicknessUncertainty: between(0, 0.4),
    leastThickness: between(0, 20),
    bed: fc.record({ thickness: between(12, 60), floor: between(0, 10), cutLimit: between(0, 5) }),
    reach: between(0, 1800),
    positionUncertainty: between(0, 1.5),
    rules: fc.record({
      webMin: between(0, 10),
      coverMin: between(0, 4),
      safetyFactor: between(1, 4),
      boardShear: between(1, 4),
      pull: between(10, 700),
      pocketClearance: between(0, 4),
      boreReserve: between(0, 4),
      adhesiveGap: between(0, 1),
      entryLoss: between(0, 3),
      endGap: between(0, 2),
      moistureSwing: between(0, 6),
      bearingMin: between(0, 2),
      skim: between(0.05, 1.5),
      refitSkin: between(0, 3),
      growth: fc.constantFrom('absorb' as const, 'restrain' as const),
    }),
  })
  .map((r) => ({ ...r, rules: { ...RULES, ...r.rules } }));

const SEEDED = { numRuns: 1500, seed: 20260101 };

describe('properties of the stack', () => {
  test('every stack that is returned holds when recomputed from the raw dimensions', () => {
    let feasible = 0;
    fc.assert(
      fc.property(inputs, (input) => {
        const result = stackOrNull(input);
        if (result === null) return;
        feasible++;
        expect(naiveCheck(result, input)).toEqual([]);
      }),
      SEEDED,
    );
    // the property would hold emptily if nothing could be had
    expect(feasible).toBeGreaterThan(200);
  });

  test('a thicker board never shortens life, nor makes a stack impossible', () => {
    let feasible = 0;
    fc.assert(
      fc.property(inputs, between(0, 20), (input, more) => {
        const thin = stackOrNull(input);
        if (thin === null) return;
        feasible++;
        const thick = stackOrNull({ ...input, thickness: input.thickness + more });
        expect(thick).not.toBeNull();
        expect(thick?.life.skims).toBeGreaterThanOrEqual(thin.life.skims);
      }),
      SEEDED,
    );
    expect(feasible).toBeGreaterThan(200);
  });

  test('more cover never lengthens life, nor makes a stack possible', () => {
    fc.assert(
      fc.property(inputs, between(0, 5), (input, more) => {
        const result = stackOrNull(input);
        const strict = stackOrNull({
          ...input,
          rules: { ...input.rules, coverMin: input.rules.coverMin + more },
        });
        if (result === null) expect(strict).toBeNull();
        else if (strict !== null) expect(strict.life.skims).toBeLessThanOrEqual(result.life.skims);
      }),
      SEEDED,
    );
  });

  test('no other published length, at no other floor, gives a longer life', () => {
    // brute force: every length, floors every 0.05 mm, checked by the naive function through a given choice
    fc.assert(
      fc.property(inputs, (input) => {
        const result = stackOrNull(input);
        const best = result === null ? -1 : result.life.skims;
        for (const screwLength of input.fixing.screw.lengths.slice(0, 12)) {
          for (let floor = 1; floor < input.thickness; floor += 0.5) {
            const forced = stackOrNull({ ...input, given: { screwLength, pocketFloor: floor } });
            if (forced !== null) expect(forced.life.skims).toBeLessThanOrEqual(best);
          }
        }
      }),
      { numRuns: 200, seed: 7 },
    );
  });

  test('an infeasible stack names two different bounds, at least one of them broken, and its remedies were tried', () => {
    let infeasible = 0;
    fc.assert(
      fc.property(inputs, (input) => {
        const result = solveStack(input);
        if (result.feasible) return;
        infeasible++;
        const [a, b] = result.conflict;
        expect(a).not.toBe(b);
        const named = result.bounds.filter((x) => x.id === a || x.id === b);
        expect(named).toHaveLength(2);
        expect(named.some((x) => x.margin < 0)).toBe(true);
        for (const remedy of result.remedies)
          expect(remedy).toMatch(/: screw .+, web .+, cover .+, life \d+ skims?$/);
      }),
      { ...SEEDED, numRuns: 250 },
    );
    expect(infeasible).toBeGreaterThan(50);
  }, 120_000);

  test('the board thickness that is advised is enough, and 0.1 mm less is not', () => {
    let seen = 0;
    fc.assert(
      fc.property(inputs, (input) => {
        const result = solveStack(input);
        if (result.feasible) return;
        const advice = result.remedies
          .map((r) => /^use a board at least ([\d.]+) mm thick \(now [\d.]+ mm\): /.exec(r))
          .find((m) => m);
        if (!advice) return;
        seen++;
        const thickness = Number(advice[1]);
        expect(stackOrNull({ ...input, thickness })).not.toBeNull();
        if (thickness - 0.1 > input.thickness) {
          expect(stackOrNull({ ...input, thickness: thickness - 0.1 })).toBeNull();
        }
      }),
      { ...SEEDED, numRuns: 400 },
    );
    expect(seen).toBeGreaterThan(20);
  }, 120_000);
});
