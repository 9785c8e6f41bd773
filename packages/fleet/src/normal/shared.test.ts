import { readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import { parse } from 'yaml';
import { houseFindings } from '../checks/shared.ts';
import type { House } from '../model/shared.ts';
import { houseSchema } from '../written/shared.ts';
import { normaliseHouse } from './shared.ts';

const text = readFileSync(new URL('../../../../shared/house.yaml', import.meta.url), 'utf8');

/** The demo fleet's house rules with two lines written otherwise; null leaves a line out. */
function houseWith(zZero: number | string | null, unevenness: number | null): House {
  const { z_zero_error: _, bed_unevenness: __, ...rest } = parse(text) as Record<string, unknown>;
  const changed = {
    ...rest,
    ...(zZero === null ? {} : { z_zero_error: zZero }),
    ...(unevenness === null ? {} : { bed_unevenness: unevenness }),
  };
  return normaliseHouse(houseSchema.parse(changed));
}

describe('what the depth of a cut in the bed may err by', () => {
  test('as written, in any unit', () => {
    expect(houseWith(0.15, 0.4)).toMatchObject({ zZeroError: 0.15, bedUnevenness: 0.4 });
    expect(houseWith('0.01 in', 0).zZeroError).toBeCloseTo(0.254, 12);
    expect(houseWith(0, 0)).toMatchObject({ zZeroError: 0, bedUnevenness: 0 });
  });
  test('a house that says nothing is reckoned with 0.1 and 0.2 mm, not with none', () => {
    expect(houseWith(null, null)).toMatchObject({ zZeroError: 0.1, bedUnevenness: 0.2 });
  });
  test('a negative one is no length', () => {
    expect(() => houseWith(-0.1, 0.2)).toThrow();
  });
});

describe('drills for holes in boards', () => {
  const drills = (written: readonly (number | string)[] | undefined): House['drills'] => {
    const { drills: _, ...rest } = parse(text) as Record<string, unknown>;
    return normaliseHouse(houseSchema.parse({ ...rest, ...(written && { drills: written }) })).drills;
  };
  test('those written in millimetres are for machines in millimetres, those in inches for machines in inches', () => {
    const { mm, in: inches } = drills([9, 7, '5/16 in', 7, '8 mm', '1/4 in']);
    expect(mm).toEqual([7, 8, 9]);
    // 1/4 in is 6.35 mm, 5/16 in 7.9375 mm exactly
    expect(inches).toEqual([6.35, 7.9375]);
  });
  test('a house that names none in some units has the boxed set of these', () => {
    const { mm, in: inches } = drills([7]);
    expect(mm).toEqual([7]);
    expect(inches[0]).toBeCloseTo(25.4 / 16, 12);
    expect(inches.at(-1)).toBeCloseTo(12.7, 12);
    expect(inches.length).toBe(29);
    const none = drills(undefined);
    expect([none.mm[0], none.mm[1], none.mm.at(-1)]).toEqual([1, 1.5, 13]);
  });
  test('an empty list is no list of drills', () => {
    expect(() => drills([])).toThrow();
  });
});

describe('what is believed of a survey', () => {
  const survey = (written: Record<string, number>): House =>
    normaliseHouse(houseSchema.parse({ ...(parse(text) as Record<string, unknown>), survey: written }));

  test('a shape as written, or 2000 ppm and 2 mm in a metre', () => {
    expect(survey({ sigma: 0.1, limit: 0.4 }).survey).toEqual({
      sigma: 0.1,
      limit: 0.4,
      stretch: 0.002,
      skew: 0.002,
    });
    expect(survey({ sigma: 0.1, limit: 0.4, stretch: 500, skew: 3 }).survey).toMatchObject({
      stretch: 0.0005,
      skew: 0.003,
    });
    expect(() => survey({ sigma: 0.1, limit: 0.4, stretch: 0 })).toThrow();
  });

  test('a limit near the scatter of the readings is questioned, one below it is refused', () => {
    const said = (limit: number) =>
      [...houseFindings(survey({ sigma: 0.15, limit }), 'mm', () => ({}))].map(
        (f) => `${f.severity} ${f.code}`,
      );
    // derived: 3.5 deviations of 0.15 mm are 0.525 mm
    expect(said(0.525)).toEqual([]);
    expect(said(0.52)).toEqual(['warn shared/survey-limit']);
    expect(said(0.15)).toEqual(['warn shared/survey-limit']);
    expect(said(0.14)).toEqual(['stop shared/survey-limit']);
  });
});
