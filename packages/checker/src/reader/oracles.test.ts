import fc from 'fast-check';
import Toolpath from 'gcode-toolpath';
import { describe, expect, it } from 'vitest';
import { controllerOf } from '../../../../test/support/controllers.ts';
import { isNgcLine } from '../../../../test/support/ngc-grammar.ts';
import { codes, STATED } from '../../../../test/support/traces.ts';
import { readProgram } from './index.ts';

const NGC = controllerOf('rs274ngc');

/** Findings that mean the line is not in the language, whatever its words would do. */
const SYNTAX = new Set([
  'grammar/character',
  'grammar/letter',
  'grammar/number',
  'grammar/number-missing',
  'grammar/exponent',
  'grammar/decimal-comma',
  'grammar/line-number',
  'grammar/block-delete',
  'grammar/subprogram',
  'grammar/expression',
  'grammar/parameter',
  'text/non-ascii',
  'text/control-character',
  'text/comment-open',
  'text/comment-nested',
  'text/line-length',
  'grammar/duplicate-word',
]);

describe('syntax against a grammar written from the report with a parser generator', () => {
  const trial: [string, boolean][] = [
    ['N99999 G1 X1', true],
    ['N000009 G1 X1', false],
    ['G1 X', false],
    ['G1 X.', false],
    ['G1 X1.2.3', false],
    ['G1 X1 (a (b) c)', false],
    ['G1 X1 (open', false],
    ['G1 X1 ; text', false],
    ['G1 X1e3', false],
    ['G1 X1,5', false],
    ['O100', false],
    ['G1 E5', false],
    ['G1 U5', false],
    ['G1 X1*52', false],
    ['G1 X1 (ä)', false],
    ['g0x +0. 12 34y 7', true],
    ['x[2+asin[1/2.1+-0.345]/[atan[fix[4.4]*2.1*sqrt[16.8]]/[-18]]**2]', true],
    ['', true],
    ['/', true],
    ['/N1', true],
    ['g 1 x sin [ 3 0 ]', true],
  ];
  it.each(trial)('%j', (line, accepted) => {
    expect(isNgcLine(line)).toBe(accepted);
    expect(accepts(line)).toBe(accepted);
  });

  const token = fc.constantFrom(
    ...[
      'G1',
      'G 0',
      'X',
      'Y',
      'x1',
      'Y-2.5',
      'Z.5',
      'I3.',
      'N',
      'N12',
      'N123456',
      '/',
      '(',
      ')',
      '(note)',
      '(MSG,hi)',
    ],
    ...[
      '#',
      '#1',
      '=',
      '#1=2',
      '[',
      ']',
      '[1+2]',
      '[1--2]',
      '**',
      '*',
      '+',
      '-',
      '.',
      '1',
      '23',
      '4.5',
      'e',
      'E1',
    ],
    ...[
      'o',
      'U1',
      'sin',
      'sin[30]',
      'atan[1]/[2]',
      'atan[1]',
      'mod',
      'and',
      'or[',
      'xor',
      'm3',
      'F100',
      'abs',
      ';',
    ],
    ...[
      ',',
      '%',
      ' ',
      '\t',
      'ln',
      'ln[2]',
      'fup[1.2]',
      'round',
      'ß',
      '\u0001',
      ':',
      'A1',
      'B2',
      'q',
      'Q1',
      'tan[',
      '"',
    ],
  );
  it('agrees on random soups of tokens', () => {
    let accepted = 0;
    let refused = 0;
    fc.assert(
      fc.property(fc.array(token, { maxLength: 9 }), (tokens) => {
        const line = tokens.join('');
        // Percent lines are marks of the file, not lines of the language.
        if (/^\s*%\s*$/.test(line)) return;
        const expected = isNgcLine(line);
        const trace = one(line);
        const own = codes(trace).filter((c) => SYNTAX.has(c));
        // Repeated letters and rotary axes are refused for their meaning, not their syntax.
        if (own.every((c) => c === 'grammar/duplicate-word' || c === 'grammar/letter') && own.length > 0) {
          if (/[abc]/i.test(line) || own.includes('grammar/duplicate-word')) return;
        }
        // The reader stops at the first word it has no use for, so only refusals of the grammar are compared then.
        if (expected) expect(own).toEqual([]);
        else expect(codes(trace, 'stop')).not.toEqual([]);
        if (expected) accepted++;
        else refused++;
      }),
      { numRuns: 20_000, seed: 274 },
    );
    expect(accepted).toBeGreaterThan(1000);
    expect(refused).toBeGreaterThan(1000);
  });
});

function one(line: string) {
  const parameters = Object.fromEntries(Array.from({ length: 30 }, (_, i) => [i + 1, 1]));
  return readProgram(`${line}\nM2\n`, 'a.ngc', NGC, {
    strict: false,
    start: [0, 0, 0],
    initial: STATED,
    parameters,
  });
}

function accepts(line: string): boolean {
  return codes(one(line)).every((c) => !SYNTAX.has(c));
}

describe('straight and circular motion against a general-purpose library', () => {
  const grid = (from: number, to: number) =>
    fc.integer({ min: from * 1000, max: to * 1000 }).map((v) => v / 1000);
  const straight = fc
    .tuple(fc.constantFrom('G0', 'G1'), grid(-500, 500), grid(-500, 500), grid(-20, 40))
    .map(([g, x, y, z]) => `${g} X${x} Y${y} Z${z}`);
  const arc = fc
    .tuple(fc.constantFrom('G2', 'G3'), grid(-50, 50), grid(-50, 50), fc.constantFrom(0, 1, 2, 3))
    .filter(([, i, j]) => Math.abs(i) + Math.abs(j) > 0.01)
    .map(([g, i, j, turn]) => {
      const [x, y] = [
        [i - j, j + i],
        [2 * i, 2 * j],
        [i + j, j - i],
        [0, 0],
      ][turn]!;
      return `G91\n${g} X${x!.toFixed(3)} Y${y!.toFixed(3)} I${i} J${j}\nG90`;
    });
  const units = fc.constantFrom('G20', 'G21');
  it('has the same moves, ends and centres', () => {
    let motions = 0;
    fc.assert(
      fc.property(
        fc.array(fc.oneof(straight, straight, arc, units), { minLength: 1, maxLength: 30 }),
        (lines) => {
          const text = `G21\nG90\nG17\n${lines.join('\n')}\n`;
          const theirs: { kind: string; to: number[]; centre: number[] }[] = [];
          const path = new Toolpath({
            addLine: (modal, _from, to) => {
              theirs.push({ kind: modal.motion, to: [to.x, to.y, to.z], centre: [] });
            },
            addArcCurve: (modal, _from, to, centre) => {
              theirs.push({ kind: modal.motion, to: [to.x, to.y, to.z], centre: [centre.x, centre.y] });
            },
          });
          path.loadFromStringSync(text);
          const trace = readProgram(text, 'a.ngc', NGC, {
            strict: false,
            start: [0, 0, 0],
            initial: { ...STATED, feed: 100 },
          });
          expect(trace.length).toBe(theirs.length);
          theirs.forEach((t, i) => {
            const kind =
              trace.kind[i] === 0 ? 'G0' : trace.kind[i] === 1 ? 'G1' : trace.sweep[i]! > 0 ? 'G3' : 'G2';
            expect(kind).toBe(t.kind);
            const near = (a: number, b: number) => expect(Math.abs(a - b)).toBeLessThan(1e-6);
            near(trace.x[i]!, t.to[0]!);
            near(trace.y[i]!, t.to[1]!);
            near(trace.z[i]!, t.to[2]!);
            if (t.centre.length > 0) {
              near(trace.c1[i]!, t.centre[0]!);
              near(trace.c2[i]!, t.centre[1]!);
            }
          });
          motions += theirs.length;
        },
      ),
      { numRuns: 800, seed: 6983 },
    );
    expect(motions).toBeGreaterThan(2000);
  });
});
