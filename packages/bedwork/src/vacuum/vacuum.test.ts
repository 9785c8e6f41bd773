import type { Fact } from '@bedledger/fleet';
import { describe, expect, test } from 'vitest';
import { board } from '../testing/facts.ts';
import { machineOf, recordOf } from '../testing/records.ts';
import { calibrationReading, facesGain } from './account.ts';
import { atmosphericPressure, beyondAtmosphere, STANDARD_ATMOSPHERE } from './atmosphere.ts';
import { cordFit } from './gasket-cord.ts';
import { holdingForce, lateralHold, smallestPart } from './holding.ts';
import { boardLeak, calibratePermeability, holeLeak } from './leak.ts';

/** 1 inch of mercury (conventional) is 3386.389 Pa: NIST SP 811. */
const fromInHg = (reading: number): number => reading * 3386.389;
const toInHg = (pascal: number): number => pascal / 3386.389;

describe('atmosphere', () => {
  test('1 atm = 101 325 Pa = 29.9213 inHg (NIST SP 811)', () => {
    expect(toInHg(STANDARD_ATMOSPHERE)).toBeCloseTo(29.9213, 4);
    expect(atmosphericPressure(0)).toBe(101_325);
  });
  test.each([
    // Mechanical Engineers' Handbook vol. 4, table 6
    [1000, 0.8988],
    [5000, 0.5405],
  ])('%d m: %d bar', (altitude, bar) => {
    expect(atmosphericPressure(altitude) / 1e5).toBeCloseTo(bar, 4);
  });
  test('5000 ft: 24.896 inHg (US Standard Atmosphere 1976)', () => {
    expect(toInHg(atmosphericPressure(5000 * 0.3048))).toBeCloseTo(24.896, 2);
  });
  test('about 1 inHg lost for each 1000 ft (common practice)', () => {
    const lost = toInHg(STANDARD_ATMOSPHERE - atmosphericPressure(304.8));
    expect(lost).toBeGreaterThan(0.9);
    expect(lost).toBeLessThan(1.15);
  });
  test('no gauge reads more than the atmosphere', () => {
    expect(beyondAtmosphere(fromInHg(27), 1524)).toBe(true);
    expect(beyondAtmosphere(fromInHg(24), 1524)).toBe(false);
    expect(() => atmosphericPressure(20_000)).toThrow(RangeError);
  });
});

describe('holding', () => {
  test('20 inHg = 67 727.8 Pa on 48 × 96 in: 201 348 N (derived)', () => {
    const gauge = fromInHg(20);
    expect(gauge).toBeCloseTo(67_727.8, 1);
    expect(holdingForce(gauge, 48 * 96 * 25.4 * 25.4)).toBeCloseTo(201_348, 0);
  });
  test('half of μ·N sideways, and back to the smallest part', () => {
    expect(lateralHold(1000, 0.3)).toBe(150);
    const area = smallestPart(50, 60_000, 0.3);
    expect(lateralHold(holdingForce(60_000, area), 0.3)).toBeCloseTo(50, 9);
  });
});

describe('leaks', () => {
  test('1 m², 18 mm, k 1e-13, 101 325 → 51 325 Pa: 41.62 m³/h (derived)', () => {
    expect(boardLeak(1e6, 18, 1e-13, 101_325, 51_325)).toBeCloseTo(41.62, 2);
  });
  test('a thinner board leaks more, in proportion', () => {
    expect(
      boardLeak(1e6, 9, 1e-13, 101_325, 51_325) / boardLeak(1e6, 18, 1e-13, 101_325, 51_325),
    ).toBeCloseTo(2, 9);
  });
  test('two readings give the permeability back that made them', () => {
    // A pump whose flow falls in a straight line from 400 m³/h at 40 kPa to nothing at 80 kPa, board of 2 m², 18 mm.
    const k = 2e-13;
    const pump = (gauge: number): number => (400 * (80_000 - gauge)) / 40_000;
    let low = 0;
    let high = 80_000;
    for (let i = 0; i < 100; i += 1) {
      const middle = (low + high) / 2;
      if (boardLeak(2e6, 18, k, 101_325, 101_325 - middle) < pump(middle)) low = middle;
      else high = middle;
    }
    const found = calibratePermeability({
      covered: 80_000,
      uncovered: low,
      pumpFlow: 400,
      pumpGauge: 40_000,
      area: 2e6,
      thickness: 18,
      atmosphere: 101_325,
    });
    expect(found! / k).toBeCloseTo(1, 6);
  });
  test('readings that cannot be say nothing', () => {
    const base = { pumpFlow: 400, pumpGauge: 40_000, area: 2e6, thickness: 18, atmosphere: 101_325 };
    expect(calibratePermeability({ ...base, covered: 60_000, uncovered: 65_000 })).toBeNull();
    expect(calibratePermeability({ ...base, covered: 120_000, uncovered: 65_000 })).toBeNull();
  });
  test('one open hole weighs as much as a good part of a square metre of board', () => {
    expect(holeLeak(8, 101_325, 51_325)).toBeGreaterThan(0.3 * boardLeak(1e6, 18, 1e-13, 101_325, 51_325));
  });
});

describe('gasket cord (limits: common practice, no source)', () => {
  const channel = { width: 8, depth: 6 };
  test('round 8 in 8 × 6: stands 2, squeezed 25 %, fills π/4·64/48 and so lifts (derived)', () => {
    const fit = cordFit({ form: 'round', size: 8 }, channel);
    expect(fit.standing).toBe(2);
    expect(fit.squeeze).toBe(0.25);
    expect(fit.fill).toBeCloseTo((Math.PI * 16) / 48, 12);
    expect(fit.verdict).toBe('overfilled');
  });
  test.each([
    ['seals', { form: 'round', size: 7 }, { width: 8, depth: 5.5 }],
    ['too-low', { form: 'round', size: 6 }, { width: 8, depth: 6 }],
    ['lifts-board', { form: 'round', size: 8 }, { width: 14, depth: 4 }],
    ['too-wide', { form: 'square', size: 9 }, { width: 8, depth: 7 }],
  ] as const)('%s', (verdict, cord, in_) => {
    expect(cordFit(cord, in_).verdict).toBe(verdict);
  });
});

describe('calibration and skimming', () => {
  const reading = (date: string, zone?: string): Fact => ({
    fact: 'vacuum',
    date,
    covered: 60_000,
    uncovered: 40_000,
    ...(zone === undefined ? {} : { zone }),
  });
  const m = machineOf({}, [600, 500]);
  test('permeability is learned on the present board and from the whole bed only', () => {
    expect(calibrationReading(recordOf(m, [board('2026-01-01', [18]), reading('2026-01-02')]))?.date).toBe(
      '2026-01-02',
    );
    expect(calibrationReading(recordOf(m, [reading('2026-01-02'), board('2026-02-01', [18])]))).toBeNull();
    expect(
      calibrationReading(recordOf(m, [board('2026-01-01', [18]), reading('2026-01-02', 'A')])),
    ).toBeNull();
  });
  test('flow through a board goes as one over its thickness (Darcy): 0.4 mm off both faces of 18 mm', () => {
    expect(facesGain(18, 0.4)).toBeCloseTo(18 / 17.2, 12);
    // The same from the leak formula itself, at two thicknesses.
    const at = (t: number): number => boardLeak(1e6, t, 1e-13, 101_325, 51_325);
    expect(facesGain(18, 0.4)).toBeCloseTo(at(17.2) / at(18), 9);
    expect(() => facesGain(0.8, 0.4)).toThrow(RangeError);
  });
});
