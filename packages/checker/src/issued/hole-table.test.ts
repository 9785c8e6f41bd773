import { expect, test } from 'vitest';
import { readHoleTable } from './hole-table.ts';

const NAMES =
  'nominal_x nominal_y x y pocket_diameter pocket_floor hole_diameter refit_diameter bore_diameter bore_depth screw_length web cover'.split(
    ' ',
  );
const table = (unit: string, ...cells: string[]) => ({
  path: 'issued/holes.csv',
  text: `site,state,${NAMES.map((name) => name + unit).join(',')},board\nA1,set,${cells.join(',')},floats\n`,
});
const METRIC = '25.4 50.8 25.6 50.9 23.6 5.05 6.9 6.7 10 15.52 16 5.05 6'.split(' ');
const INCHES = '1 2 1.25 2 1 0.2 0.25 0.25 0.4 0.6 0.625 0.2 0.3'.split(' ');

test('lengths come in millimetres whatever unit the header names', () => {
  expect(readHoleTable(table('_mm', ...METRIC), 'mm').rows[0]).toMatchObject({
    nominalX: 25.4,
    y: 50.9,
    cover: 6,
  });
  // An inch is 25.4 mm exactly (international agreement of 1959).
  const [row] = readHoleTable(table('_in', ...INCHES), 'in').rows;
  expect(row).toMatchObject({ site: 'A1', state: 'set', nominalX: 25.4, nominalY: 50.8, x: 31.75 });
  expect(row?.screwLength).toBeCloseTo(15.875, 12);
});

test.each([
  ['inches for a machine in millimetres', '_in', 'mm', /lengths are in in, expected mm/],
  ['millimetres for a machine in inches', '_mm', 'in', /lengths are in mm, expected in/],
  ['no unit', '', 'mm', /the columns are site, state, nominal_x, .* expected site, state, nominal_x_mm/],
  ['a unit of its own', '_cm', 'mm', /the columns are/],
] as const)('%s: refused', (_, unit, units, message) => {
  const { rows, fault } = readHoleTable(table(unit, ...METRIC), units);
  expect(rows).toEqual([]);
  expect(fault).toMatchObject({ code: 'documents/holes', severity: 'stop', place: { line: 1 } });
  expect(fault?.message).toMatch(message);
});

test('what the board does at a site is held or floats, and no other word', () => {
  const file = table('_mm', ...METRIC);
  const held = readHoleTable({ ...file, text: file.text.replace('floats', 'held') }, 'mm');
  expect(held.rows[0]?.hold).toBe('held');
  const odd = readHoleTable({ ...file, text: file.text.replace('floats', 'fixed') }, 'mm');
  expect(odd.fault?.message).toMatch(/`fixed` in column board, expected held or floats/);
});

test('one length in another unit than the rest: refused', () => {
  const file = table('_mm', ...METRIC);
  const read = readHoleTable({ ...file, text: file.text.replace('cover_mm', 'cover_in') }, 'mm');
  expect(read.rows).toEqual([]);
  expect(read.fault?.message).toMatch(/the columns are/);
});
