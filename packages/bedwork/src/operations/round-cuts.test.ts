import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { cuttingFor } from '../feeds/cutting.ts';
import { MotionWriter } from '../motion/motion-writer.ts';
import type { Move } from '../motion/program.ts';
import { CUTTERS, HOUSE, machineOf } from '../testing/records.ts';
import { spotDepth } from './bed-mark.ts';
import { holeBottom } from './clearance-holes.ts';
import { centreFeed, cutRound, helixPitch, peckFor, pointLength, roundMethod } from './round-cut.ts';

const upcut = CUTTERS.get('upcut-6')!;
const straight = CUTTERS.get('straight-8')!;
const drill = CUTTERS.get('drill-8')!;
const RAMP = (3 * Math.PI) / 180;

describe('figures', () => {
  test('12.7 hole, 6.35 tool, 3°: 1.0455 mm a turn (derived)', () => {
    expect(helixPitch(12.7 - 6.35, RAMP)).toBeCloseTo(1.0455, 4);
  });
  test('feed at the tool’s centre = rim feed·(D_hole − D_tool)/D_hole', () => {
    expect(centreFeed(3000, 12.7, 6.35)).toBe(1500);
  });
  test.each([
    // Machinery's Handbook gives 0.3 D for 118°
    [118, 0.30043],
    [135, 0.20711],
    [90, 0.5],
    [180, 0],
  ])('a point of %d° is %d diameters long (derived)', (angle, share) => {
    expect(pointLength(1, angle)).toBeCloseTo(share, 5);
  });
  test('peck between one and two diameters (common practice, no source), none in a shallow hole', () => {
    expect(peckFor(6, 20)! / 6).toBeGreaterThanOrEqual(1);
    expect(peckFor(6, 20)! / 6).toBeLessThanOrEqual(2);
    expect(peckFor(6, 8)).toBeNull();
  });
});

describe('how a round cut is made', () => {
  const cut = (diameter: number, floor = true) => ({
    at: [0, 0] as const,
    diameter,
    top: 18,
    bottom: 6,
    floor,
  });
  const kind = (...args: Parameters<typeof roundMethod>): string => {
    const method = roundMethod(...args);
    return typeof method === 'string' ? method : method.kind;
  };
  test('a cutter of the hole’s size plunges, if it can', () => {
    expect(kind(cut(6), upcut, RAMP)).toBe('drill');
    expect(kind(cut(8, false), drill, RAMP)).toBe('drill');
    expect(kind(cut(8), straight, RAMP)).toMatch(/cannot plunge/);
    expect(kind(cut(8), drill, RAMP)).toMatch(/point/);
  });
  test('wider: a helix; wider than two diameters: cleared, or a post would stay', () => {
    expect(kind(cut(11), upcut, RAMP)).toBe('helix');
    expect(kind(cut(12.5), upcut, RAMP)).toBe('clear');
    expect(kind(cut(26), upcut, RAMP)).toBe('clear');
  });
  test('too narrow for the cutter, or for a cutter that must ramp', () => {
    expect(kind(cut(5), upcut, RAMP)).toMatch(/wider than the hole/);
    expect(kind(cut(8.5), straight, RAMP)).toMatch(/cannot plunge/);
    expect(kind(cut(9), drill, RAMP)).toMatch(/is a drill/);
  });
  test('a hole hardly wider than the cutter is plunged and gone round, not rubbed in three hundred turns', () => {
    expect(kind(cut(6.4, false), upcut, RAMP)).toBe('lap');
  });
});

/** Radii that the cutter's centre goes round in full at a height, from the moves alone. */
function lapsAt(moves: readonly Move[], z: number): number[] {
  const radii: number[] = [];
  let at: readonly [number, number, number] = [0, 0, 0];
  for (const move of moves) {
    if (move.kind === 'arc') {
      const r = Math.hypot(at[0] - move.cx, at[1] - move.cy);
      if (at[2] === z && move.z === z && move.x === at[0] && move.y === at[1]) radii.push(r);
      at = [move.x, move.y, move.z];
    } else if (move.kind === 'feed') at = [move.x, move.y, move.z];
    else if (move.kind === 'rapid-xy') at = [move.x, move.y, at[2]];
    else if (move.kind === 'rapid-z') at = [at[0], at[1], move.z];
    else if (move.kind === 'drill') {
      if (move.bottom === z) radii.push(0);
      at = [move.x, move.y, move.link];
    }
  }
  return radii;
}

test('floor flat and no post: the laps at the floor cover the whole disc, and nothing outside it', () => {
  fc.assert(
    fc.property(
      fc.double({ min: 6.5, max: 60, noNaN: true }),
      fc.double({ min: 1, max: 20, noNaN: true }),
      fc.boolean(),
      (diameter, depth, helices) => {
        const cut = { at: [100, 200] as const, diameter, top: 20, bottom: 20 - depth, floor: true };
        const method = roundMethod(cut, upcut, RAMP, helices);
        if (typeof method === 'string') throw new Error(method);
        const writer = new MotionWriter({ clear: 40, floor: -1, stock: 20 });
        const cutting = cuttingFor(upcut, 'mdf', { width: 6, depth: 6 }, machineOf(), HOUSE);
        cutRound(writer, cut, method, upcut, cutting);
        const moves = writer.finish();
        const bottom = Math.round((20 - depth) * 1e4) / 1e4;
        const laps = [...lapsAt(moves, bottom), ...(method.kind === 'lap' ? [0] : [])].sort((a, b) => a - b);
        // Every ring [r − R, r + R] must meet the next, the first must reach the middle, the last the wall.
        let covered = 0;
        for (const r of laps) {
          expect(Math.max(0, r - 3)).toBeLessThanOrEqual(covered + 1e-3);
          covered = Math.max(covered, r + 3);
        }
        expect(covered).toBeCloseTo(diameter / 2, 3);
        // Vertical part of every helix no faster than the plunge feed.
        let z = 40;
        for (const move of moves) {
          if (move.kind !== 'arc') {
            if ('z' in move) z = move.z;
            continue;
          }
          const r = Math.hypot(move.x - move.cx, move.y - move.cy);
          const drop = z - move.z;
          const length = Math.hypot(2 * Math.PI * r, drop);
          expect((move.feed * drop) / length).toBeLessThanOrEqual(cutting.plungeFeed + 1e-6);
          expect(Math.atan2(drop, 2 * Math.PI * r)).toBeLessThanOrEqual(RAMP + 1e-3);
          z = move.z;
        }
      },
    ),
    { numRuns: 200, seed: 23 },
  );
});

describe('how deep a clearance hole goes', () => {
  const base = { refitSkin: 1, deepest: 2.5, holeDiameter: 7, point: 0 } as const;
  const bored = { diameter: 10, depth: 15 };
  test('refit stops the skin above the bed, bored or not', () => {
    expect(holeBottom({ ...base, form: 'refit', bored })).toBe(1);
    expect(holeBottom({ ...base, form: 'refit', bored: null })).toBe(1);
  });
  test('first fit ends on the bed surface, and below it only over a bore wide enough', () => {
    expect(holeBottom({ ...base, form: 'first-fit', bored: null })).toBe(0);
    expect(holeBottom({ ...base, form: 'first-fit', bored: { diameter: 6, depth: 15 } })).toBe(0);
    expect(holeBottom({ ...base, form: 'first-fit', bored })).toBe(-0.5);
  });
  test('a point is taken into account, and the deepest cut holds for its tip', () => {
    expect(holeBottom({ ...base, form: 'first-fit', bored, point: 1.8 })).toBeCloseTo(-2.3, 12);
    expect(holeBottom({ ...base, form: 'first-fit', bored, point: 5 })).toBe(-2.5);
    expect(holeBottom({ ...base, form: 'first-fit', bored: { diameter: 10, depth: 1 }, point: 5 })).toBe(-1);
  });
  test('where nothing is left of the cut limit the hole ends above the bed by what is missing', () => {
    expect(holeBottom({ ...base, deepest: -0.1, form: 'first-fit', bored: null })).toBe(0.1);
    expect(holeBottom({ ...base, deepest: -0.1, form: 'first-fit', bored })).toBe(0.1);
    expect(holeBottom({ ...base, deepest: 0, form: 'first-fit', bored })).toBe(0);
  });
});

test('a spot is no wider than the bore and no deeper than the limit', () => {
  const vee = CUTTERS.get('vee-90')!;
  // 90°: as deep as its radius
  expect(spotDepth(vee, 3, 2.5)).toBeCloseTo(1.5, 12);
  expect(spotDepth(vee, 10, 2.5)).toBe(2.5);
  expect(spotDepth(upcut, 10, 2.5)).toBe(2.5);
});

describe('the writer refuses what no program may contain', () => {
  const writer = (): MotionWriter => new MotionWriter({ clear: 30, floor: -2.5, stock: 18 });
  test('a rapid down past the stock', () => {
    const w = writer();
    w.over(0, 0);
    expect(() => w.lower(17)).toThrow(/stock/);
  });
  test('a cut below the floor', () => {
    const w = writer();
    w.over(0, 0);
    expect(() => w.feed(0, 0, -2.6, 100)).toThrow(/lowest allowed/);
    expect(() => w.drill({ at: [0, 0], above: 20, bottom: -3, peck: null, feed: 100 })).toThrow(
      /lowest allowed/,
    );
  });
  test('a cut before the place is known, a stop or a restart down in the work', () => {
    expect(() => writer().feed(0, 0, 0, 100)).toThrow(/known place/);
    const w = writer();
    w.over(0, 0);
    w.lower(18);
    expect(() => w.stop('x')).toThrow(/clear height/);
    w.running(9000, []);
    expect(() => w.restart('x')).toThrow(/clear height/);
  });
  test('numbers that are none', () => {
    expect(() => writer().over(Number.NaN, 0)).toThrow(RangeError);
    const w = writer();
    w.over(0, 0);
    expect(() => w.feed(1, 1, 1, 0)).toThrow(/feed/);
  });
  test('a rapid across lifts first', () => {
    const w = writer();
    w.over(0, 0);
    w.lower(18);
    w.over(5, 5);
    expect(w.moves.map((m) => m.kind)).toEqual(['rapid-xy', 'rapid-z', 'rapid-z', 'rapid-xy']);
  });
});
