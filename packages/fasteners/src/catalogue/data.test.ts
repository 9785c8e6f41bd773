import { execFileSync } from 'node:child_process';
import { fileURLToPath } from 'node:url';
import { Ajv } from 'ajv';
import { describe, expect, test } from 'vitest';
import schema from '../../schemas/catalogue-table.schema.json' with { type: 'json' };
import socketCap from '../data/iso4762-socket-cap.json' with { type: 'json' };
import { TABLES } from './tables.ts';

const script = fileURLToPath(new URL('../../scripts/validate-data.mjs', import.meta.url));

describe('the data', () => {
  test('every file is sound by the script that the build runs', () => {
    const text = execFileSync(process.execPath, [script], { encoding: 'utf8' });
    expect(text.trim()).toBe(`${TABLES.length} tables, 0 problems`);
  });

  const validate = new Ajv({ allErrors: true, strictRequired: false }).compile(schema);
  const broken = (change: (table: ReturnType<typeof copy>) => void): boolean => {
    const table = copy();
    change(table);
    return validate(table) === false;
  };
  const copy = () =>
    structuredClone(socketCap) as unknown as {
      drive?: string;
      rows: Record<string, unknown>[];
      columns: Record<string, unknown>[];
    };

  test('the schema refuses what must not get in', () => {
    expect(broken(() => {})).toBe(false);
    expect(
      broken((t) => {
        t.rows[0]!.grade = 'D';
      }),
    ).toBe(true);
    expect(
      broken((t) => {
        delete t.rows[0]!.note;
      }),
    ).toBe(true);
    expect(
      broken((t) => {
        t.rows[0]!.values = { headDiameterMax: -7 };
      }),
    ).toBe(true);
    expect(
      broken((t) => {
        t.columns[0]!.unit = 'cm';
      }),
    ).toBe(true);
    expect(
      broken((t) => {
        delete t.drive;
      }),
    ).toBe(true);
    expect(
      broken((t) => {
        t.rows = [];
      }),
    ).toBe(true);
  });
});
