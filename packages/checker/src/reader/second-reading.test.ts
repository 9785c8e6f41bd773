import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { controllerOf } from '../../../../test/support/controllers.ts';
import { type NaiveMotion, naiveRead } from '../../../../test/support/naive-interpreter.ts';
import { codes } from '../../../../test/support/traces.ts';
import type { Trace } from '../trace.ts';
import { readProgram } from './index.ts';

// Two readings of NISTIR 6556, written apart, must agree motion by motion on random programs.
const NGC = controllerOf('rs274ngc');
const ORIGINS = { 1: [10, 20, 30], 2: [-5, 7.5, 1], 3: [0, 0, -2] } as const;

const number = (from: number, to: number) =>
  fc.integer({ min: Math.round(from * 1000), max: Math.round(to * 1000) }).map((v) => String(v / 1000));
const axes = (letters: readonly string[]) =>
  fc
    .tuple(
      ...letters.map((l) =>
        fc.option(
          number(-400, 400).map((v) => `${l}${v}`),
          { nil: '' },
        ),
      ),
    )
    .map((w) => w.join(' ').trim());

const straight = fc
  .tuple(fc.constantFrom('G0', 'G1', 'G1', 'G0', 'G1', ''), axes(['X', 'Y', 'Z']))
  .map(([g, w]) => (w === '' ? '' : `${g} ${w}`));
// Arcs whose end is the start turned about the centre by a quarter, a half or a full turn: exact on any grid.
const turns = fc.constantFrom(
  (i: number, j: number) => [i - j, j + i] as const,
  (i: number, j: number) => [2 * i, 2 * j] as const,
  (i: number, j: number) => [i + j, j - i] as const,
  () => [0, 0] as const,
);
const arc = fc
  .tuple(
    fc.constantFrom('G2', 'G3'),
    fc.integer({ min: -50_000, max: 50_000 }),
    fc.integer({ min: -50_000, max: 50_000 }),
    turns,
    fc.option(number(-5, 5), { nil: undefined }),
    fc.constantFrom(17, 18, 19),
  )
  .filter(([, i, j]) => i !== 0 || j !== 0)
  .map(([g, i, j, turn, rise, plane]) => {
    const [a, b, c] = plane === 17 ? 'XYZ' : plane === 18 ? 'ZXY' : 'YZX';
    const [u, v] = plane === 17 ? 'IJ' : plane === 18 ? 'KI' : 'JK';
    const [x, y] = turn(i, j);
    const s = (n: number) => String(n / 1000);
    return `G91 G${plane} ${g} ${a}${s(x)} ${b}${s(y)} ${rise === undefined ? '' : `${c}${rise} `}${u}${s(i)} ${v}${s(j)}\nG90`;
  });
const radiusArc = fc
  .tuple(
    fc.constantFrom('G2', 'G3'),
    number(1, 60),
    number(1, 60),
    fc.double({ min: 1.05, max: 3, noNaN: true }),
    fc.boolean(),
  )
  .map(([g, x, y, factor, long]) => {
    const r = ((Math.sqrt(Number(x) ** 2 + Number(y) ** 2) / 2) * factor).toFixed(3);
    return `G91 G17 ${g} X${x} Y-${y} R${long ? '-' : ''}${r}\nG90`;
  });
const cycle = fc
  .record({
    g: fc.constantFrom('G81', 'G82', 'G83', 'G85', 'G89'),
    back: fc.constantFrom('G98', 'G99'),
    distance: fc.constantFrom('G90', 'G91'),
    // The plane's two axes and its normal: G18 drills along Y, G19 along X (3.5.16, appendix C.3).
    plane: fc.constantFrom(['G17', 'X', 'Y', 'Z'], ['G18', 'Z', 'X', 'Y'], ['G19', 'Y', 'Z', 'X']),
    first: number(-200, 200),
    r: number(1, 40),
    depth: number(0.5, 30),
    repeats: fc.integer({ min: 1, max: 3 }),
    next: fc.option(number(-200, 200), { nil: undefined }),
  })
  .map(({ g, back, distance, plane: [word, a, b, c], first, r, depth, repeats, next }) => {
    const bottom = distance === 'G91' ? `-${depth}` : (Number(r) - Number(depth)).toFixed(3);
    const extra = g === 'G82' || g === 'G89' ? ' P0.5' : g === 'G83' ? ' Q3.7' : '';
    const more = next === undefined ? '' : `\n${b}${next}`;
    return `${word} ${distance} ${g} ${back} ${a}${first} ${b}1.5 ${c}${bottom} R${r} L${repeats}${extra}${more}\nG80\nG90`;
  });
const mode = fc.constantFrom(
  'G20 F30',
  'G21 F700',
  'F250',
  'G91',
  'G90',
  'G55',
  'G54',
  'G56',
  'G61',
  'M3 S900',
  'G92 X1 Y-2.5',
  'G92.1',
  'G92.2',
  'G92.3',
  'G10 L2 P2 X3 Z1',
  '(a comment)',
  'N7',
);
const program = fc
  .array(fc.oneof(straight, arc, radiusArc, cycle, mode), { minLength: 1, maxLength: 40 })
  .map((lines) => `G21 G90 G17 G94 G40 G49 G54 F500\nG92.1\nG0 X0 Y0 Z0\n${lines.join('\n')}\nM2\n`);

describe('two readings of one program', () => {
  it('agree on random programs', () => {
    let compared = 0;
    fc.assert(
      fc.property(program, (text) => {
        let naive: NaiveMotion[];
        try {
          naive = naiveRead(text, { at: [10, 20, 30], origins: ORIGINS });
        } catch {
          // The simple reading refuses: the product must have something to say as well.
          const trace = readProgram(text, 'a.ngc', NGC, {
            strict: false,
            origins: ORIGINS,
            start: [0, 0, 0],
          });
          expect(codes(trace, 'stop')).not.toEqual([]);
          return;
        }
        const trace = readProgram(text, 'a.ngc', NGC, { strict: false, origins: ORIGINS, start: [0, 0, 0] });
        expect(codes(trace, 'stop')).toEqual([]);
        agree(trace, naive);
        compared += naive.length;
      }),
      { numRuns: 1500, seed: 6556 },
    );
    expect(compared).toBeGreaterThan(10_000);
  });
});

function agree(trace: Trace, naive: readonly NaiveMotion[]): void {
  expect(trace.length).toBe(naive.length);
  naive.forEach((m, i) => {
    expect('TFA'[trace.kind[i]!]).toBe(m.kind);
    const near = (actual: number, expected: number) => {
      if (!(Math.abs(actual - expected) <= 1e-6))
        throw new Error(`motion ${i}: ${actual} against ${expected}`);
    };
    near(trace.x[i]!, m.to[0]!);
    near(trace.y[i]!, m.to[1]!);
    near(trace.z[i]!, m.to[2]!);
    if (m.kind !== 'T') near(trace.feed[i]!, m.feed);
    if (m.kind === 'A') {
      near(trace.c1[i]!, m.centre[0]);
      near(trace.c2[i]!, m.centre[1]);
      near(trace.sweep[i]!, m.turn);
      expect(trace.plane[i]).toBe(m.plane);
    }
  });
}
