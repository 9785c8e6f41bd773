import { CHECKER_RULES, guard } from '@bedledger/checker';
import type { MachineRecord } from '@bedledger/fleet';
import { describe, expect, it } from 'vitest';
import { judge, type MachineName, type Row, recordOf } from './job-row.ts';

const CUT = 'G0 X300 Y300\nG0 Z20\nG1 Z17.5 F1000\nG1 X360 F3000';
const G53 = 'M5\nG53 G0 X10';
const good: readonly [MachineName, string] = ['heron', CUT];

interface Sample {
  readonly bad: readonly [machine: MachineName, body: string, options?: Row[3]];
  readonly good?: readonly [machine: MachineName, body: string, options?: Row[3]];
}

/** One job that breaks each rule of guard, and one that does not. */
const SAMPLES: Readonly<Record<string, Sample>> = {
  'guard/too-deep': { bad: ['heron', CUT.replace('17.5', '17.1')] },
  'guard/into-bed': { bad: ['heron', CUT.replace('17.5', '-0.1'), { depth: 20 }] },
  'guard/outside-board': {
    bad: ['heron', 'G0 X1280 Y300\nG0 Z20\nG1 Z10 F3000'],
    good: ['heron', 'G0 X1280 Y300\nG0 Z20'],
  },
  'guard/divider': { bad: ['heron', 'G0 X580 Y300\nG0 Z20\nG1 Z-1 F1000\nG1 X650 F3000', { depth: 30 }] },
  'guard/no-board': { bad: ['egret', 'N50 G0 X12. Y12.'] },
  'guard/off-bed': {
    bad: ['smew', 'G0 X320 Y100\nG1 Z-1 F500', { depth: 30 }],
    good: ['smew', 'G0 X320 Y100\nG1 Z1 F500', { depth: 30 }],
  },
  'guard/origin-rewritten': { bad: ['heron', `G10 L2 P1 X0\n${CUT}`] },
  'guard/offset-unknown': { bad: ['heron', 'G92.3\nG92.1'], good: ['heron', 'G92 Z70\nG92.1'] },
  'guard/offset-left': { bad: ['heron', `${CUT}\nG92 X0`], good: ['heron', `${CUT}\nG92 X0\nG92.1`] },
  'guard/tool-change': {
    bad: ['heron', `T1\n${CUT}\nG0 Z60\nT3`, { cutter: null }],
    good: ['heron', `T1\n${CUT}`, { cutter: null }],
  },
  'guard/cutter-contradiction': {
    bad: ['heron', `T2\n${CUT}`],
    good: ['heron', `T2\n${CUT}`, { cutters: { 2: 'upcut-6' } }],
  },
  'guard/budget': {
    bad: ['heron', `G0 X300 Y300\nG0 Z20\nG1 Z17.5 F1000\n${'G2 X300 Y300 I300 J0 F3000\n'.repeat(40_000)}`],
  },
  'guard/no-tool': { bad: ['heron', CUT, { cutter: null }] },
};

/** A board whose screws nobody recorded: the pockets are on record, the screws are not. */
function withoutScrews(record: MachineRecord): MachineRecord {
  const board = record.state.board!;
  const built = { everywhere: {}, sites: new Map() };
  const inserts = record.state.inserts.map(({ site, at, insert }) => ({ site, at, insert }));
  return {
    ...record,
    state: { ...record.state, board: { ...board, built }, inserts },
  } as MachineRecord;
}

function codes([machine, body, options]: Sample['bad']): string[] {
  return judge(machine, ['run', '', body, options]).findings.map((f) => f.code);
}

describe('every rule of guard', () => {
  it('has a sample here, but the one that needs another ledger', () => {
    const own = Object.keys(CHECKER_RULES).filter((code) => code.startsWith('guard/'));
    expect([...Object.keys(SAMPLES), 'guard/screws-unknown'].sort()).toEqual(own.sort());
  });

  it.each(Object.entries(SAMPLES))('%s', (code, sample) => {
    expect(codes(sample.bad)).toContain(code);
    expect(codes(sample.good ?? good)).not.toContain(code);
  });

  it('guard/screws-unknown', () => {
    const job = { path: 'job.ngc', text: 'G21 G90 G17 G55\nG0 Z60\nM30\n' };
    const options = { zero: 'bed', cutter: 'upcut-6', allowedDepth: 0 } as const;
    const say = (record: MachineRecord): string[] => guard(record, job, options).findings.map((f) => f.code);
    expect(say(withoutScrews(recordOf('plover')))).toContain('guard/screws-unknown');
    expect(say(recordOf('plover'))).not.toContain('guard/screws-unknown');
  });
});

describe('the answer', () => {
  it('states what it takes for granted, each thing once', () => {
    const { assumptions } = judge('heron', [
      'run',
      '',
      CUT,
      { zero: 'work', sheet: 18, place: [200, 200, 300, 300] },
    ]);
    expect(assumptions.map((a) => a.split(':')[0])).toEqual([
      'offset',
      'zero',
      'board',
      'sheet',
      'depth',
      'ledger',
      'cutter',
    ]);
    // 17.766 of board and 18 of sheet
    expect(assumptions[1]).toContain('35.766');
    expect(assumptions[5]).toContain('2026-11-16');
  });

  it('tells each kind once, with its count', () => {
    const body = `G0 X300 Y300\n${'G0 X310 Y310 Z50\nG0 X300 Y300 Z60\n'.repeat(15)}G0 Z20\nG1 Z17.5 F1000`;
    const { findings } = judge('heron', ['run', '', body]);
    const keys = findings.map((f) => `${f.code} ${f.severity}`);
    expect(new Set(keys).size).toBe(keys.length);
    const combined = findings.find((f) => f.code === 'program/rapid-combined');
    expect(combined).toMatchObject({ severity: 'note', facts: { count: 30 } });
  });

  it('offers no remedy that only the house could follow', () => {
    for (const body of [
      G53,
      'G0 X#9',
      'g0 x-900 ; left',
      'G55\nG0 X3',
      'G1 Z17 F0',
      'M98 P1',
      'G0 X3e2 %',
      'G4 P900',
    ]) {
      for (const { code, help } of judge('heron', ['run', '', body]).findings)
        expect(help, code).not.toMatch(/issue the|regenerat|transfer/);
    }
  });
});
