import type { MachineRecord } from '@bedledger/fleet';
import { describe, expect, it } from 'vitest';
import { guard } from '../guard/guard.ts';
import type { OUTPUT_RULES } from '../rules/output.ts';
import { caseOf, recordOf, START } from '../testing/case-of.ts';
import { checkOutputs } from './outputs.ts';

const NONE = recordOf('gannet');
const DECLARED = recordOf('gannet', {
  controller: {
    auxiliary: {
      vacuum: { on: 'M64 P0', off: 'M65 P0' },
      extraction: { on: 'M7', off: 'M9' },
    },
  },
});
/** Where both are switched by the words for coolant, M9 drops the vacuum with the extraction. */
const SHARED = recordOf('gannet', {
  controller: { auxiliary: { vacuum: { on: 'M8', off: 'M9' }, extraction: { on: 'M7', off: 'M9' } } },
});

const cut = (before: string, between = '', after = '') =>
  `${START}${before}G0 Z60\nS12000 M3\nG4 P6\nG0 X300 Y250\nZ25\nG1 Z17 F800\n${between}G1 X320 F1500\nG0 Z60\n${after}M5\nM2\n`;
const found = (record: MachineRecord, text: string) => checkOutputs(caseOf(record, text), 'issued');

const SAMPLES: Readonly<
  Record<
    keyof typeof OUTPUT_RULES,
    readonly { readonly record: MachineRecord; readonly bad: string; readonly good: string }[]
  >
> = {
  'output/undeclared': [{ record: NONE, bad: cut('M9\n'), good: cut('') }],
  'output/coolant': [
    { record: NONE, bad: cut('M8\n'), good: cut('') },
    { record: NONE, bad: cut('M7\n'), good: cut('') },
    { record: DECLARED, bad: cut('M8\n'), good: cut('M7\n', '', 'M9\n') },
  ],
  'output/vacuum-dropped': [
    { record: DECLARED, bad: cut('M64 P0\n', 'M65 P0\n'), good: cut('M64 P0\n', '', 'M65 P0\n') },
    // before the cut, as a clean-up that was moved up
    { record: DECLARED, bad: cut('M64 P0\nM65 P0\n'), good: cut('M65 P0\nM64 P0\n') },
    { record: SHARED, bad: cut('M7\nM8\n', 'M9\n'), good: cut('M7\nM8\n', '', 'M9\n') },
  ],
  'output/overrides-locked': [{ record: NONE, bad: cut('M49\n'), good: cut('') }],
  'output/overrides-freed': [{ record: NONE, bad: cut('M48\n'), good: cut('') }],
};

describe('every rule of the outputs', () => {
  const samples = Object.entries(SAMPLES).flatMap(([code, list]) =>
    list.map((sample) => [code, sample] as const),
  );
  it.each(samples)('%s is raised by name, and not by the mended program', (code, { record, bad, good }) => {
    expect(found(record, bad).map((f) => f.code)).toContain(code);
    expect(found(record, good)).toEqual([]);
  });

  it('says less of a job from elsewhere that only states what is off, or frees the overrides', () => {
    const job = caseOf(NONE, cut('M48\nM9\n'));
    expect(checkOutputs(job, 'elsewhere').map((f) => f.severity)).toEqual(['note', 'note']);
    expect(checkOutputs(caseOf(NONE, cut('M49\n')), 'elsewhere').map((f) => f.severity)).toEqual(['warn']);
    expect(checkOutputs(caseOf(NONE, cut('M8\n')), 'elsewhere').map((f) => f.severity)).toEqual(['stop']);
  });
});

describe('guard', () => {
  const record = recordOf('petrel', {
    controller: { auxiliary: { vacuum: { on: 'M64 P0', off: 'M65 P0' } } },
  });
  const cutWith = (tool: number, x: number) =>
    `M5\nT${tool} M6\nG43 H${tool}\nG0 Z60\nS12000 M3\nG4 P6\nG0 X${x} Y205\nZ25\nG1 Z17.7 F800\nX${x + 20} F1500\nG0 Z60\nM5\n`;
  const verdict = (between: string, after: string) =>
    guard(
      record,
      {
        path: 'job.ngc',
        text: `${START}M64 P0\n${cutWith(1, 205)}${between}${cutWith(3, 405)}${after}M2\n`,
      },
      { zero: 'bed', cutter: null, allowedDepth: 1 },
    );

  it('may run a job with two cutters that holds its vacuum to the end, and not one that drops it before the second', () => {
    expect(verdict('', 'M65 P0\n').findings.filter((f) => f.severity === 'stop')).toEqual([]);
    expect(verdict('', 'M65 P0\n').verdict).toBe('may-run');
    const dropped = verdict('M65 P0\n', '');
    expect(dropped.verdict).toBe('may-not');
    expect(dropped.findings.map((f) => f.code)).toContain('output/vacuum-dropped');
  });
});
