import { planMachine } from '@bedledger/bedwork';
import { describe, expect, it } from 'vitest';
import { demoRecords } from '../../../test/support/demo-records.ts';
import { holeTable } from './hole-table.ts';

/** RFC 4180, section 2, with LF for CRLF: quoted fields, doubled quotes, every record as long as the first. */
function parseCsv(text: string): string[][] {
  const rows: string[][] = [[]];
  const field = /(?:"((?:[^"]|"")*)"|([^",\n]*))(,|\n|$)/y;
  let at = 0;
  while (at < text.length) {
    field.lastIndex = at;
    const match = field.exec(text);
    if (match === null) throw new Error(`no field at ${at}`);
    rows[rows.length - 1]?.push(match[1]?.replace(/""/g, '"') ?? (match[2] as string));
    at = field.lastIndex;
    if (match[3] === '\n' && at < text.length) rows.push([]);
  }
  return rows;
}

/** The columns that README and reader agree on; lengths name their unit. */
const LENGTHS = [
  'nominal_x',
  'nominal_y',
  'x',
  'y',
  'pocket_diameter',
  'pocket_floor',
  'hole_diameter',
  'refit_diameter',
  'bore_diameter',
  'bore_depth',
  'screw_length',
  'web',
  'cover',
];

describe.each(demoRecords().map((r) => [r.machine.id, r] as const))('%s', (_, record) => {
  const plan = planMachine(record);
  const text = holeTable(plan);
  const [head, ...rows] = parseCsv(text);
  const { units } = record.machine;
  const mmPerUnit = units === 'mm' ? 1 : 25.4;

  it('has the agreed columns, one row a site in the order of the layout, and ends its last line', () => {
    expect(head).toEqual(['site', 'state', ...LENGTHS.map((name) => `${name}_${units}`), 'board']);
    expect(rows.map((r) => r[0])).toEqual(plan.layout.sites.map((s) => s.id));
    for (const row of rows) expect(row.length).toBe(3 + LENGTHS.length);
    expect(text.endsWith('\n')).toBe(true);
    expect(text).not.toMatch(/\r|NaN|undefined|-0\.0+(,|\n)/);
  });

  it('gives every figure to half a thousandth of a millimetre, in the unit of the machine', () => {
    for (const [i, site] of plan.layout.sites.entries()) {
      const row = rows[i] as string[];
      for (const cell of row.slice(2, 2 + LENGTHS.length))
        expect(cell).toMatch(units === 'mm' ? /^-?\d+\.\d{3}$|^$/ : /^-?\d+\.\d{5}$|^$/);
      const near = (cell: string | undefined, value: number): void =>
        expect(Math.abs(Number(cell) * mmPerUnit - value)).toBeLessThanOrEqual(0.0005 + 1e-9);
      near(row[2], site.nominal[0]);
      near(row[5], site.actual[1]);
      // The columns from the pocket on belong to the stack; `cover` is the last length.
      near(row[14], plan.stacks.get(site.id)!.cover);
      near(row[12], plan.stacks.get(site.id)!.screwLength);
    }
  });

  it('marks the one site that holds the board', () => {
    const held = rows.filter((r) => r.at(-1) === 'held').map((r) => r[0]);
    expect(held).toEqual([plan.work.hold.site]);
    expect(rows.filter((r) => r.at(-1) === 'floats').length).toBe(rows.length - 1);
  });

  it('a site without a stack has empty cells there, not zeros', () => {
    const stacks = new Map(plan.stacks);
    stacks.delete(plan.layout.sites[0]!.id);
    const row = parseCsv(holeTable({ ...plan, stacks }))[1] as string[];
    expect(row.slice(6, 2 + LENGTHS.length)).toEqual(Array(LENGTHS.length - 4).fill(''));
  });
});
