import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { MotionWriter } from '../motion/motion-writer.ts';
import type { Move } from '../motion/program.ts';
import { CUTTERS } from '../testing/records.ts';
import { chamferDepth, cutRim, type Rim, type RimPath, rimPath } from './rim-cut.ts';

const VEE = CUTTERS.get('vee-90')!;
const radians = (degrees: number): number => (degrees * Math.PI) / 180;
const rim = (over: Partial<Rim> = {}): Rim => ({
  at: [100, 200],
  radius: 8,
  top: 18,
  floor: 5,
  width: 0.8,
  ...over,
});
const path = (r: Rim, cutter = VEE): RimPath => {
  const made = rimPath(r, cutter, 'mm');
  if (typeof made === 'string') throw new Error(made);
  return made;
};

describe('the cone and the rim (closed form: width = depth · tan of half the angle)', () => {
  test.each([
    // 45°: as deep as wide; 30°: 1/tan 30° = √3 times as deep; 60°: 1/√3 times
    [90, 0.8, 0.8],
    [60, 0.8, 0.8 * Math.sqrt(3)],
    [120, 0.9, 0.9 / Math.sqrt(3)],
  ])('a cone of %d° cuts a chamfer of %d mm to a depth of %d mm', (angle, width, depth) => {
    expect(chamferDepth(width, angle)).toBeCloseTo(depth, 12);
  });

  test('the flank meets the top at radius + width and the wall at the depth of the chamfer', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 4, max: 20, noNaN: true }),
        fc.double({ min: 0.2, max: 2, noNaN: true }),
        fc.constantFrom(60, 90, 120),
        fc.double({ min: 12, max: 25, noNaN: true }),
        fc.double({ min: 8, max: 32, noNaN: true }),
        (radius, width, pointAngle, top, diameter) => {
          const cutter = { ...VEE, pointAngle, diameter };
          const one = rim({ radius, width, top });
          const made = rimPath(one, cutter, 'mm');
          if (typeof made === 'string') return;
          const tan = Math.tan(radians(pointAngle / 2));
          // Height of the cone's flank at a distance from the pocket's axis, on the side of the tip.
          const flank = (r: number): number => made.tip + (r - made.radius) / tan;
          expect(flank(radius + width)).toBeCloseTo(top, 9);
          expect(flank(radius)).toBeCloseTo(top - width / tan, 9);
          expect(made.depth).toBeCloseTo(width / tan, 9);
          // The flank is there: the cone is no wider than the cutter where it leaves the board.
          expect(radius + width - made.radius).toBeLessThanOrEqual(diameter / 2);
          // The tip is inside the pocket, above its floor, and on its own side of the axis.
          expect(made.radius).toBeLessThanOrEqual(radius - 0.5);
          expect(made.radius).toBeGreaterThanOrEqual(radius / 2 - 1e-9);
          expect(made.tip).toBeGreaterThanOrEqual(one.floor + 1 - 1e-9);
          // Opposite, the cone leaves the rim as it is: there it reaches less far from the axis.
          expect((top - made.tip) * tan - made.radius).toBeLessThan(radius);
        },
      ),
      { seed: 20261125, numRuns: 500 },
    );
  });

  test('a wide deep pocket is cut in the middle of the flank', () => {
    // radius 6 less 0.8, halved: the tip runs 2.6 inside the wall, 3.4 below the top; in the middle the cone is 6 across
    expect(path(rim({ radius: 14 }))).toMatchObject({ radius: 11.4, across: 6 });
    expect(path(rim({ radius: 14 })).tip).toBeCloseTo(18 - 3.4, 12);
  });

  test('a shallow pocket is cut nearer to the tip, 1 mm above its floor', () => {
    const shallow = path(rim({ floor: 14.5 }));
    expect(shallow.tip).toBeCloseTo(15.5, 12);
    expect(shallow.radius).toBeCloseTo(8 - (2.5 - 0.8), 12);
  });

  test('a narrow pocket keeps half of its radius for the circle of the tip', () => {
    expect(path(rim({ radius: 4 })).radius).toBeCloseTo(2, 12);
  });
});

describe('why a cone cannot cut a rim', () => {
  test.each([
    ['no cone', rim(), CUTTERS.get('upcut-6')!, 'cutter upcut-6 has no cone: name a pointed cutter'],
    [
      'too narrow a flank',
      rim({ width: 5.2 }),
      VEE,
      'the flank of cutter vee-90 is 6.00 mm wide, too narrow for a rim break of 5.20 mm',
    ],
    [
      'too deep for the pocket',
      rim({ floor: 16.5 }),
      VEE,
      'a rim break of 0.80 mm is 0.80 mm deep with cutter vee-90, more than half of a pocket of 1.50 mm',
    ],
    [
      'no room under the tip',
      rim({ floor: 15.8 }),
      VEE,
      'the tip of cutter vee-90 would come within 1.00 mm of the floor of a pocket of 2.20 mm',
    ],
  ])('%s', (_, one, cutter, sentence) => {
    expect(rimPath(one, cutter, 'mm')).toBe(sentence);
  });
  test('the last pocket that it can cut: half a millimetre of the tip inside the wall', () => {
    // 0.5 + 0.8 below the top, 1 above the floor
    expect(typeof rimPath(rim({ floor: 18 - 2.31 }), VEE, 'mm')).toBe('object');
    expect(typeof rimPath(rim({ floor: 18 - 2.29 }), VEE, 'mm')).toBe('string');
  });
});

describe('the path', () => {
  const writer = new MotionWriter({ clear: 40, floor: 14.6, stock: 18.05 });
  const one = rim({ radius: 14 });
  cutRim(writer, one, path(one), { down: 500, round: 1000 });
  const moves = writer.finish();

  test('over the middle, down, half a circle out, once round, half a circle back, up', () => {
    expect(moves.map((move) => move.kind)).toEqual([
      'rapid-xy',
      'rapid-z',
      'feed',
      'arc',
      'arc',
      'arc',
      'rapid-z',
    ]);
    expect(moves[0]).toMatchObject({ x: 100, y: 200 });
    expect(moves[1]).toMatchObject({ z: 20.05 });
    expect(moves[2]).toMatchObject({ x: 100, y: 200, z: 14.6, feed: 500 });
    const arcs = moves.filter((move): move is Extract<Move, { kind: 'arc' }> => move.kind === 'arc');
    for (const arc of arcs) expect(arc).toMatchObject({ clockwise: false, z: 14.6, feed: 1000 });
    expect(arcs.map(({ x, y, cx, cy }) => [x, y, cx, cy])).toEqual([
      [111.4, 200, 105.7, 200],
      [111.4, 200, 100, 200],
      [100, 200, 105.7, 200],
    ]);
  });
});
