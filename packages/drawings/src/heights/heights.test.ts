import { planMachine } from '@bedledger/bedwork';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { demoRecord } from '../../../../test/support/demo-records.ts';
import { readDrawing } from '../testing/drawing-facts.ts';
import { contour } from './contours.ts';
import { heightDrawing } from './height-drawing.ts';
import { HEIGHT_INKS, heightScale } from './height-scale.ts';

/** Lightness and hue in OKLab, by the matrices of Ottosson (2020), from an sRGB colour (IEC 61966-2-1). */
function oklab(hex: string): { l: number; hue: number } {
  const [r, g, b] = [1, 3, 5].map((i) => {
    const v = Number.parseInt(hex.slice(i, i + 2), 16) / 255;
    return v <= 0.04045 ? v / 12.92 : ((v + 0.055) / 1.055) ** 2.4;
  }) as [number, number, number];
  const l = Math.cbrt(0.4122214708 * r + 0.5363325363 * g + 0.0514459929 * b);
  const m = Math.cbrt(0.2119034982 * r + 0.6806995451 * g + 0.1073969566 * b);
  const s = Math.cbrt(0.0883024619 * r + 0.2817188376 * g + 0.6299787005 * b);
  const a = 1.9779984951 * l - 2.428592205 * m + 0.4505937099 * s;
  const bb = 0.0259040371 * l + 0.7827717662 * m - 0.808675766 * s;
  return { l: 0.2104542553 * l + 0.793617785 * m - 0.0040720468 * s, hue: Math.atan2(bb, a) };
}

describe('the scale of heights', () => {
  it('is perceptually even and of one hue', () => {
    const steps = HEIGHT_INKS.map(oklab);
    const even = (steps[8]!.l - steps[0]!.l) / 8;
    for (let i = 1; i < 9; i++) expect(Math.abs(steps[i]!.l - steps[i - 1]!.l - even)).toBeLessThan(0.01);
    // The lightest has next to no colour; the others keep within a tenth of a radian of one hue.
    for (const { hue } of steps.slice(0, 8)) expect(Math.abs(hue - steps[4]!.hue)).toBeLessThan(0.1);
  });

  it('has round limits that hold every height, few bands, and no finer step than was measured', () => {
    fc.assert(
      fc.property(
        fc.double({ min: -50, max: 50, noNaN: true }),
        fc.double({ min: 0, max: 30, noNaN: true }),
        fc.constantFrom(1, 25.4),
        (min, span, unit) => {
          const grain = 0.01 * unit;
          const scale = heightScale(min, min + span, grain, unit);
          expect(scale.limits.length).toBeLessThanOrEqual(10);
          expect(scale.limits[0]!).toBeLessThanOrEqual(min + 1e-6);
          expect(scale.limits[scale.limits.length - 1]!).toBeGreaterThanOrEqual(min + span - 1e-6);
          const digits = (scale.step / unit).toExponential(6);
          expect(digits).toMatch(/^[125]\.000000e/);
          expect(scale.step).toBeGreaterThanOrEqual(grain - 1e-9);
          const band = scale.band(min + span / 2);
          expect(scale.limits[band]! - 1e-6).toBeLessThanOrEqual(min + span / 2);
          expect(scale.limits[band + 1]! + 1e-6).toBeGreaterThanOrEqual(min + span / 2);
        },
      ),
      { seed: 105 },
    );
    expect(() => heightScale(1, Number.NaN, 0.01, 1)).toThrow(RangeError);
  });
});

describe('contours', () => {
  // Derived: a plane's contour is a straight line across the raster, whatever the cells.
  it('of a plane are straight and as long as the line across', () => {
    const x = [0, 1, 3, 4, 10];
    const y = [0, 2, 5, 6];
    const z = y.map((v) => x.map((u) => 0.3 * u + 0.1 * v));
    const segments = contour({ x, y, z }, 1.5);
    let length = 0;
    for (const [p, q] of segments) {
      for (const [u, v] of [p, q]) expect(0.3 * u + 0.1 * v).toBeCloseTo(1.5, 9);
      length += Math.sqrt((p[0] - q[0]) ** 2 + (p[1] - q[1]) ** 2);
    }
    // From (5, 0) to (3, 6).
    expect(length).toBeCloseTo(Math.sqrt(4 + 36), 9);
  });

  it('of a flat raster are none, at its height or off it', () => {
    const flat = {
      x: [0, 1, 2],
      y: [0, 1],
      z: [
        [5, 5, 5],
        [5, 5, 5],
      ],
    };
    expect(contour(flat, 5)).toEqual([]);
    expect(contour(flat, 4)).toEqual([]);
  });

  it('close up where nothing cuts them off: every inner end meets another', () => {
    const x = Array.from({ length: 12 }, (_, i) => i);
    const z = x.map((v) => x.map((u) => (u - 5.3) * (u - 5.3) + (v - 5.7) * (v - 5.7)));
    const ends = new Map<string, number>();
    for (const segment of contour({ x, y: x, z }, 12))
      for (const p of segment) {
        const key = `${p[0].toFixed(6)},${p[1].toFixed(6)}`;
        ends.set(key, (ends.get(key) ?? 0) + 1);
      }
    for (const times of ends.values()) expect(times % 2).toBe(0);
  });
});

describe('the height picture', () => {
  const avocet = demoRecord('avocet');
  const plan = planMachine(avocet);

  it('shows every point, its range in words, and what the skim takes off', () => {
    const facts = readDrawing(heightDrawing(plan) as string);
    const map = avocet.heights.find((h) => h.file === avocet.state.latestHeights)!;
    const zs = map.points.map((p) => p[2]);
    const [low, high] = [Math.min(...zs), Math.max(...zs)];
    expect(facts.texts).toContain(`${map.points.length} points, ${low.toFixed(3)} to ${high.toFixed(3)} mm`);
    expect(facts.texts.some((t) => t.startsWith('takes off '))).toBe(true);
    for (const [x, y] of facts.points) {
      expect(x).toBeGreaterThan(7.5);
      expect(x).toBeLessThan(facts.width - 7.5);
      expect(y).toBeGreaterThan(7.5);
      expect(y).toBeLessThan(facts.height - 7.5);
    }
  });

  it.each([
    ['one point', [[600, 600, 17]]],
    [
      'two',
      [
        [0, 0, 17],
        [900, 900, 17.2],
      ],
    ],
    [
      'on one line',
      [
        [0, 0, 17],
        [100, 100, 17.1],
        [200, 200, 17.4],
      ],
    ],
    [
      'all alike',
      [
        [0, 0, 17],
        [900, 0, 17],
        [0, 900, 17],
        [900, 900, 17],
      ],
    ],
    [
      'far outside the board',
      [
        [-500, -500, 16],
        [5000, 0, 18],
        [0, 5000, 17],
      ],
    ],
    [
      'twice the same place',
      [
        [0, 0, 17],
        [0, 0, 17.5],
        [900, 900, 17],
      ],
    ],
  ] as const)('takes a map of %s', (_, points) => {
    const heights = [{ file: avocet.state.latestHeights as string, points: points as never }];
    const svg = heightDrawing({ ...plan, record: { ...avocet, heights } }) as string;
    expect(readDrawing(svg).texts.some((t) => t.startsWith(`${points.length} points`))).toBe(true);
  });

  it('without a map there is no picture', () => {
    expect(heightDrawing(planMachine(demoRecord('plover')))).toBeNull();
  });
});
