import { quantise } from '@bedledger/diagnostics';
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { NGC } from '../testing/controllers.ts';
import { formatNumber, numberForm } from './number-form.ts';

function form(integers: number, decimals: number, changes: object = {}) {
  return numberForm({ integers, decimals }, { ...NGC.numbers, ...changes }, 'length');
}

const q = (value: number, decimals: number): number => quantise(value, 10 ** decimals);

describe('numbers without a point', () => {
  // The published examples of the integer.fraction format (EIA RS-274-D number formats, as its secondary lists give them).
  test.each([
    [2, 3, 'leading', 12.345, '12345'],
    [2, 4, 'leading', 12.345, '123450'],
    [2, 4, 'none', 0.01, '000100'],
    [2, 4, 'leading', 0.01, '100'],
    [2, 4, 'trailing', 0.01, '0001'],
  ] as const)('format %i.%i, zeros suppressed: %s: %f is %s', (integers, decimals, suppress, value, text) => {
    expect(formatNumber(q(value, decimals), form(integers, decimals, { point: 'never', suppress }))).toBe(
      text,
    );
  });

  // Derived: a value of zero must leave a digit to read.
  test.each([
    ['none', '000000'],
    ['leading', '0'],
    ['trailing', '0'],
  ] as const)('zero, %s suppressed, is %s', (suppress, text) => {
    expect(formatNumber(0, form(2, 4, { point: 'never', suppress }))).toBe(text);
  });
});

describe('numbers with a point', () => {
  test.each([
    // Half away from zero, the same on both sides (derived: definition of the rounding).
    [1.0005, '1.001'],
    [1.0015, '1.002'],
    [-1.0005, '-1.001'],
    [2.0005, '2.001'],
    // Never −0 and never an exponent.
    [-0.0004, '0.000'],
    [1e-7, '0.000'],
    [-0, '0.000'],
    [12345.6789, '12345.679'],
  ])('%d is %s', (value, text) => {
    expect(formatNumber(q(value, 3), form(5, 3))).toBe(text);
  });

  test.each([
    [{ zeros: 'strip-trailing' }, 12, '12.'],
    [{ zeros: 'strip-trailing' }, 12.5, '12.5'],
    [{ point: 'fraction' }, 12, '12'],
    [{ point: 'fraction' }, 12.5, '12.500'],
    [{ point: 'fraction', zeros: 'strip-trailing' }, -0.05, '-0.05'],
    [{ leadingZero: 'strip' }, 0.5, '.500'],
    [{ leadingZero: 'strip' }, -0.5, '-.500'],
    [{ leadingZero: 'strip', zeros: 'strip-trailing' }, 0, '0.'],
    [{ leadingZero: 'strip', point: 'fraction' }, 0, '0'],
    [{ plus: true }, 1, '+1.000'],
    [{ plus: true }, -1, '-1.000'],
  ])('%j: %d is %s', (changes, value, text) => {
    expect(formatNumber(q(value, 3), form(5, 3, changes))).toBe(text);
  });

  test('whole quantities have no point to lose', () => {
    expect(formatNumber(1200, numberForm({ integers: 5, decimals: 0 }, NGC.numbers, 'quantity'))).toBe(
      '1200',
    );
    expect(formatNumber(12, numberForm({ integers: 5, decimals: 0 }, NGC.numbers, 'length'))).toBe('12.');
  });

  test('every grid value prints as its exact decimal and comes back', () => {
    fc.assert(
      fc.property(
        fc.integer({ min: -(10 ** 9), max: 10 ** 9 }),
        fc.integer({ min: 0, max: 6 }),
        (n, decimals) => {
          const text = formatNumber(n, form(9, decimals, { zeros: 'strip-trailing' }));
          // BigInt arithmetic as the independent printer.
          const [whole, fraction = ''] = text.replace('-', '').split('.');
          const back =
            BigInt(whole!) * 10n ** BigInt(decimals) + BigInt(fraction.padEnd(decimals, '0') || '0');
          expect(text.startsWith('-') ? -back : back).toBe(BigInt(n));
          expect(q(Number(text), decimals)).toBe(n);
        },
      ),
      { seed: 7 },
    );
  });
});
