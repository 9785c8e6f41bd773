import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import type { Move } from '../motion/program.ts';
import { machineOf, recordOf } from '../testing/records.ts';
import { timeCorrection } from './correction.ts';
import { dayNumber } from './days.ts';
import { cornerSpeed, motionTime, restToRest, segmentTime } from './motion-time.ts';

describe('closed forms', () => {
  test('300 mm, 450 mm/s, 1350 mm/s²: 1.000 s (published rule v = 1.5 d/t)', () => {
    expect(restToRest(300, 450, 1350)).toBeCloseTo(1, 9);
  });
  test('2438.4 mm, 10 m/min, 500 mm/s²: 14.9637 s (derived)', () => {
    expect(restToRest(2438.4, 10_000 / 60, 500)).toBeCloseTo(14.9637, 4);
  });
  test('90°, 0.01 mm, 500 mm/s²: 3.474 mm/s (derived)', () => {
    expect(cornerSpeed(0, 0.01, 500)).toBeCloseTo(3.474, 3);
  });
  test('a reversal stops, a straight run does not', () => {
    expect(cornerSpeed(-1, 0.05, 500)).toBe(0);
    expect(cornerSpeed(1, 0.05, 500)).toBe(Number.POSITIVE_INFINITY);
  });
  test('short moves never reach the feed: 2·√(d/a) (derived)', () => {
    expect(restToRest(1, 100, 100)).toBeCloseTo(0.2, 12);
    expect(segmentTime(1, 0, 0, 100, 100)).toBeCloseTo(0.2, 12);
  });
});

const machine = machineOf({ motion: { ...machineOf().motion, corner: { mode: 'exact-stop' } } });
const START = { clear: 30, spinUp: 6, park: [0, 0] as const };
const feed = (x: number, y: number, z = 0, f = 6000): Move => ({ kind: 'feed', x, y, z, feed: f });

describe('programs', () => {
  test('a move cut in two straight pieces takes as long as in one', () => {
    const at: Move[] = [{ kind: 'rapid-z', z: 0 }];
    const one = motionTime([...at, feed(500, 0)], machine, START, 0);
    const two = motionTime([...at, feed(123, 0), feed(500, 0)], machineOf(), START, 0);
    expect(two.cutting).toBeCloseTo(one.cutting, 9);
    expect(one.cutting).toBeCloseTo(restToRest(500, 100, 900), 9);
  });

  test('exact stop: a square is four times rest to rest', () => {
    const square = [feed(100, 0), feed(100, 100), feed(0, 100), feed(0, 0)];
    const time = motionTime([{ kind: 'rapid-z', z: 0 }, ...square], machine, START, 0);
    expect(time.cutting).toBeCloseTo(4 * restToRest(100, 100, 900), 9);
  });

  test('a full circle of large radius takes as long as a straight line of its length', () => {
    const arc: Move = { kind: 'arc', clockwise: false, x: 0, y: 0, z: 0, cx: 500, cy: 0, feed: 6000 };
    const time = motionTime([{ kind: 'rapid-z', z: 0 }, arc], machine, START, 0);
    expect(time.cutting).toBeCloseTo(restToRest(2 * Math.PI * 500, 100, 900), 6);
  });

  test('a small circle is held back by a = v²/r', () => {
    const arc: Move = { kind: 'arc', clockwise: true, x: 0, y: 0, z: 0, cx: 1, cy: 0, feed: 6000 };
    const time = motionTime([{ kind: 'rapid-z', z: 0 }, arc], machine, START, 0);
    expect(time.cutting).toBeCloseTo(restToRest(2 * Math.PI, Math.sqrt(900), 900), 6);
  });

  test('a controller without arcs runs chords: n exact stops instead of one run', () => {
    const controller = machine.controller;
    const m = machineOf({
      motion: machine.motion,
      controller: { ...controller, arcs: { ...controller.arcs, form: 'none', chord: 0.01 } },
    });
    const arc: Move = { kind: 'arc', clockwise: false, x: 0, y: 0, z: 0, cx: 10, cy: 0, feed: 6000 };
    const time = motionTime([{ kind: 'rapid-z', z: 0 }, arc], m, START, 0);
    // Sagitta within 0.01 less one and a half steps of 0.001: half angle acos(1 − 0.0085/10) (derived)
    const n = Math.ceil(Math.PI / Math.acos(1 - 0.0085 / 10));
    expect(time.cutting).toBeCloseTo(n * restToRest(2 * 10 * Math.sin(Math.PI / n), 100, 900), 3);
  });

  test('rapids: each axis on its own limits, the slowest rules', () => {
    const m = machineOf({ motion: { ...machine.motion, rapid: { x: 12_000, y: 6000, z: 3000 } } });
    const time = motionTime([{ kind: 'rapid-xy', x: 400, y: 300 }], m, { ...START, park: [400, 300] }, 0);
    expect(time.rapids).toBe(0);
    const away = motionTime([{ kind: 'rapid-xy', x: 400, y: 300 }], m, START, 0);
    expect(away.rapids).toBeCloseTo(2 * Math.max(restToRest(400, 200, 900), restToRest(300, 100, 900)), 9);
  });

  test('Z feeds at most at its own limit', () => {
    const down = motionTime([feed(0, 0, 10, 12_000)], machine, START, 0);
    expect(down.cutting).toBeCloseTo(restToRest(20, 4000 / 60, 450), 9);
  });

  test('pecks retract in full: each one adds two rapids', () => {
    const drill = (peck: number | null): Move => ({
      kind: 'drill',
      x: 0,
      y: 0,
      link: 30,
      above: 20,
      bottom: 2,
      peck,
      feed: 1000,
    });
    const whole = motionTime([drill(null)], machine, START, 0);
    const pecked = motionTime([drill(9)], machine, START, 0);
    expect(whole.cutting).toBeCloseTo(restToRest(18, 1000 / 60, 450), 9);
    expect(pecked.rapids).toBeGreaterThan(whole.rapids);
    expect(pecked.total).toBeGreaterThan(whole.total);
  });

  test('spin-up, dwell and stops are items of their own', () => {
    const moves: Move[] = [
      { kind: 'spindle', rpm: 9000 },
      { kind: 'dwell', seconds: 2 },
      { kind: 'stop', message: '', optional: false },
    ];
    const time = motionTime(moves, machine, START, 30);
    expect([time.spinUp, time.dwell, time.stops, time.cutting]).toEqual([6, 2, 30, 0]);
    expect(time.total).toBe(38);
  });
});

/** Independent of the planner: speed over the path on a fine grid of places, limits passed forwards and backwards. */
function byGrid(
  points: readonly (readonly [number, number])[],
  speed: number,
  a: number,
  tolerance: number,
): number {
  const ds = 0.01;
  const v2: number[] = [0];
  for (let i = 1; i < points.length; i += 1) {
    const [p, q] = [points[i - 1]!, points[i]!];
    const length = Math.hypot(q[0] - p[0], q[1] - p[1]);
    const n = Math.max(1, Math.round(length / ds));
    for (let k = 1; k <= n; k += 1) v2.push(speed * speed);
    const r = points[i + 1];
    if (r) {
      const m = Math.hypot(r[0] - q[0], r[1] - q[1]);
      const cos = ((q[0] - p[0]) * (r[0] - q[0]) + (q[1] - p[1]) * (r[1] - q[1])) / (length * m);
      const inside = Math.PI - Math.acos(Math.max(-1, Math.min(1, cos)));
      const s = Math.sin(inside / 2);
      v2[v2.length - 1] = Math.min(speed * speed, (a * tolerance * s) / Math.max(1e-12, 1 - s));
    } else v2[v2.length - 1] = 0;
  }
  for (let i = 1; i < v2.length; i += 1) v2[i] = Math.min(v2[i]!, v2[i - 1]! + 2 * a * ds);
  for (let i = v2.length - 2; i >= 0; i -= 1) v2[i] = Math.min(v2[i]!, v2[i + 1]! + 2 * a * ds);
  let t = 0;
  for (let i = 1; i < v2.length; i += 1) t += (2 * ds) / (Math.sqrt(v2[i]!) + Math.sqrt(v2[i - 1]!));
  return t;
}

test('look-ahead agrees with a fine integration over the path', () => {
  fc.assert(
    fc.property(
      fc.array(fc.tuple(fc.integer({ min: 0, max: 60 }), fc.integer({ min: 0, max: 60 })), {
        minLength: 1,
        maxLength: 6,
      }),
      fc.integer({ min: 5, max: 120 }),
      fc.double({ min: 0.01, max: 0.2, noNaN: true }),
      (raw, speed, tolerance) => {
        const points: (readonly [number, number])[] = [[0, 0]];
        for (const p of raw) {
          const last = points.at(-1)!;
          if (p[0] !== last[0] || p[1] !== last[1]) points.push(p);
        }
        if (points.length < 2) return;
        const m = machineOf({ motion: { ...machine.motion, corner: { mode: 'tolerance', tolerance } } });
        const moves: Move[] = [
          { kind: 'rapid-z', z: 0 },
          ...points.slice(1).map((p) => feed(p[0], p[1], 0, speed * 60)),
        ];
        const { cutting } = motionTime(moves, m, START, 0);
        const grid = byGrid(points, speed, 900, tolerance);
        expect(Math.abs(cutting - grid) / grid).toBeLessThan(0.02);
        const length = points
          .slice(1)
          .reduce((sum, p, i) => sum + Math.hypot(p[0] - points[i]![0], p[1] - points[i]![1]), 0);
        expect(cutting).toBeGreaterThanOrEqual(length / speed);
      },
    ),
    { numRuns: 60, seed: 11 },
  );
});

describe('what the machine’s own clock teaches', () => {
  const time = (operation: string, minutes: number, predicted: number) =>
    ({ fact: 'time', date: '2026-02-01', operation, minutes, predicted }) as const;
  test('nothing recorded: factor 1', () => {
    expect(timeCorrection({ facts: [] }, 'surface')).toEqual({ factor: 1, records: 0 });
  });
  test('the median of the operation, so that one interrupted run does no harm', () => {
    const { ledger } = recordOf(machineOf(), [
      time('surface', 12, 10),
      time('surface', 60, 10),
      time('surface', 11, 10),
    ]);
    expect(timeCorrection(ledger, 'surface')).toEqual({ factor: 1.2, records: 3 });
    // What was timed is corrected, nothing else.
    expect(timeCorrection(ledger, 'trim')).toEqual({ factor: 1, records: 0 });
  });
});

test('day numbers: against the calendar of the platform', () => {
  for (const date of ['1970-01-01', '2000-02-29', '2026-03-14', '1999-12-31', '2100-03-01']) {
    expect(dayNumber(date)).toBe(Date.parse(`${date}T00:00:00Z`) / 86_400_000);
  }
  expect(() => dayNumber('14.3.2026')).toThrow(RangeError);
});
