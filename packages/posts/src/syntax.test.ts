import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { readReference } from '../../../test/support/reference.ts';
import { post } from './index.ts';
import { anyController, anyProgram } from './testing/arbitrary.ts';
import { reportFile, reportLine } from './testing/report-grammar.ts';

describe('the grammar of NISTIR 6556, Appendix E', () => {
  // The oracle itself, on lines the report allows or forbids (§3.3, Table 4, Table 14).
  test.each([
    'N12345 G1 X1',
    'g0x +0. 12 34y 7',
    '/N10 G1 X5',
    '',
    '(ONLY A COMMENT)',
    'X.5',
    'X5.',
    'G21 G17 G90 G94 G40 G49 G80 G54 G98',
  ])('takes %j', (line) => {
    expect(() => reportLine(line)).not.toThrow();
  });
  test.each([
    'N000009 G1 X1',
    'G1 X',
    'G1 X1.2.3',
    'G0 X1 (open',
    'G1 G0 X1',
    'M3 M5',
    'G1',
    'X1e3',
    'X1,5',
    'O100',
    'G1 X1 ; end',
    '(a (b) c)',
    'M0 M6 M3 M7 M48',
    'S-1',
    'G4',
  ])('refuses %j', (line) => {
    expect(() => reportLine(line)).toThrow();
  });

  test('refuses the lines of the vectors that are wrong in themselves', () => {
    const { mustReject } = JSON.parse(readReference('program-text-vectors.json')) as { mustReject: string[] };
    // The others are wrong by the state before them, or described in words; a reader's business.
    const syntactic = mustReject.filter(
      (line) => /^[A-Z0-9 .()a-z-]+$/.test(line) && !/G8[123]|words|line of|G2 /.test(line),
    );
    expect(syntactic.length).toBeGreaterThan(8);
    for (const line of syntactic.filter((l) => !l.includes('group 0')))
      expect(() => reportLine(line), line).toThrow();
  });

  test('takes every line of every program written for a controller of that dialect', () => {
    fc.assert(
      fc.property(anyProgram, anyController, (program, controller) => {
        if (controller.dialect !== 'rs274ngc') return;
        const [file] = post(program, { ...controller, auxiliary: { vacuum: { on: 'M7', off: 'M9' } } });
        reportFile(file!.text);
      }),
      { seed: 6556, numRuns: 1500 },
    );
  });
});
