import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { BEDWORK_RULES } from '../rules/index.ts';
import { CUTTERS, HOUSE, machineOf } from '../testing/records.ts';
import { cuttingFor, cuttingPower, depthShare, feedRate, thinningFactor } from './cutting.ts';
import { rimSpeed, speedCap } from './speed-limits.ts';

const machine = machineOf();
const upcut = CUTTERS.get('upcut-6')!;
const flattener = CUTTERS.get('flattener-63')!;

describe('figures', () => {
  test('18 000 rpm, 2 flutes, 0.1 mm a tooth: 3600 mm/min (published example)', () => {
    expect(feedRate(18_000, 2, 0.1)).toBe(3600);
  });

  test('2.5 in at 16 000 rpm: rim 10 472 ft/min (derived; a chart prints 10 470)', () => {
    const feetPerMinute = (rimSpeed(2.5 * 25.4, 16_000) * 60) / 0.3048;
    expect(Math.round(feetPerMinute)).toBe(10_472);
  });

  test.each([
    // published chart: greatest rpm up to 1 in, 1–1¼, 1¼–2¼, 2¼–3½ in
    [0.25, 24_000],
    [1, 24_000],
    [1.001, 18_000],
    [1.25, 18_000],
    [1.5, 16_000],
    [2.25, 16_000],
    [2.5, 12_000],
    [3.5, 12_000],
  ])('a cutter of %d in turns at most %d rpm (published chart)', (inches, rpm) => {
    expect(speedCap(inches * 25.4, null)).toEqual({ rpm, by: 'diameter-chart' });
  });

  test('above the chart the rim speed of its last row is kept', () => {
    const { rpm, by } = speedCap(4 * 25.4, null);
    expect(by).toBe('rim-speed');
    expect(rimSpeed(4 * 25.4, rpm)).toBeLessThanOrEqual(rimSpeed(3.5 * 25.4, 12_000));
    expect(rpm).toBe(10_500);
  });

  test('the number marked on the cutter always wins (EN 847-1)', () => {
    expect(speedCap(6, 9000).rpm).toBe(9000);
    expect(speedCap(63, 16_000)).toEqual({ rpm: 16_000, by: 'cutter-mark' });
  });

  test('40 wide, 0.5 deep, 8000 mm/min, 35 N/mm²: 93.3 W (derived)', () => {
    expect(cuttingPower(35, (40 * 0.5 * 8000) / 60)).toBeCloseTo(93.333, 3);
  });

  test('chip thinning: greatest chip = f_z·sin φ, cos φ = 1 − 2·a_e/D (derived)', () => {
    for (const width of [0.1, 0.5, 1, 2.9]) {
      const cosine = 1 - (2 * width) / 6;
      expect(thinningFactor(6, width)).toBeCloseTo(1 / Math.sqrt(1 - cosine * cosine), 9);
    }
    expect(thinningFactor(6, 3)).toBe(1);
    expect(thinningFactor(6, 6)).toBe(1);
  });

  test('depth: full at one diameter, ¾ at two, ½ from three on (common practice, no source)', () => {
    expect([6, 12, 18, 30].map((depth) => depthShare(6, depth))).toEqual([1, 0.75, 0.5, 0.5]);
  });
});

describe('limits are named', () => {
  const limits = (over: Parameters<typeof machineOf>[0], cutter = upcut, depth = 6) =>
    cuttingFor(cutter, 'mdf', { width: cutter.diameter, depth }, machineOf(over), HOUSE).clamps.map(
      (c) => c.limit,
    );

  test('the mark on the cutter', () => {
    const cut = cuttingFor(flattener, 'mdf', { width: 40, depth: 0.5 }, machine, HOUSE);
    expect(cut.rpm).toBe(14_000);
    expect(cut.clamps.map((c) => c.limit)).toContain('cutter-mark');
  });

  test('the chart, when nothing is marked', () => {
    const unmarked = { ...flattener, maxRpm: null };
    expect(cuttingFor(unmarked, 'mdf', { width: 40, depth: 0.5 }, machine, HOUSE).rpm).toBe(12_000);
    expect(limits({}, unmarked, 0.5)).toContain('diameter-chart');
  });

  test('the axes', () => {
    const motion = { ...machine.motion, maxFeed: { xy: 2000, z: 1000 } };
    const cut = cuttingFor(upcut, 'mdf', { width: 6, depth: 6 }, machineOf({ motion }), HOUSE);
    expect(cut.feed).toBe(2000);
    expect(cut.plungeFeed).toBe(1000);
    expect(cut.clamps.map((c) => c.limit)).toContain('axis-feed');
    // The spindle slows down rather than let a tooth take less than its least chip.
    expect(cut.chipLoad).toBeGreaterThanOrEqual(0.1 * 0.99);
  });

  test('the spindle’s power', () => {
    const spindle = { ...machine.spindle, powerKw: 0.05 };
    const cut = cuttingFor(upcut, 'mdf', { width: 6, depth: 6 }, machineOf({ spindle }), HOUSE);
    expect(cut.clamps.map((c) => c.limit)).toContain('power');
    expect(cut.power).toBeLessThanOrEqual(50 * HOUSE.feed.powerShare);
  });

  test('a spindle that cannot turn slowly enough stops the machine', () => {
    const spindle = { ...machine.spindle, rpm: [16_000, 24_000] as const };
    const cut = cuttingFor(flattener, 'mdf', { width: 40, depth: 0.5 }, machineOf({ spindle }), HOUSE);
    expect(cut.troubles.map((t) => BEDWORK_RULES[t.code].severity)).toContain('stop');
  });

  test('a controller that calls speeds by codes gets one of them, below every limit', () => {
    const controller = {
      ...machine.controller,
      spindle: {
        ...machine.controller.spindle,
        codes: [6000, 9000, 13_000, 16_500].map((rpm, code) => ({ rpm, code })),
      },
    };
    // marked 14 000 on the flattener, 18 000 of the spindle for the end mill
    const coded = (cutter: typeof upcut) =>
      cuttingFor(cutter, 'mdf', { width: cutter.diameter, depth: 0.5 }, machineOf({ controller }), HOUSE);
    expect(coded(flattener).rpm).toBe(13_000);
    expect(coded(upcut).rpm).toBe(16_500);
    expect(coded(upcut).clamps.map((c) => c.limit)).toContain('speed-codes');
    const fast = { ...controller, spindle: { ...controller.spindle, codes: [{ rpm: 17_000, code: 1 }] } };
    const none = cuttingFor(
      flattener,
      'mdf',
      { width: 40, depth: 0.5 },
      machineOf({ controller: fast }),
      HOUSE,
    );
    expect(none.troubles.map((t) => BEDWORK_RULES[t.code].severity)).toContain('stop');
  });

  test('a cone that cuts with a part of its flank takes the chip of a cutter that wide, and the speed of its whole', () => {
    const cone = { ...CUTTERS.get('vee-90')!, diameter: 40 };
    const whole = cuttingFor(cone, 'mdf', { width: 40, depth: 0.5 }, machine, HOUSE);
    const half = cuttingFor(cone, 'mdf', { width: 20, depth: 0.5, across: 20 }, machine, HOUSE);
    expect(half.clamps.map((c) => c.limit)).toContain('flank');
    expect(half.chipLoad).toBeCloseTo(whole.chipLoad / 2, 4);
    // 40 mm is 1.57 in: 16 000 rpm by the chart, though 20 mm would take 24 000
    expect(half.rpm).toBe(16_000);
    expect(half.rimSpeed).toBeCloseTo(rimSpeed(20, 16_000), 9);
  });

  test('a material without a chip load of its own is said, and taken at half', () => {
    const cut = cuttingFor(upcut, 'birch plywood', { width: 6, depth: 2 }, machine, HOUSE);
    expect(cut.clamps.find((c) => c.limit === 'material')?.to).toBeCloseTo(0.02, 9);
    expect(cut.troubles[0]?.code).toBe('feeds/chip-load-guessed');
    expect(BEDWORK_RULES['feeds/chip-load-guessed'].severity).toBe('warn');
    expect(cuttingFor(upcut, 'phenolic laminate', { width: 6, depth: 2 }, machine, HOUSE).troubles).toEqual(
      [],
    );
  });
});

test('whatever the machine, no limit is passed', () => {
  fc.assert(
    fc.property(
      fc.record({
        xy: fc.integer({ min: 200, max: 30_000 }),
        z: fc.integer({ min: 100, max: 10_000 }),
        power: fc.double({ min: 0.2, max: 12, noNaN: true }),
        least: fc.integer({ min: 1000, max: 12_000 }),
        span: fc.integer({ min: 0, max: 12_000 }),
        diameter: fc.double({ min: 3, max: 90, noNaN: true }),
        width: fc.double({ min: 0.01, max: 1, noNaN: true }),
        depth: fc.double({ min: 0.05, max: 30, noNaN: true }),
      }),
      (c) => {
        const m = machineOf({
          motion: { ...machine.motion, maxFeed: { xy: c.xy, z: c.z } },
          spindle: { ...machine.spindle, powerKw: c.power, rpm: [c.least, c.least + c.span] },
        });
        const cutter = { ...upcut, diameter: c.diameter, maxRpm: null };
        const cut = cuttingFor(cutter, 'mdf', { width: c.width * c.diameter, depth: c.depth }, m, HOUSE);
        const stopped = cut.troubles.some((t) => BEDWORK_RULES[t.code].severity === 'stop');
        expect(cut.feed).toBeLessThanOrEqual(Math.max(1, c.xy));
        expect(cut.plungeFeed).toBeLessThanOrEqual(c.z);
        expect(cut.rpm).toBeGreaterThanOrEqual(c.least);
        if (!stopped) {
          expect(cut.rpm).toBeLessThanOrEqual(Math.min(c.least + c.span, speedCap(c.diameter, null).rpm));
        }
        expect(cut.power).toBeLessThanOrEqual(
          c.power * 1000 * HOUSE.feed.powerShare + (cut.feed === 1 ? 1e9 : 1e-6),
        );
        expect(Number.isInteger(cut.feed) && Number.isInteger(cut.rpm)).toBe(true);
      },
    ),
    { numRuns: 400, seed: 7 },
  );
});
