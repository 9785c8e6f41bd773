import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { parseSize } from '../catalogue/size.ts';
import { catalogueSummary, findFasteners } from './find-fasteners.ts';

const ids = (query: string): string[] => [...new Set(findFasteners(query).rows.map((r) => r.id))];
const cell = (query: string, id: string, key: string) =>
  findFasteners(query)
    .rows.find((r) => r.id === id)
    ?.columns.find((c) => c.key === key);

describe('sizes as people write them', () => {
  test.each([
    ['m6', 'M6', 'M6'],
    ['M6x1', 'M6', 'M6'],
    ['M6 × 1.0', 'M6', 'M6'],
    ['M 6', 'M6', 'M6'],
    ['1/4', '1/4', '1/4-20'],
    ['1/4-20', '1/4', '1/4-20'],
    ['1/4"-20 UNC', '1/4', '1/4-20'],
    ['#10', '#10', null],
    ['#10-32', '#10', '#10-32'],
    ['No. 10-24', '#10', '#10-24'],
    ['#10 UNF', '#10', '#10-32'],
  ] as const)('%s', (text, size, thread) => {
    expect(parseSize(text)).toMatchObject({ size, thread });
  });
  test.each(['M7', 'M6x0.75', '1/4-28', '#10-20', '1/4-20 UNF', '6', '', 'M'])(
    '%s is not one of ours',
    (text) => {
      expect(parseSize(text)).toBeNull();
    },
  );
});

describe('looking up', () => {
  test('m6: threads, holes, heads, washers, inserts, with sources on every row', () => {
    const found = ids('m6');
    for (const id of ['iso-724', 'iso-273', 'iso4017-hex', 'iso7089', 'din-7965', 'pa66-screws'])
      expect(found).toContain(id);
    for (const row of findFasteners('m6').rows) {
      expect(row.size).toBe('M6');
      expect([row.standard, row.table, row.note].every((t) => t.length > 1)).toBe(true);
      expect(['A', 'B', 'C']).toContain(row.grade);
    }
  });
  test('--clearance 1/4: inches as printed, millimetres beside [ASME B18.2.8: 0.266, 17/64]', () => {
    const { rows } = findFasteners('1/4', { kinds: ['clearance'] });
    expect(rows).toHaveLength(1);
    expect(rows[0]?.columns.find((c) => c.key === 'close')).toMatchObject({
      value: 0.266,
      unit: 'in',
      metric: 6.7564,
    });
    expect(rows[0]?.columns.find((c) => c.key === 'closeDrill')?.value).toBe('17/64');
  });
  test('1/4 may be a drill, 1/4-20 may not', () => {
    expect(ids('1/4')).toContain('drill-sizes');
    expect(ids('1/4-20')).not.toContain('drill-sizes');
    expect(ids('1/4-20')).toContain('asme-b1.1');
  });
  test('#10 is both threads and a drill', () => {
    expect(findFasteners('#10', { kinds: ['thread'] }).rows.map((r) => r.size)).toEqual(['#10-24', '#10-32']);
    expect(cell('#10', 'drill-sizes', 'diameterInch')?.value).toBe(0.1935); // number drills
  });
  test('drills by name, by diameter, and the nearest when none is exact', () => {
    expect(cell('F', 'drill-sizes', 'diameterInch')?.value).toBe(0.257); // letter drills
    expect(cell('17/64', 'drill-sizes', 'diameterInch')?.metric).toBeCloseTo(6.746875, 6);
    expect(findFasteners('6.6mm').rows.map((r) => r.size)).toEqual(['6.6']);
    expect(findFasteners('0.257in').rows.map((r) => r.size)).toEqual(['F']);
    expect(findFasteners('6.66 mm').rows.map((r) => r.size)).toEqual(['6.6', 'G', '6.7', '17/64']);
  });
  test('tables by id, standard or title; words together', () => {
    expect(ids('iso4762-socket-cap')).toEqual(['iso4762-socket-cap']);
    expect(ids('ISO 4762')).toEqual(['iso4762-socket-cap']);
    expect(ids('button')).toEqual(['asme-b18.3-button', 'iso7380-1-button']);
    expect(ids('m6 washer')).toEqual(['iso7089', 'iso7089-limits', 'iso7093-1']);
    expect(findFasteners('iso4017-hex m8').rows.map((r) => r.size)).toEqual(['M8']);
    expect(ids('pa66')).toEqual(
      ['materials', 'pa66-properties', 'pa66-screws'].sort(
        (a, b) => ids('pa66').indexOf(a) - ids('pa66').indexOf(b),
      ),
    );
  });
  test('nothing found suggests what is near', () => {
    const { rows, suggestions } = findFasteners('m7');
    expect(rows).toEqual([]);
    expect(suggestions).toContain('M6');
    expect(findFasteners('washr').suggestions).toContain('washer');
  });
  test('an empty query is empty; the summary has every table', () => {
    expect(findFasteners('  ')).toEqual({ query: '', rows: [], suggestions: [] });
    expect(catalogueSummary().find((t) => t.id === 'iso-273')?.sizes).toEqual([
      'M4',
      'M5',
      'M6',
      'M8',
      'M10',
      'M12',
    ]);
  });
  test('whatever is typed is answered', () => {
    fc.assert(
      fc.property(fc.string({ maxLength: 40 }), (text) => {
        expect(findFasteners(text).query).toBe(text.trim());
      }),
      { seed: 3, numRuns: 300 },
    );
  });
});
