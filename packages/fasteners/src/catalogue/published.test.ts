import { describe, expect, test } from 'vitest';
import { readReferenceTable } from '../../../../test/support/reference.ts';
import { PUBLISHED } from '../testing/published-tables.ts';
import { catalogue } from './catalogue.ts';

const book = catalogue();

describe('every row against its published table', () => {
  for (const published of PUBLISHED) {
    test(`${published.table} = ${published.file}`, () => {
      const rows = readReferenceTable(`fasteners/${published.file}`).filter(
        (r) => published.only === undefined || published.only[1].includes(r[published.only[0]]!),
      );
      const table = book.table(published.table);
      const own = table.rows.filter(
        (row) => published.onlyOwn === undefined || row.values[published.onlyOwn[0]] === published.onlyOwn[1],
      );
      const sizeOf = published.sizeOf ?? ((printed: string) => printed);
      let compared = 0;
      for (const row of own) {
        const source = rows.find((r) => sizeOf(r[published.size]!) === row.size);
        if (source === undefined) {
          // M4's limits are derived, and say so
          expect([row.size, row.grade]).toEqual(['M4', 'B']);
          continue;
        }
        for (const [key, column] of Object.entries(published.columns)) {
          const printed = source[column];
          expect(printed, `${published.file} has no column ${column}`).toBeDefined();
          const value = row.values[key];
          if (printed === '') expect(value, `${row.size} ${key}`).toBeUndefined();
          else if (typeof value === 'string') expect(value, `${row.size} ${key}`).toBe(printed);
          else expect(value, `${row.size} ${key}`).toBe(Number(printed));
          compared++;
        }
      }
      expect(compared).toBeGreaterThan(0);
      // the published table has nothing in our range that the catalogue left out
      const missing = rows.filter((r) => !own.some((row) => row.size === sizeOf(r[published.size]!)));
      expect(missing.map((r) => r[published.size]).filter((s) => s !== 'M3')).toEqual([]);
    });
  }

  test('drill sizes = 09_drill_sizes.csv', () => {
    const names = new Map(book.drills.map((d) => [`${d.series}|${d.name}`, d.diameter]));
    for (const row of readReferenceTable('fasteners/09_drill_sizes.csv')) {
      const series = row.series === 'metric 0.1' ? 'metric' : row.series;
      expect(names.get(`${series}|${row.name}`), row.name).toBeCloseTo(Number(row.dia_mm), 4);
    }
  });

  test('no row of grade A is left without an outside check', () => {
    const elsewhere = new Map([
      ['drill-sizes', 'names and closed forms below; 09_drill_sizes.csv above'],
      ['drill-points', 'closed form, stack/drill-point.test.ts'],
      ['pa66-properties', 'committed sample below'],
    ]);
    const covered = new Set([...PUBLISHED.map((p) => p.table), ...elsewhere.keys()]);
    const bare = book.tables.filter((t) => t.rows.some((r) => r.grade === 'A') && !covered.has(t.id));
    expect(bare.map((t) => t.id)).toEqual([]);
  });
});

// A sample typed a second time, by hand, so that one slip in a reference file cannot pass for a published figure.
// Source: the standards' tables as printed in Machinery's Handbook and in two or more independent lists.
const SAMPLE: readonly (readonly [table: string, size: string, key: string, value: number])[] = [
  ['iso-724', 'M6', 'pitchDiameter', 5.35], // ISO 724
  ['iso-724', 'M8', 'minorInternal', 6.647], // ISO 724
  ['iso-898-1', 'M10', 'stressArea', 58], // ISO 898-1
  ['iso-2306', 'M6', 'tapDrill', 5], // ISO 2306
  ['iso-965-2', 'M6', 'minorInternalMax', 5.153], // ISO 965-2, 6H
  ['iso-965-2', 'M6', 'pitchExternalMin', 5.212], // ISO 965-2, 6g
  ['iso-273', 'M6', 'close', 6.4], // ISO 273
  ['iso-273', 'M6', 'medium', 6.6], // ISO 273
  ['iso-273', 'M12', 'loose', 14.5], // ISO 273
  ['asme-b1.1', '1/4-20', 'stressArea', 0.0318], // ASME B1.1
  ['asme-b18.2.8', '1/4', 'close', 0.266], // ASME B18.2.8, 17/64
  ['asme-b18.2.8', '1/2', 'medium', 0.562], // ASME B18.2.8, 9/16
  ['iso4017-hex', 'M6', 'acrossFlats', 10], // ISO 4017
  ['iso4017-hex', 'M10', 'acrossFlats', 16], // ISO 4017; DIN 933 had 17
  ['iso4017-hex', 'M8', 'headHeight', 5.3], // ISO 4017
  ['iso4762-socket-cap', 'M6', 'headDiameterMax', 10], // ISO 4762
  ['iso4762-socket-cap', 'M8', 'drive', 6], // ISO 4762
  ['iso7380-1-button', 'M6', 'headHeightMax', 3.3], // ISO 7380-1
  ['iso10642-countersunk', 'M6', 'headDiameterMax', 13.44], // ISO 10642, theoretical
  ['din7991-countersunk', 'M6', 'headDiameterMax', 12], // DIN 7991
  ['iso1580-slotted-pan', 'M6', 'headHeightMax', 3.6], // ISO 1580
  ['iso7045-cross-pan', 'M5', 'headHeightMax', 3.7], // ISO 7045
  ['iso1207-slotted-cheese', 'M6', 'headDiameterMax', 10], // ISO 1207
  ['asme-b18.2.1-hex', '1/4', 'acrossFlats', 0.438], // ASME B18.2.1, 7/16
  ['asme-b18.3-socket-cap', '#10', 'headHeightMax', 0.19], // ASME B18.3: as high as the body is thick
  ['asme-b18.3-socket-cap', '1/4', 'headDiameterMax', 0.375], // ASME B18.3
  ['iso7089', 'M10', 'insideMin', 10.5], // ISO 7089
  ['iso7089', 'M6', 'outsideMax', 12], // ISO 7089
  ['din-974-1', 'M6', 'diameter', 11], // DIN 974-1 series 1
  ['pa66-screws', 'M6', 'breakingLoad', 1000], // one fastener data sheet
  ['pa66-properties', 'PA66 extruded, saturated', 'water', 7], // two published tables
  ['pa66-properties', 'PA66 moulded, saturated', 'water', 8.5], // a handbook of polymers, two copies
];

test.each(SAMPLE)('%s %s: %s is %d as printed', (table, size, key, value) => {
  expect(book.row(table, size)?.row.values[key]).toBe(value);
});

test('drills carry the diameter of their name', () => {
  // fractions are n/64 in by definition; metric names are millimetres
  for (const d of book.drills) {
    const fraction = /^(\d+)\/(\d+)$/.exec(d.name);
    if (fraction) expect(d.diameter).toBeCloseTo((25.4 * Number(fraction[1])) / Number(fraction[2]), 9);
    if (d.series === 'metric') expect(d.diameter).toBe(Number(d.name));
  }
  expect(book.drills.filter((d) => d.series === 'letter')).toHaveLength(26);
  expect(book.drills.filter((d) => d.series === 'number')).toHaveLength(31);
});
