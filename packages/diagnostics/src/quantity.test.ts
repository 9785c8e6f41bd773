import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import * as q from './index.ts';

// Half away from zero, on the decimal value that is seen: definition of the rounding. The first three are the classic ties
// that binary fractions put on the wrong side (0.015 = 0.01499999999999999944…).
describe('one rounding', () => {
  test.each([
    [0.015, 2, '0.02'],
    [1.005, 2, '1.01'],
    [8.345, 2, '8.35'],
    [-0.015, 2, '-0.02'],
    [0.0149, 2, '0.01'],
    [-0.001, 2, '0.00'],
    [0, 3, '0.000'],
    [1234.5, 0, '1235'],
  ])('%d at %i places is %s', (value, decimals, text) => {
    expect(q.fixed(value, decimals)).toBe(text);
    expect(q.rounded(value, decimals)).toBe(Number(text));
  });

  test('decimal text survives: a value with d places prints as itself at d places', () => {
    fc.assert(
      fc.property(fc.integer({ min: -9_999_999, max: 9_999_999 }), fc.integer({ min: 0, max: 4 }), (n, d) => {
        const written = (n / 10 ** d).toFixed(d);
        expect(q.fixed(Number(written), d)).toBe(Number(written) === 0 ? written.replace('-', '') : written);
      }),
      { seed: 21, numRuns: 500 },
    );
  });

  test('a tie rounds away from zero wherever it stands', () => {
    fc.assert(
      fc.property(fc.integer({ min: 0, max: 999_999 }), fc.integer({ min: 0, max: 3 }), (n, d) => {
        const tie = Number(`${n}5e-${d + 1}`);
        expect(q.rounded(tie, d)).toBe((n + 1) / 10 ** d);
        expect(q.rounded(-tie, d)).toBe(-(n + 1) / 10 ** d);
      }),
      { seed: 22, numRuns: 500 },
    );
  });

  test('limits are rounded to the safe side only', () => {
    fc.assert(
      fc.property(fc.double({ min: 0.01, max: 5000, noNaN: true }), (mm) => {
        for (const units of ['mm', 'in'] as const) {
          const read = (text: string) => q.fromUnits(Number.parseFloat(text), units);
          expect(read(q.limitLength(mm, units, true))).toBeGreaterThanOrEqual(mm - 1e-6);
          expect(read(q.limitLength(mm, units, false))).toBeLessThanOrEqual(mm + 1e-6);
          expect(read(q.atLeastLength(mm, units))).toBeGreaterThanOrEqual(mm - 1e-6);
        }
      }),
      { seed: 23, numRuns: 500 },
    );
  });
});

// Conversions: NIST SP 811 (2008), appendix B.8 (factors for units listed alphabetically), rounded to what is shown.
describe('conversions of NIST SP 811', () => {
  test.each([
    ['1 lbf = 4.448 222 N', q.pushText(4.448_222, 'in'), '1.0 lbf'],
    ['1 hp (550 ft·lbf/s) = 745.699 9 W', q.powerText(1491.3997, 'in'), '2.00 hp'],
    ['1 lbf·in = 0.112 984 8 N·m', q.torqueText(1.129_848, 'in'), '10.0 lbf·in'],
    ['1 inHg (conventional) = 3386.389 Pa', q.pressureText(33_863.89, 'in'), '10.0 inHg'],
    ['1 psi = 6894.757 Pa', q.stressText(6.894_757, 'in'), '1000 psi'],
    ['1 ft³/min = 4.719 474 e-4 m³/s', q.flowText(4.719_474e-4 * 3600 * 100, 'in'), '100.0 ft³/min'],
    ['1 lb = 0.453 592 37 kg', q.massText(4.535_923_7, 'in'), '10.00 lb'],
    ['1 in = 25.4 mm', q.lengthText(25.4, 'in'), '1.000 in'],
    ['1 ft = 0.3048 m', q.wayText(3048, 'in'), '10.0 ft'],
    ['1 ft/min = 5.08 e-3 m/s', q.rimText(5.08, 'in'), '1000 ft/min'],
    ['1 ft² = 0.092 903 04 m²', q.wideAreaText(929_030.4, 'in'), '10 ft²'],
    ['1 lbf = 4.448 222 N, of a board', q.holdText(4448.222, 'in'), '1000 lbf'],
    ['1 inHg = 3386.389 Pa, of the air', q.atmosphereText(101_325, 'in'), '29.92 inHg'],
    ['1 ft = 0.3048 m, of altitude', q.altitudeText(304.8, 'in'), '1000 ft'],
    ['1 ft = 0.3048 m, of a slope', q.perLengthText(0.0254 / 304.8, 'in'), '0.0010 in per foot'],
    ['1 in² = 6.4516 cm²', q.areaText(645.16, 'in'), '1 in²'],
    ['1 in³ = 1.638 706 e-5 m³', q.volumeText(163_870.64, 'in'), '10 in³'],
  ])('%s', (_, text, expected) => {
    expect(text).toBe(expected);
  });
});

test('every quantity of one machine is in the units of that machine', () => {
  const both = [
    q.lengthText,
    q.shortLength,
    q.writtenLength,
    q.atLeastLength,
    q.fineLength,
    q.exactLength,
    q.tinyLength,
    q.feedText,
    q.accelerationText,
    q.rimText,
    q.slopeText,
    q.wayText,
    q.areaText,
    q.wideAreaText,
    q.holdText,
    q.atmosphereText,
    q.altitudeText,
    q.perLengthText,
    q.volumeText,
    q.pushText,
    q.massText,
    q.torqueText,
    q.powerText,
    q.pressureText,
    q.stressText,
    q.flowText,
  ];
  for (const say of both) {
    expect(say(1000, 'mm'), say.name).not.toMatch(/\d (in|ft|lbf|lb|hp|psi|inHg|ft³\/min|in²|in³)\b/);
    expect(say(1000, 'in'), say.name).not.toMatch(/\d (mm|cm|m|l|N|W|kPa|kg)\b|m³/);
  }
});

test('sentences, keys, names', () => {
  expect(q.shortLength(12.345, 'mm')).toBe('12.3 mm');
  expect(q.shortLength(2.345, 'mm')).toBe('2.35 mm');
  expect(q.shortLength(Number.POSITIVE_INFINITY, 'mm')).toBe('more than any mm');
  expect(q.placeText([25.4, 50.8], 'in')).toBe('X1.000 Y2.000');
  expect(q.exactLength(12.3456, 'mm')).toBe('12.346 mm');
  expect(q.exactLength(12.7, 'in')).toBe('0.5 in');
  expect(q.exactPlace([25.4, -0.00254], 'in')).toBe('X1 Y-0.0001');
  expect(q.keyValue(18.0005, 'mm')).toBe(18.001);
  expect(q.drillText({ name: 'F', diameter: 6.528 }, 'in')).toBe('letter F (0.257 in)');
  expect(q.drillText({ name: '6.5', diameter: 6.5 }, 'mm')).toBe('6.5 mm');
  expect(q.screwName('1/4-20', 15.875)).toBe('1/4-20 × 0.625 in');
  expect(q.screwName('M6', 16)).toBe('M6 × 16 mm');
});
