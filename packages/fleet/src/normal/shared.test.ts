import { readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import { parse } from 'yaml';
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
