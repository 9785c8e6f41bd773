import { describe, expect, it } from 'vitest';
import type { TOOL_RULES } from '../rules/tool.ts';
import { caseOf, recordOf, START } from '../testing/case-of.ts';
import { NOT_SAID } from '../trace.ts';
import { checkOwnTool, toolStretches } from './tools.ts';

/** Petrel has a changer and keeps lengths; on puffin cutters are put in by hand at a stop. */
const CHANGER = recordOf('petrel');
const BY_HAND = recordOf('puffin');

const CUT = 'G0 Z60\nS12000 M3\nG4 P6\nG0 X300 Y250\nZ25\nG1 Z17 F800\nX320 F1500\nG0 Z60\nM5\nM2\n';
const FETCHED = 'M5\nT1 M6\nG43 H1\n';

interface Sample {
  readonly bad: string;
  /** The same program with the fault mended. */
  readonly good: string;
  readonly line: number;
  readonly record?: ReturnType<typeof recordOf>;
  /** Number of the cutter that the program is made for; null: nothing in the spindle. Default: 1. */
  readonly expected?: number | null;
}

const good = START + FETCHED + CUT;
const SAMPLES: Readonly<Record<keyof typeof TOOL_RULES, Sample>> = {
  'tool/not-loaded': { bad: `${START}T1\nG43 H1\n${CUT}`, good, line: 7 },
  'tool/empty': { bad: `${START}M5\nT0 M6\n${CUT}`, good, line: 9, expected: 1 },
  'tool/wrong': { bad: `${START}M5\nT3 M6\nG43 H1\n${CUT}`, good, line: 3 },
  'tool/changed-again': { bad: `${START}${FETCHED}M5\nT1 M6\nG43 H1\n${CUT}`, good, line: 6 },
  'tool/unexpected-word': {
    bad: `${START}G43 H3\nG0 Z60\nM2\n`,
    good: `${START}M2\n`,
    line: 2,
    expected: null,
  },
  'tool/no-stop': {
    bad: `${START}M5\nM1\n${CUT}`,
    good: `${START}M5\nM0\n${CUT}`,
    line: 9,
    record: BY_HAND,
  },
  'tool/change-turning': { bad: `${START}S12000 M3\nT1 M6\nG43 H1\n${CUT}`, good, line: 3 },
  'tool/change-low': {
    bad: `${START}T1 M6\nG43 H1\nG0 Z60\nX300 Y250\nZ10\nT1 M6\nG43 H1\n${CUT}`,
    good: `${START}T1 M6\nG43 H1\nG0 Z60\nX300 Y250\nT1 M6\nG43 H1\n${CUT}`,
    line: 7,
  },
  'tool/length-missing': { bad: `${START}M5\nT1 M6\n${CUT}`, good, line: 4 },
  'tool/length-wrong': { bad: `${START}M5\nT1 M6\nG43 H2\n${CUT}`, good, line: 4 },
  'tool/length-before-change': { bad: `${START}M5\nG43 H1\nT1 M6\n${CUT}`, good, line: 4 },
  'tool/length-in-cut': {
    bad: good.replace('X320 F1500\n', 'G49\nX320 F1500\n'),
    good,
    line: 11,
  },
};

describe('every rule of the cutter in the spindle', () => {
  it.each(Object.entries(SAMPLES))('%s is raised by name, and not by the mended program', (code, sample) => {
    const { bad, good, line, record = CHANGER, expected = 1 } = sample;
    const found = checkOwnTool(caseOf(record, bad), expected).filter((f) => f.code === code);
    expect(found.map((f) => f.place?.line)).toContain(line);
    expect(checkOwnTool(caseOf(record, good), expected).map((f) => f.code)).not.toContain(code);
  });

  it('finds nothing in a program that fetches its cutter, states its length and then goes down', () => {
    expect(checkOwnTool(caseOf(CHANGER, good), 1)).toEqual([]);
  });

  it('asks for no length on the way home, which is in machine coordinates', () => {
    const goesHome = recordOf('petrel', {
      home: { at: [640, 560], z: 140 },
      controller: { home: 'G53' },
    });
    expect(checkOwnTool(caseOf(goesHome, `${START}G53 G0 Z0\n${FETCHED}${CUT}`), 1)).toEqual([]);
  });
});

describe('what the program before left running', () => {
  it('is stopped before a change', () => {
    const text = `${START}T1 M6\nG43 H1\n${CUT}`;
    expect(checkOwnTool(caseOf(CHANGER, text), 1).map((f) => f.code)).toEqual(['tool/change-turning']);
  });
});

describe('the stretches of a program', () => {
  it('are told apart by the cutter in the spindle', () => {
    const two = `${START}${FETCHED}${CUT.replace('M5\nM2\n', '')}M5\nT3 M6\nG43 H3\n${CUT}`;
    const { trace } = caseOf(CHANGER, two);
    // each cutter makes two rapids down, two cuts and two rapids at the clear height
    expect(toolStretches(trace)).toEqual([
      { tool: 1, from: 0, to: 6, line: 5 },
      { tool: 3, from: 6, to: 12, line: 16 },
    ]);
    expect([...trace.lengthOffset]).toEqual([1, 1, 1, 1, 1, 1, 3, 3, 3, 3, 3, 3]);
  });

  it('begin with an unknown cutter where no M6 stands before the first motion', () => {
    const { trace } = caseOf(CHANGER, `${START}G0 Z60\n${FETCHED}${CUT}`);
    expect(toolStretches(trace)[0]).toEqual({ tool: NOT_SAID, from: 0, to: 1, line: 2 });
    expect(trace.lengthOffset[0]).toBe(0);
  });
});
