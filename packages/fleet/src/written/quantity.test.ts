import { Ajv } from 'ajv';
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { jsonSchemaOf } from '../schema/json-schemas.ts';
import { type Dimension, quantity, toInternal } from './quantity.ts';

describe('conversion', () => {
  test.each<[string | number, Dimension, 'mm' | 'in', number, string]>([
    [18, 'length', 'mm', 18, 'definition'],
    ['18 mm', 'length', 'in', 18, 'definition'],
    [1, 'length', 'in', 25.4, 'international inch of 1959, exact'],
    ['0.75 in', 'length', 'mm', 19.05, '3/4 of 25.4'],
    ['1/4 in', 'length', 'mm', 6.35, '1/4 of 25.4'],
    ['1 1/2 in', 'length', 'mm', 38.1, '3/2 of 25.4'],
    ['-0.5 mm', 'length', 'mm', -0.5, 'definition'],
    ['5 ft', 'length', 'mm', 1524, 'NIST SP 811: 1 ft = 304.8 mm exactly'],
    ['100 um', 'length', 'mm', 0.1, 'definition'],
    ['480 in/min', 'speed', 'mm', 12192, '480 x 25.4'],
    ['12 m/min', 'speed', 'in', 12000, 'definition'],
    [30, 'acceleration', 'in', 762, '30 x 25.4'],
    ['0.9 m/s2', 'acceleration', 'mm', 900, 'definition'],
    ['20 inHg', 'pressure', 'mm', 67727.78, 'NIST SP 811: 1 inHg (conventional) = 3386.389 Pa'],
    ['0.7 bar', 'pressure', 'mm', 70000, 'definition'],
    ['150 cfm', 'flow', 'mm', 254.851619328, 'derived: 150 x 0.3048^3 x 60'],
    ['46 lb/ft3', 'density', 'mm', 736.8493, 'NIST SP 811: 1 lb/ft3 = 16.01846 kg/m3'],
    ['500 ms', 'time', 'mm', 0.5, 'definition'],
    ['100 lbf', 'force', 'mm', 444.82216152605, 'NIST SP 811, exact'],
    ['1e-13', 'permeability', 'mm', Number.NaN, 'text without a unit is refused'],
    [1e-13, 'permeability', 'mm', 1e-13, 'definition'],
    [-0, 'length', 'mm', 0, 'no minus zero'],
  ])('%s as %s in a file in %s', (written, dimension, units, expected, source) => {
    if (Number.isNaN(expected)) {
      expect(() => toInternal(written, dimension, units)).toThrow(RangeError);
    } else {
      const value = toInternal(written, dimension, units);
      // NIST prints seven digits; every other row is exact.
      const digits = source.startsWith('NIST SP 811: 1 lb') ? 1e-6 : 1e-12;
      expect(Math.abs(value - expected)).toBeLessThanOrEqual(digits * Math.max(1, Math.abs(expected)));
      expect(Object.is(value, -0)).toBe(false);
    }
  });

  test('any fraction of an inch equals its decimal number', () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 0, max: 99 }),
        fc.integer({ min: 1, max: 999 }),
        fc.integer({ min: 1, max: 999 }),
        (whole, p, q) => {
          const text = whole === 0 ? `${p}/${q} in` : `${whole} ${p}/${q} in`;
          expect(toInternal(text, 'length', 'mm')).toBeCloseTo((whole + p / q) * 25.4, 9);
        },
      ),
      { seed: 112 },
    );
  });
});

describe('what is refused, and what is said of it', () => {
  const positive = quantity('length', 'Width', 9);
  const gauge = quantity('pressure', 'Gauge', '20 inHg');
  const say = (schema: typeof positive, value: unknown) => {
    const result = schema.safeParse(value);
    return result.success ? 'accepted' : result.error.issues.map((i) => i.message).join(' | ');
  };

  test.each([
    [0, 'greater than 0'],
    ['0 mm', 'must be greater than 0'],
    ['0.00 in', 'must be greater than 0'],
    [-3, 'greater than 0'],
    ['-3 mm', 'must be greater than 0'],
    ['18', 'text without a unit'],
    ['18,5 mm', 'decimal comma'],
    ['18 inches', 'a unit that is no length: `inches`'],
    ['18 m m', 'not a length'],
    ['0/4 in', 'not a length'],
    ['1/0 in', 'not a length'],
    ['18 kPa', 'a unit that is no length: `kPa`'],
    ['', 'not a length'],
    [Number.NaN, 'not a number'],
    [Number.POSITIVE_INFINITY, 'not a number'],
    [1e12, 'too large'],
    [null, 'found nothing'],
    [[1], 'found a list'],
    [{ mm: 1 }, 'found a map'],
    [true, 'found true'],
  ])('%o', (value, part) => {
    expect(say(positive, value)).toContain(part);
  });

  test('a pressure always carries its unit', () => {
    expect(say(gauge, 20)).toContain('20 has no unit');
    expect(say(gauge, '20 inHg')).toBe('accepted');
    expect(say(gauge, '20 inhg')).toContain('did you mean `inHg`?');
  });
});

test('schema, JSON Schema and conversion agree on every string', () => {
  const ajv = new Ajv({ strict: false });
  const signs = ['positive', 'zero-or-more', 'any'] as const;
  const compiled = signs.map((sign) => {
    const schema = quantity('length', 'Width', 9, sign);
    return { sign, schema, published: ajv.compile(jsonSchemaOf(schema)) };
  });
  const piece = fc.constantFrom(
    '0',
    '1',
    '00',
    '7',
    '12',
    '.',
    '/',
    ' ',
    '-',
    'mm',
    'in',
    'kPa',
    'e3',
    '0.5',
    '1/2',
    '+',
  );
  const near = fc.array(piece, { maxLength: 6 }).map((p) => p.join(''));
  fc.assert(
    fc.property(fc.oneof(near, fc.double(), fc.integer()), (value) => {
      for (const { sign, schema, published } of compiled) {
        const ours = schema.safeParse(value).success;
        expect(published(value), `${sign} ${JSON.stringify(value)}`).toBe(ours);
        if (!ours) continue;
        const mm = toInternal(value, 'length', 'in');
        expect(Number.isFinite(mm)).toBe(true);
        if (sign === 'positive') expect(mm).toBeGreaterThan(0);
        if (sign === 'zero-or-more') expect(mm).toBeGreaterThanOrEqual(0);
      }
    }),
    { seed: 113, numRuns: 3000 },
  );
});
