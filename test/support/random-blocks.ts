import assert from 'node:assert/strict';
import { readProgram, type Trace } from '@bedledger/checker';
import fc from 'fast-check';
import { controllerOf } from './controllers.ts';
import { type NaiveMotion, naiveRead } from './naive-interpreter.ts';
import { codes } from './traces.ts';

// Random programs for two readings of NISTIR 6556, written apart.

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
export const program = fc
  .array(fc.oneof(straight, arc, radiusArc, cycle, mode), { minLength: 1, maxLength: 40 })
  .map((lines) => `G21 G90 G17 G94 G40 G49 G54 F500\nG92.1\nG0 X0 Y0 Z0\n${lines.join('\n')}\nM2\n`);

function productReading(text: string): Trace {
  return readProgram(text, 'a.ngc', NGC, { strict: false, origins: ORIGINS, start: [0, 0, 0] });
}

/** The motions of the simple reading; null where it refuses. */
function simpleReading(text: string): NaiveMotion[] | null {
  try {
    return naiveRead(text, { at: [10, 20, 30], origins: ORIGINS });
  } catch {
    return null;
  }
}

/**
 * Throws where the two readings of a well-formed program differ: in a motion, or in whether there is something wrong with
 * it. Returns the number of motions compared.
 */
export function agreeOn(text: string): number {
  const trace = productReading(text);
  const naive = simpleReading(text);
  const stops = codes(trace, 'stop');
  if (naive === null) {
    assert.notDeepEqual(stops, [], 'the simple reading refuses, and the product has nothing to say');
    return 0;
  }
  assert.deepEqual(stops, []);
  agree(trace, naive);
  return naive.length;
}

/**
 * Throws where the product reads a damaged program without a stop and the simple reading refuses it or reads other motions.
 * The product may always be the stricter one. Returns the number of motions compared.
 */
export function agreeUnlessStopped(text: string): number {
  // what the simple reading does not have: expressions, comments after a semicolon, machine coordinates
  if (/[;#[\]]/.test(text) || /G[ \t]*0*[ \t]*5[ \t]*3(?!\d)/i.test(text)) return 0;
  const trace = productReading(text);
  // the simple reading has no bounds: a repeat count of a million is not for it
  if (codes(trace, 'stop').length > 0) return 0;
  const naive = simpleReading(text);
  assert.notEqual(naive, null, 'the product reads what the simple reading refuses');
  agree(trace, naive!, 'may-be-unknown');
  return naive!.length;
}

const word = /([A-Z])([-+]?)(\d+)(\.\d*)?/g;

/** The same program as other people write it: case, blanks, zeros, signs and line numbers mean nothing. */
export const disguised = fc.tuple(program, fc.infiniteStream(fc.nat(5))).map(([text, dice]) => {
  const roll = (): number => dice.next().value as number;
  return text
    .split('\n')
    .map((line) => {
      if (line === '' || line.startsWith('(')) return line;
      const other = line.replace(word, (_all, letter: string, sign: string, whole: string, rest?: string) => {
        if (letter === 'N') return `${letter}${whole}`;
        const zeros = '0'.repeat(Math.max(0, roll() - 3));
        const plus = sign === '' && !'GMNFSLPQ'.includes(letter) && roll() === 0 ? '+' : sign;
        const end =
          rest === undefined
            ? roll() === 0 && !'GM'.includes(letter)
              ? '.'
              : ''
            : `${rest}${'0'.repeat(Math.max(0, roll() - 3))}`;
        const blank = roll() === 0 ? ' ' : '';
        return `${letter}${blank}${plus}${zeros}${whole}${end}`;
      });
      const number = roll() === 0 && !line.startsWith('N') ? `N${roll()}${roll()} ` : '';
      const packed =
        roll() === 0 ? other.replace(/ +/g, '') : roll() === 0 ? other.replace(/ +/g, ' \t ') : other;
      const told = roll() === 0 ? `${packed} (as told)` : packed;
      return number + (roll() < 2 ? told.toLowerCase() : told);
    })
    .join('\n');
});

/** A program with one to three characters changed, left out, doubled or put in. */
export const damaged = fc
  .tuple(
    disguised,
    fc.array(
      fc.tuple(
        fc.nat(100_000),
        fc.constantFrom('change', 'drop', 'double', 'insert'),
        fc.constantFrom(...'0123456789.-+GXYZIJKRFLPQMNST ()/%'.split('')),
      ),
      { minLength: 1, maxLength: 3 },
    ),
  )
  .map(([text, changes]) => {
    let out = text;
    for (const [where, how, what] of changes) {
      const at = where % out.length;
      const own = out[at]!;
      const put = { change: what, drop: '', double: own + own, insert: own + what }[how];
      out = out.slice(0, at) + put + out.slice(at + 1);
    }
    return out;
  });

/**
 * Motion by motion. Where a line was damaged the product may not know a place that the simple reading, which knows no tool
 * lengths, takes for granted; it may never know another one.
 */
function agree(
  trace: Trace,
  naive: readonly NaiveMotion[],
  places: 'known' | 'may-be-unknown' = 'known',
): void {
  assert.equal(trace.length, naive.length);
  naive.forEach((m, i) => {
    assert.equal('TFA'[trace.kind[i]!], m.kind);
    const near = (actual: number, expected: number) => {
      if (places === 'may-be-unknown' && Number.isNaN(actual)) return;
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
      assert.equal(trace.plane[i], m.plane);
    }
  });
}
