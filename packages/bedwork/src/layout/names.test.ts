import fc from 'fast-check';
import { expect, test } from 'vitest';
import { rowLetter, rowsOf, siteName } from './names.ts';

test('row letters go on as columns of a spreadsheet do', () => {
  expect([0, 1, 25, 26, 27, 51, 52, 701, 702].map(rowLetter)).toEqual([
    'A',
    'B',
    'Z',
    'AA',
    'AB',
    'AZ',
    'BA',
    'ZZ',
    'AAA',
  ]);
  expect(siteName(1, 2)).toBe('B3');
  expect(() => rowLetter(-1)).toThrow(RangeError);
});

test('rows of scattered sites: names are unique, rows go back, columns go right', () => {
  const point = fc.tuple(fc.integer({ min: 0, max: 2000 }), fc.integer({ min: 0, max: 2000 }));
  fc.assert(
    fc.property(fc.array(point, { maxLength: 60 }), fc.integer({ min: 1, max: 200 }), (points, apart) => {
      const rows = rowsOf(points, apart);
      const names = rows.map((r) => siteName(r.row, r.column));
      expect(new Set(names).size).toBe(points.length);
      for (const [i, a] of rows.entries()) {
        for (const [j, b] of rows.entries()) {
          const [xa, ya] = points[i] as [number, number];
          const [xb, yb] = points[j] as [number, number];
          if (a.row === b.row) {
            expect(Math.abs(ya - yb)).toBeLessThanOrEqual(apart);
            if (a.column < b.column) expect(xa).toBeLessThanOrEqual(xb);
          } else if (a.row < b.row) expect(ya).toBeLessThanOrEqual(yb);
        }
      }
    }),
    { seed: 11, numRuns: 200 },
  );
});
