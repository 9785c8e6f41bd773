import { rmSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { planMachine, surveyReport } from '@bedledger/bedwork';
import { checkIssued, guard } from '@bedledger/checker';
import { type Diagnostic, heavier, type Severity } from '@bedledger/diagnostics';
import type { MachineRecord } from '@bedledger/fleet';
import { afterAll, describe, expect, it } from 'vitest';
import { RULES } from '../packages/cli/src/rules/index.ts';
import { smallFleet } from './end-to-end/small-fleet.ts';
import { issuedFleet } from './mutation/issued-fleet.ts';

const ROOT = fileURLToPath(new URL('..', import.meta.url));
const SEVERITIES: readonly Severity[] = ['note', 'warn', 'stop'];

const sets = issuedFleet(ROOT);
const set = (id: string) => {
  const found = sets.find((s) => s.record.machine.id === id);
  if (found === undefined) throw new Error(`no issued set of ${id}`);
  return found;
};

/** The record in a house that gives every rule of every package this severity; null: that raises nothing. */
function inHouse(record: MachineRecord, all: Severity | null): MachineRecord {
  const raise = all === null ? {} : Object.fromEntries(Object.keys(RULES).map((code) => [code, all]));
  return { ...record, house: { ...record.house, raise } };
}

// Where findings come out, each with a record and files that have some: a bed without a survey, files that do not belong
// together, and a job that goes through everything.
const JOB = 'G21 G90 G17 G94\nM3 S30000\nG0 X0 Y0\nG1 Z-5 F9000\nG1 X4000 G77\nG1 X100 Y100\nM30\n';
const ENTRIES: readonly (readonly [string, () => (all: Severity | null) => readonly Diagnostic[]])[] = [
  ['the plan', () => (all) => planMachine(inHouse(set('curlew').record, all)).findings],
  ['the survey', () => (all) => surveyReport(inHouse(set('curlew').record, all)).findings],
  [
    'the check',
    () => {
      const { record, issued } = set('plover');
      const holes = { ...issued.holes, text: issued.holes.text.replace(/\d(?=,[^,]*\n)/, '7') };
      const programs = issued.programs
        .slice(1)
        .map((p, i) =>
          i === 0 ? { ...p, text: p.text.replace(/Z(\d)/g, 'Z-$1').replace(/G21/, 'G20') } : p,
        );
      return (all) => checkIssued(inHouse(record, all), { ...issued, holes, programs }).findings;
    },
  ],
  [
    'the guard',
    () => (all) =>
      guard(
        inHouse(set('plover').record, all),
        { path: 'job.ngc', text: JOB },
        { zero: 'bed', cutter: 'upcut-6', allowedDepth: 0 },
      ).findings,
  ],
];

describe.each(ENTRIES)('what a house raises, at %s', (_, entry) => {
  const findings = entry();
  const own = findings(null);

  it('there is something to raise', () => {
    expect(own.length).toBeGreaterThan(0);
    for (const { code } of own) expect(RULES, code).toHaveProperty([code]);
  });

  it.each(SEVERITIES)('%s: heavier than their own, never lighter; nothing else changes', (all) => {
    const sorted = (list: readonly Diagnostic[]): string[] => list.map((d) => JSON.stringify(d)).sort();
    expect(sorted(findings(all))).toEqual(
      sorted(own.map((d) => ({ ...d, severity: heavier(d.severity, all) }))),
    );
  });
});

describe('the command', () => {
  const fleet = smallFleet('curlew', 'plover');
  afterAll(() => rmSync(fleet.root, { recursive: true, force: true }));

  it('names entries that do nothing, once a run, at their line; and stops at what the house raised', () => {
    fleet.edit(
      'shared/house.yaml',
      /^raise:$/m,
      'raise:\n  program/rim-sped: stop\n  program/travel: note\n  survey/none: stop\n  survey/vouched: stop',
    );
    const lines = fleet.read('shared/house.yaml').split('\n');
    const { status, object } = fleet.json('check');
    expect(status).toBe(1);
    const line = (start: string): number => lines.findIndex((l) => l.startsWith(`  ${start}`)) + 1;
    expect(object.findings).toMatchObject([
      {
        code: 'house/unknown-rule',
        severity: 'warn',
        place: { file: 'shared/house.yaml', line: line('program/rim-sped'), column: 3 },
        help: 'did you mean `program/rim-speed`?',
      },
      {
        code: 'house/lowered-rule',
        severity: 'warn',
        place: { file: 'shared/house.yaml', line: line('program/travel'), column: 3 },
      },
    ]);
    const machines = object.machines as { verdict: string; findings: { code: string; severity: string }[] }[];
    // Curlew's bed is vouched for, plover's is not even that.
    const raised = ['survey/vouched', 'survey/none'];
    expect(machines).toHaveLength(raised.length);
    for (const [k, { verdict, findings }] of machines.entries()) {
      expect(verdict).toBe('blocked');
      expect(findings.filter((f) => f.severity === 'stop').map((f) => f.code)).toEqual([raised[k]]);
      expect(findings.some((f) => f.code.startsWith('house/'))).toBe(false);
    }
    expect(fleet.run('check').stderr.match(/house\/unknown-rule/g)).toHaveLength(1);
  });

  it('explains any rule of any package, lists them, and suggests the nearest', () => {
    for (const [code, rule] of [
      ['layout/no-land', RULES['layout/no-land']],
      ['program/travel', RULES['program/travel']],
      ['house/unknown-rule', RULES['house/unknown-rule']],
    ] as const) {
      const said = fleet.run('explain', code).stdout;
      for (const part of [code, rule!.title, rule!.why, rule!.remedy]) expect(said).toContain(part);
    }
    const list = fleet.run('explain', 'rules').stdout;
    for (const code of Object.keys(RULES)) expect(list).toMatch(new RegExp(`^ *${code} `, 'm'));
    const all = fleet.json('explain', 'rules').object.rules as { id: string }[];
    expect(all.map((r) => r.id).sort()).toEqual(Object.keys(RULES).sort());
    const near = fleet.run('explain', 'layout/no-lnd');
    expect(near.status).toBe(2);
    expect(near.stderr).toContain('did you mean `layout/no-land`?');
  });
});
