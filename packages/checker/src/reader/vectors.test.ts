import { describe, expect, it } from 'vitest';
import { controllerOf } from '../../../../test/support/controllers.ts';
import { readReference } from '../../../../test/support/reference.ts';
import { codes, moves, STATED } from '../../../../test/support/traces.ts';
import { readProgram } from './index.ts';

// Sources: the numbers in square brackets are sections and tables of NISTIR 6556, "The NIST RS274NGC Interpreter,
// Version 3" (2000).

interface Vector {
  readonly id: string;
  readonly start?: [number, number, number];
  readonly units?: 'mm' | 'inch';
  readonly in?: string[];
  readonly out?: (string | number)[][];
  readonly outG98?: (string | number)[][];
  readonly outG99?: (string | number)[][];
}
const vectors = JSON.parse(readReference('program-text-vectors.json')) as {
  reportStated: Vector[];
  derivedFromReportRules: Vector[];
  mustReject: string[];
};

const NGC = controllerOf('rs274ngc');

function read(lines: readonly string[], start: readonly [number, number, number], initial = STATED) {
  return readProgram(`${lines.join('\n')}\n`, 'vector.ngc', NGC, { strict: false, start, initial });
}

/** Motions in the vector's units, with dwells and feed rates where the vector has them. */
function compare(
  vector: Vector,
  expected: readonly (string | number)[][],
  back: 'initial' | 'r-plane',
): void {
  const scale = vector.units === 'inch' ? 25.4 : 1;
  const start = (vector.start ?? [0, 0, 0]).map((v) => v * scale) as [number, number, number];
  const trace = read(vector.in ?? [], start, {
    ...STATED,
    units: vector.units === 'inch' ? 'in' : 'mm',
    cycleReturn: back,
  });
  const actual = moves(trace).map((move) =>
    move.map((v, i) => (typeof v === 'number' && !(move[0] === 'ARC' && i === 5) ? v / scale : v)),
  );
  const motions = expected.filter((e) => ['T', 'F', 'ARC'].includes(String(e[0])));
  expect(actual.map((a) => a[0])).toEqual(motions.map((e) => e[0]));
  motions.forEach((e, i) => {
    e.forEach((v, column) => {
      // The published centres have four decimals.
      if (typeof v === 'number')
        expect(actual[i]![column] as number).toBeCloseTo(v, column > 2 && e[0] === 'ARC' ? 3 : 9);
    });
  });
  const dwells = expected.filter((e) => e[0] === 'DWELL').map((e) => e[1]);
  expect(trace.events.filter((e) => e.kind === 'dwell').map((e) => e.value)).toEqual(dwells);
  for (const e of expected.filter((x) => x[0] === 'FEED')) expect(trace.feed).toContain(e[1]);
  expect(trace.understood).toBe(true);
}

describe('published vectors', () => {
  for (const vector of [...vectors.reportStated, ...vectors.derivedFromReportRules]) {
    if (vector.in === undefined) continue;
    const expected = vector.out ?? vector.outG98;
    if (expected !== undefined) it(vector.id, () => compare(vector, expected, 'initial'));
    const second = vector.outG99;
    if (second !== undefined) it(`${vector.id} with G99`, () => compare(vector, second, 'r-plane'));
  }
  for (const text of vectors.mustReject) {
    it(`rejects ${text}`, () => {
      const block = text.startsWith('line of 257')
        ? `G1 X1 (${'A'.repeat(250)})`
        : text.startsWith('five M')
          ? 'M3 M7 M48 M0 M6'
          : text.replace(/ \((no|group).*$/, '');
      const trace = read([block, 'M2'], [0, 0, 0]);
      expect(codes(trace, 'stop')).not.toEqual([]);
      expect(trace.length).toBe(0);
    });
  }
});

describe('what the report accepts', () => {
  it.each([
    ['g0x +0. 12 34y 7', [['T', 0.1234, 7, 0]]], // [3.3]
    ['/N10 G1 X5', [['F', 5, 0, 0]]], // [3.3]
    ['', []],
    ['T1 M6', []], // [3.6.3]
    ['M3 S0', []], // [3.6.2]
    ['G1 X1(one)Y2(two)', [['F', 1, 2, 0]]],
    ['n99999 g1 x.5', [['F', 0.5, 0, 0]]],
    ['G01X5.', [['F', 5, 0, 0]]],
    ['M3 M7 M48 M0', []], // four M words [3.3.5]
    ['G21 G17 G90 G94 G40 G49 G80 G54 G98', []], // nine groups in one block [table 4]
  ])('%s', (block, expected) => {
    const trace = read([block, 'M2'], [0, 0, 0]);
    expect(codes(trace, 'stop')).toEqual([]);
    expect(moves(trace)).toEqual(expected);
  });

  it('T in an earlier block than M6', () => {
    const trace = read(['T7', 'M6', 'G1 X1', 'M2'], [0, 0, 0]);
    expect(codes(trace, 'stop')).toEqual([]);
    expect(trace.tool[0]).toBe(7);
  });

  it('five items of a line mean the same in all 120 orders [3.3.6]', () => {
    const items = ['g40', 'g1', '#3=15', '(foo)', '#4=-7.0'];
    const orders = permutations(items);
    expect(orders).toHaveLength(120);
    for (const order of orders) {
      const trace = read([`${order.join(' ')} x1`, 'x#3 y#4', 'M2'], [0, 0, 0]);
      expect(codes(trace, 'stop')).toEqual([]);
      expect(moves(trace)).toEqual([
        ['F', 1, 0, 0],
        ['F', 15, -7, 0],
      ]);
    }
  });
});

describe('examples of the text', () => {
  it('tool change with length offset [table 10]', () => {
    const trace = readProgram('t2\nm6 g43 h2\nm2\n', 'a.ngc', NGC, {
      strict: false,
      start: [0, 1, 0.5],
      initial: STATED,
      toolLengths: { 2: 1 },
    });
    expect(trace.reading).toEqual([0, 1, -0.5]);
    expect(trace.end.tool).toBe(2);
    expect(codes(trace, 'stop')).toEqual([]);
  });

  it('g1 x asim[0.5] is rejected, g1 x asin[0.5] is 30 [table 10]', () => {
    expect(codes(read(['g1 x asim[0.5]', 'm2'], [0, 1, -0.5]), 'stop')).toEqual(['grammar/expression']);
    const trace = read(['g1 x asin[0.5]', 'm2'], [0, 1, -0.5]);
    expect(trace.x[0]).toBeCloseTo(30, 12);
  });

  it('G92 twice [3.5.18]', () => {
    const once = read(['g92 x7'], [4, 0, 0]);
    expect(once.axisOffsets[0]).toBe(-3);
    expect(once.reading[0]).toBe(7);
    const twice = read(['g92 x7', 'g92 x9'], [4, 0, 0]);
    expect(twice.axisOffsets[0]).toBe(-5);
    expect(twice.reading[0]).toBe(9);
  });

  it('parameters are set after the line is read [3.3.3]', () => {
    const trace = read(['#3=15', '#3=6 G1 x#3', 'M2'], [0, 0, 0]);
    expect(trace.x[0]).toBe(15);
    expect(trace.parameters[3]).toBe(6);
  });

  it('G83 goes down by Q, out, and back to just above the last bottom [3.5.16.4]', () => {
    const trace = read(['G90 G83 G98 X4 Y5 Z0.6 R2 Q0.5', 'M2'], [0, 0, 3]);
    const bottoms = moves(trace)
      .filter((m) => m[0] === 'F')
      .map((m) => m[3]);
    expect(bottoms).toEqual([1.5, 1, 0.6]);
    const back = [4, 7].map((i) => trace.z[i]!);
    expect(back[0]).toBeGreaterThan(1.5);
    expect(back[0]).toBeLessThan(2);
    expect(back[1]).toBeGreaterThan(1);
    expect(back[1]).toBeLessThan(1.5);
  });

  it('the end of a program resets what the report lists and nothing else [3.6.1]', () => {
    const trace = read(['G20 G18 G91 G93 G99 G55', 'S500 M3', 'G92 X1', 'M2'], [0, 0, 0]);
    expect(trace.end).toMatchObject({
      units: 'in',
      plane: 'XY',
      distance: 'absolute',
      feedMode: 'per-minute',
      motion: 'G1',
      workOffset: 1,
      cycleReturn: 'r-plane',
      spindle: 'off',
      speed: 500,
      cutterCompensation: 'off',
    });
    expect(trace.axisOffsets).toEqual([0, 0, 0]);
  });
});

// Appendix C.2 states the value of X beside each line, to four decimals at most. Line n0460 has none there; its value
// was computed apart. `#1` holds 2 before the program.
describe('expressions of appendix C.2', () => {
  it.each([
    ['[1 + 2]', 3],
    ['[1 - 2]', -1],
    ['[1 --3]', 4],
    ['[2/5]', 0.4],
    ['[3.0 * 5]', 15],
    ['[0 OR 0]', 0],
    ['[0 OR 1]', 1],
    ['[2 or 2]', 1],
    ['[0 AND 0]', 0],
    ['[0 AND 1]', 0],
    ['[2 and 2]', 1],
    ['[0 XOR 0]', 0],
    ['[0 XOR 1]', 1],
    ['[2 xor 2]', 0],
    ['[15 MOD 4.0]', 3],
    ['[1 + 2 * 3 - 4 / 5]', 6.2],
    ['sin[30]', 0.5],
    ['cos[0.0]', 1],
    ['tan[60.0]', 1.7321],
    ['sqrt[3]', 1.7321],
    // The argument is rounded by up to 0.00005, which is 0.0007 degrees here (derived: d atan = dx / (1 + x²)).
    ['atan[1.7321]/[1.0]', 60, 0.00075],
    ['asin[1.0]', 90],
    ['acos[0.707107]', 45, 0.0001],
    ['abs[20.0]', 20],
    ['abs[-1.23]', 1.23],
    ['round[-0.499]', 0],
    ['round[-0.5001]', -1],
    ['round[2.444]', 2],
    ['round[9.975]', 10],
    ['fix[-0.499]', -1],
    ['fix[-0.5001]', -1],
    ['fix[2.444]', 2],
    ['fix[9.975]', 9],
    ['fup[-0.499]', 0],
    ['fup[-0.5001]', 0],
    ['fup[2.444]', 3],
    ['fup[9.975]', 10],
    ['exp[2.3026]', 10, 0.0005],
    // biome-ignore lint/suspicious/noApproximativeNumericConstant: the report's own figure
    ['ln[10.0]', 2.3026],
    ['[2 ** 3.0]', 8],
    ['sqrt[3**2 + 4**2]', 5],
    ['[2 + asin[1/2.1+-0.345] / [atan[fix[4.4] * 2.1 * sqrt[16.8]] /[-18]]**2]', 2.000545],
    // [3.3.2.3], [3.3.2.4]
    ['[2.0 / 3 * 1.5 - 5.5 / 11.0]', 0.5],
    ['fix[2.8]', 2],
    ['fix[-2.8]', -3],
    ['fup[2.8]', 3],
    ['fup[-2.8]', -2],
  ] as [string, number, number?][])('x %s is %d', (expression, expected, within = 0.00005) => {
    const trace = read([`g1 x ${expression}`, 'm2'], [0, 0, 0]);
    expect(codes(trace, 'stop')).toEqual([]);
    expect(Math.abs(trace.x[0]! - expected)).toBeLessThanOrEqual(within);
  });

  it('a parameter named by a parameter, and settings that take effect together', () => {
    const trace = read(['#1=2', '##1 = 0.375', 'g1 x #2', '#3=7.0', '#3=5.0 x #3', 'x #3', 'm2'], [0, 0, 0]);
    expect(Array.from(trace.x)).toEqual([0.375, 7, 5]);
    expect(codes(trace, 'stop')).toEqual([]);
  });
});

function permutations<T>(items: readonly T[]): T[][] {
  if (items.length <= 1) return [[...items]];
  return items.flatMap((item, i) =>
    permutations([...items.slice(0, i), ...items.slice(i + 1)]).map((rest) => [item, ...rest]),
  );
}
