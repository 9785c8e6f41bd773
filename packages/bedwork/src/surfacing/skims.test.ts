import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { MotionWriter } from '../motion/motion-writer.ts';
import { dustFrom } from './dust.ts';
import type { Piece } from './path.ts';
import { triangleOverrun, unreachableStrip } from './path.ts';
import { planeAt, planeUnder } from './plane-under.ts';
import { planRemoval } from './removal.ts';
import { tiltFromRidge, tramMarks } from './tram.ts';
import { writeSurface } from './write-surface.ts';

const RULES = { margin: 0.1, depthPerPass: 0.5, maxTilt: 0, centre: [600, 1200] as const };

describe('removal', () => {
  test('+0.42/−0.31, margin 0.10, a_p 0.5: 0.83 mm in 2 passes of 0.415 (derived)', () => {
    const points = [
      [0, 0, 18],
      [100, 0, 18.42],
      [0, 100, 17.69],
    ] as const;
    const removal = planRemoval(
      { kind: 'map', file: 'h.csv', points, interpolationError: 0, unmeasured: [] },
      RULES,
    );
    expect(removal.target).toEqual({ a: expect.closeTo(17.59, 9), b: 0, c: 0 });
    expect(removal.most).toBeCloseTo(0.83, 9);
    expect(removal.passes).toBe(2);
    expect(removal.perPass).toBeCloseTo(0.415, 9);
  });

  test('interpolation error adds to the margin', () => {
    const points = [[0, 0, 18]] as const;
    const removal = planRemoval(
      { kind: 'map', file: 'h.csv', points, interpolationError: 0.04, unmeasured: [] },
      RULES,
    );
    expect(removal.margin).toBeCloseTo(0.14, 12);
    expect(removal.target.a).toBeCloseTo(17.86, 12);
  });

  test('a stated depth goes below the thinnest place, and the first pass still meets the thickest', () => {
    const removal = planRemoval({ kind: 'stated', highest: 18.2, lowest: 17.9, depth: 0.4 }, RULES);
    expect(removal.target.a).toBeCloseTo(17.5, 12);
    expect(removal.most).toBeCloseTo(0.7, 12);
    expect(removal.passes).toBe(2);
  });

  test('exactly one pass deep is one pass', () => {
    expect(planRemoval({ kind: 'stated', highest: 18, lowest: 18, depth: 0.5 }, RULES).passes).toBe(1);
  });

  test('wrong figures are refused', () => {
    expect(() => planRemoval({ kind: 'stated', highest: 18, lowest: 18, depth: 0 }, RULES)).toThrow(
      RangeError,
    );
    expect(() =>
      planRemoval({ kind: 'map', file: 'h', points: [], interpolationError: 0, unmeasured: [] }, RULES),
    ).toThrow(RangeError);
  });
});

describe('the highest plane below a set of heights', () => {
  const heights = fc.array(
    fc.tuple(
      fc.integer({ min: 0, max: 1200 }),
      fc.integer({ min: 0, max: 2400 }),
      fc.double({ min: 17, max: 18, noNaN: true }),
    ),
    { minLength: 1, maxLength: 12 },
  );

  test('a tilted board within the limit is followed exactly', () => {
    const plane = { a: 17, b: 2e-4, c: -1e-4 };
    const points = [0, 300, 1200].flatMap((x) =>
      [0, 1200, 2400].map((y) => [x, y, planeAt(plane, x, y)] as const),
    );
    const found = planeUnder(points, 5e-4, [600, 1200]);
    expect(found.a).toBeCloseTo(plane.a, 9);
    expect(found.b).toBeCloseTo(plane.b, 12);
    expect(found.c).toBeCloseTo(plane.c, 12);
  });

  test('never above a height, never steeper than allowed, never lower than level', () => {
    fc.assert(
      fc.property(heights, fc.double({ min: 0, max: 1e-3, noNaN: true }), (points, tilt) => {
        const plane = planeUnder(points, tilt, [600, 1200]);
        for (const [x, y, z] of points) expect(planeAt(plane, x, y)).toBeLessThanOrEqual(z + 1e-9);
        expect(Math.hypot(plane.b, plane.c)).toBeLessThanOrEqual(Math.tan(tilt) + 1e-12);
        const level = Math.min(...points.map((p) => p[2]));
        expect(planeAt(plane, 600, 1200)).toBeGreaterThanOrEqual(level - 1e-9);
      }),
      { numRuns: 200, seed: 3 },
    );
  });

  test('no plane of a fine search of slopes is higher by more than the polygon’s share of the disc', () => {
    fc.assert(
      fc.property(heights, (points) => {
        const tilt = 5e-4;
        const found = planeAt(planeUnder(points, tilt, [600, 1200]), 600, 1200);
        // The sixteen-sided slope limit is inscribed: a search inside it cannot do better.
        const inner = Math.tan(tilt) * Math.cos(Math.PI / 16);
        for (let i = 0; i < 36; i += 1) {
          for (const share of [0, 0.25, 0.5, 0.75, 1]) {
            const b = inner * share * Math.cos((i * Math.PI) / 18);
            const c = inner * share * Math.sin((i * Math.PI) / 18);
            const h = Math.min(...points.map(([x, y, z]) => z - b * (x - 600) - c * (y - 1200)));
            expect(found).toBeGreaterThanOrEqual(h - 1e-9);
          }
        }
      }),
      { numRuns: 100, seed: 5 },
    );
  });
});

describe('edges', () => {
  test('D 50.8, s 25.4: the rim must overrun by 3.403 mm (derived)', () => {
    expect(triangleOverrun(25.4, 25.4)).toBeCloseTo(3.403, 3);
  });
  test('unreachable strip: the edge beyond travel limit and rim', () => {
    expect(unreachableStrip(60, 31.5)).toBeCloseTo(28.5, 12);
    expect(unreachableStrip(20, 31.5)).toBe(0);
  });
});

describe('a leaning spindle', () => {
  const lean = Math.atan(0.05 / 200);
  test('0.05 over 200, s 25.4, D 50.8: step 0.00635, hollow 0.000851 (derived)', () => {
    const marks = tramMarks(50.8, 25.4, lean, lean);
    expect(marks.step).toBeCloseTo(0.00635, 5);
    // The short form ψ·s²/(4D) would give 0.000794.
    expect(marks.cusp).toBeCloseTo(0.000851, 6);
  });
  test('the floor lies (D/2)·tan φ below the command', () => {
    expect(tramMarks(50.8, 25.4, lean, 0).drop).toBeCloseTo((50.8 / 2) * (0.05 / 200), 12);
  });
  test('a lean along the rows lowers the floor as well: 25 mm × √(0.0003² + 0.0004²) = 0.0125 mm (closed form)', () => {
    const [a, b] = [Math.atan(0.0003), Math.atan(0.0004)];
    expect(tramMarks(50, 20, a, b).drop).toBeCloseTo(0.0125, 12);
    expect(tramMarks(50, 20, 0, b).drop).toBeCloseTo(0.01, 12);
    expect(tramMarks(50, 20, 0, 0).drop).toBe(0);
  });
  test('a single row has no step and no hollow, but its floor lies low all the same', () => {
    expect(tramMarks(50, 0, Math.atan(0.0003), Math.atan(0.0004))).toMatchObject({ step: 0, cusp: 0 });
    expect(tramMarks(50, 0, Math.atan(0.0003), Math.atan(0.0004)).drop).toBeCloseTo(0.0125, 12);
  });
  test('the drop is the lowest point of a rim turned about both axes (derived)', () => {
    const microradians = fc.integer({ min: -10_000, max: 10_000 });
    fc.assert(
      fc.property(microradians, microradians, (a, b) => {
        // The rim of the tilted disc, point by point: in direction t its plane rises p·cos t + q·sin t.
        const [p, q] = [Math.tan(a * 1e-6), Math.tan(b * 1e-6)];
        let lowest = 0;
        for (let k = 0; k < 3600; k++) {
          const rise = p * Math.cos((Math.PI * k) / 1800) + q * Math.sin((Math.PI * k) / 1800);
          lowest = Math.min(lowest, (25 * rise) / Math.sqrt(1 + rise * rise));
        }
        // Tangent against sine, and 0.05° between two points: below 25 mm × 1.5e-6 at this lean.
        const { drop } = tramMarks(50, 20, a * 1e-6, b * 1e-6);
        expect(drop + lowest).toBeGreaterThanOrEqual(-1e-12);
        expect(drop + lowest).toBeLessThanOrEqual(4e-5);
      }),
      { seed: 11 },
    );
  });
  test('45 mm of stepover at 1 mrad: a step of 0.045 mm; r 25: a hollow of 0.0141 mm (derived)', () => {
    const marks = tramMarks(50, 45, 0.001, 0.001);
    expect(marks.step).toBeCloseTo(0.045, 6);
    expect(marks.cusp).toBeCloseTo(0.0141, 4);
  });
  test('a ridge gives the lean back', () => {
    const back = tiltFromRidge(tramMarks(50.8, 25.4, lean, 0).step, 25.4, 'x', 'far', 200);
    expect(back.tilt).toBeCloseTo(lean, 9);
    expect(back.shim).toBeCloseTo(0.05, 9);
  });
  test('which rim is low: against a model of two rows (derived)', () => {
    // Floor of one row at y: −(y − v)·slope; the lower of two neighbouring rows stands.
    for (const [slope, side] of [
      [0.001, 'the +Y side'],
      [-0.001, 'the −Y side'],
    ] as const) {
      const floor = (y: number): number =>
        Math.min(...[0, 20].filter((v) => Math.abs(y - v) <= 25).map((v) => -(y - v) * slope));
      let step = 0;
      for (let y = -20; y < 44; y += 0.01) {
        const jump = floor(y + 0.01) - floor(y);
        if (Math.abs(jump) > Math.abs(step)) step = jump;
      }
      expect(tiltFromRidge(Math.abs(step), 20, 'x', step > 0 ? 'far' : 'near', 200).lowSide).toBe(side);
    }
  });
});

test('dust: 1220 × 2440, 0.5 mm, 680 kg/m³: 1.488 l, 1.012 kg (derived)', () => {
  const { volume, mass } = dustFrom(1220 * 2440, 0.5, 680);
  expect(volume / 1e6).toBeCloseTo(1.4884, 4);
  expect(mass).toBeCloseTo(1.0121, 4);
});

test('one-way rows start the spindle once a stretch, not once a row, and every pass begins where one may start again', () => {
  const writer = new MotionWriter({ clear: 40, floor: 0, stock: 18 });
  writer.running(12_000, []);
  const row = (y: number): Piece => ({
    title: `row at ${y}`,
    points: [
      [0, y],
      [1000, y],
    ],
  });
  writeSurface(writer, {
    pieces: [0, 30, 60, 90, 120].map(row),
    target: { a: 17.6, b: 0, c: 0 },
    above: [0.2, 0],
    top: 18,
    every: 2000,
    feed: 5000,
    plungeFeed: 1000,
    ramp: 0.02,
    outside: ([x, y]) => [x - 40, y],
  });
  const starts = writer.finish().flatMap((m) => (m.kind === 'section' && m.restart ? [m.title] : []));
  // Derived: rows of 1000 mm, a start after every 2000 mm at depth: rows 1, 3, 5 of both passes.
  expect(starts).toEqual([1, 2].flatMap((pass) => [0, 60, 120].map((y) => `pass ${pass} row at ${y}`)));
});
