import { describe, expect, it } from 'vitest';
import { type Hazard, judge, textOf, verdictOf } from './job-row.ts';
import { BLIND } from './rows/blind.ts';
import { HEIGHTS } from './rows/heights.ts';
import { MODES } from './rows/modes.ts';
import { SAFE } from './rows/safe.ts';
import { SPINDLE } from './rows/spindle.ts';
import { WAYS } from './rows/ways.ts';

const ALL: readonly Hazard[] = [...SAFE, ...HEIGHTS, ...WAYS, ...MODES, ...SPINDLE, ...BLIND];

describe('jobs judged by hand', () => {
  it.each(ALL.map((group) => [group.hazard, group.machine, group] as const))(
    '%s on %s',
    (_h, machine, { rows }) => {
      const wrong = rows.flatMap((row) => {
        const report = judge(machine, row);
        if (verdictOf(report) === row[0]) return [];
        const said = report.findings
          .filter((f) => f.severity === 'stop')
          .map((f) => `      ${f.place?.line ?? '-'} ${f.code}: ${f.message}`);
        return [`${row[1]}: expected ${row[0]}, guard says ${report.verdict}\n${said.join('\n')}`];
      });
      expect(wrong).toEqual([]);
    },
  );

  it('every kind of verdict, every machine, and more than two hundred jobs', () => {
    const rows = ALL.flatMap((group) => group.rows);
    expect(rows.length).toBeGreaterThan(200);
    expect(new Set(ALL.map((group) => group.machine)).size).toBeGreaterThanOrEqual(7);
    expect(new Set(rows.map(([expected]) => expected)).size).toBe(3);
  });

  it('no job stands there twice', () => {
    const texts = ALL.flatMap((g) =>
      g.rows.map((row) => `${g.machine}\n${textOf(g.machine, row)}\n${JSON.stringify(row[3])}`),
    );
    expect(new Set(texts).size).toBe(texts.length);
  });
});
