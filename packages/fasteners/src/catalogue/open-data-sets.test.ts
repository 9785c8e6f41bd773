import { readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import { catalogue } from './catalogue.ts';

// Independent oracle: figures of three general-purpose open data sets of standard parts, two of them from Debian's
// packages (openscad-mcad, units). Facts only; names, versions and licences are in the file.
interface Figure {
  readonly set: 'bolts' | 'mcad' | 'units';
  readonly table: string;
  readonly size: string;
  readonly key: string;
  readonly value: number;
}
const file = JSON.parse(
  readFileSync(new URL('../../fixtures/open-data-sets.json', import.meta.url), 'utf8'),
) as { sets: Record<string, { licence: string }>; rows: readonly Figure[] };

/** Where an open data set prints something else, which figure we keep, and why. */
const DISAGREEMENTS: Readonly<Record<string, string>> = {
  'bolts iso4017-hex M10 acrossCornersMin':
    '18.90 belongs to the 17 mm flats of DIN 933; ISO 4017 has 16 flats and 17.77 corners',
  'bolts iso4017-hex M12 acrossCornersMin':
    '21.10 belongs to the 19 mm flats of DIN 933; ISO 4017 has 18 flats and 20.03 corners',
  'bolts iso7089 M10 insideMin': '10 is a misprint for 10.5: a washer of 10 does not pass an M10 screw',
  ...Object.fromEntries(
    ['M4', 'M5', 'M6', 'M8', 'M10', 'M12'].flatMap((size) => [
      [
        `bolts iso10642-countersunk ${size} headDiameterMax`,
        'prints the smaller heads of DIN 7991 under ISO 10642',
      ],
      [
        `bolts iso10642-countersunk ${size} headHeightMax`,
        'prints the lower heads of DIN 7991 under ISO 10642',
      ],
    ]),
  ),
};

/** Tolerance Td of the major diameter, grade 6, mm [ISO 965-1]: turns a greatest major diameter into the least. */
const TD6: Readonly<Record<string, number>> = {
  M4: 0.14,
  M5: 0.15,
  M6: 0.18,
  M8: 0.212,
  M10: 0.236,
  M12: 0.265,
};

describe('open data sets of standard parts', () => {
  const book = catalogue();
  const differing: string[] = [];
  for (const f of file.rows) {
    const name = `${f.set} ${f.table} ${f.size} ${f.key}`;
    const row = book.row(f.table, f.size)?.row;
    const ours =
      f.key === 'majorExternalMax'
        ? Number(row?.values.majorExternalMin) + (TD6[f.size] ?? Number.NaN)
        : Number(row?.values[f.key]);
    if (!(Math.abs(ours - f.value) < 1e-9)) differing.push(name);
  }

  test('agree with the catalogue row by row, except where it is known and explained', () => {
    expect(differing.sort()).toEqual(Object.keys(DISAGREEMENTS).sort());
  });

  test('cover what the stack rests on', () => {
    const count = (set: string): number => file.rows.filter((r) => r.set === set).length;
    expect([count('bolts'), count('mcad'), count('units')]).toEqual([90, 12, 56]);
    for (const { licence } of Object.values(file.sets)) expect(licence).not.toBe('');
  });

  test('DIN 7991 heads are what that set prints under ISO 10642', () => {
    // the explanation above, proven: the same figures stand in the table of DIN 7991
    for (const f of file.rows.filter(
      (r) => r.table === 'iso10642-countersunk' && r.key === 'headDiameterMax',
    )) {
      expect(book.row('din7991-countersunk', f.size)?.row.values.headDiameterMax).toBe(f.value);
    }
  });
});
