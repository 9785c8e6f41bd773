import { describe, expect, it } from 'vitest';
import { controllerOf } from '../../../../test/support/controllers.ts';
import { codes, moves, STATED } from '../../../../test/support/traces.ts';
import { readProgram } from './index.ts';

const NGC = controllerOf('rs274ngc');
const ISO = controllerOf('iso6983');
const LOOSE = { strict: false, start: [0, 0, 0], initial: STATED } as const;

describe('numbers without a decimal point (EIA RS-274-D number formats)', () => {
  const format = (suppress: 'none' | 'leading' | 'trailing', integers: number, decimals: number) =>
    controllerOf('rs274d', {
      numbers: { suppress, xyz: { integers, decimals } },
    });
  // Published examples: format 2.3 and 2.4 of the RS-274-D number formats.
  it.each([
    ['none', 2, 3, '12345', 12.345],
    ['none', 2, 4, '123450', 12.345],
    ['none', 2, 4, '000100', 0.01],
    ['leading', 2, 4, '100', 0.01],
    ['trailing', 2, 4, '0001', 0.01],
    // derived: the same rules for a whole number and a sign
    ['trailing', 2, 4, '12', 12],
    ['leading', 2, 4, '-120000', -12],
    ['none', 2, 4, '-120000', -12],
  ] as const)('%s %d.%d %s is %d', (suppress, integers, decimals, text, expected) => {
    const trace = readProgram(`G71G90G00X${text}\nM30\n`, 'A.NC', format(suppress, integers, decimals), {
      strict: false,
    });
    expect(trace.x[0]).toBe(expected);
    expect(trace.understood).toBe(true);
  });

  it.each([
    ['none', '100'],
    ['leading', '1234567'],
    ['trailing', '1234567'],
    ['leading', '1.5'],
    ['leading', ''],
  ] as const)('%s refuses X%s in format 2.4', (suppress, text) => {
    const trace = readProgram(`G71G90G00X${text}\nM30\n`, 'A.NC', format(suppress, 2, 4), { strict: false });
    expect(trace.understood).toBe(false);
    expect(trace.length).toBe(0);
  });

  it('a dwell word that shares its letter with an axis has its own format', () => {
    const c = controllerOf('rs274d', {
      dwell: { word: 'X', unit: 's' },
      numbers: { suppress: 'leading', dwell: { integers: 3, decimals: 1 } },
    });
    const trace = readProgram('G71G90G00X1000\nG04X15\nM30\n', 'A.NC', c, { strict: false });
    expect(trace.events.find((e) => e.kind === 'dwell')?.value).toBe(1.5);
    expect(trace.length).toBe(1);
  });
});

describe('single-quadrant arcs (EIA RS-274-D: G74, until G75)', () => {
  const c = controllerOf('rs274d');
  const start = 'G71G40G80G90G17G94\nG00X10000Y0\nG00Z0\n';
  it('finds the centre from unsigned distances: a circle in four quadrants about the origin', () => {
    const trace = readProgram(
      `${start}G03X0Y10000I10000J0F800\nX-10000Y0I0J10000\nX0Y-10000I10000J0\nX10000Y0I0J10000\nM30\n`,
      'A.NC',
      c,
      { strict: false },
    );
    expect(trace.understood).toBe(true);
    for (let i = 2; i < 6; i++) {
      expect(trace.c1[i]).toBeCloseTo(0, 12);
      expect(trace.c2[i]).toBeCloseTo(0, 12);
      expect(trace.sweep[i]).toBeCloseTo(Math.PI / 2, 12);
    }
  });
  it('clockwise turns about the other side', () => {
    const trace = readProgram(`${start}G02X0Y10000I0J10000F800\nM30\n`, 'A.NC', c, { strict: false });
    // Derived: from (10,0) clockwise to (0,10) within a quadrant goes about (10,10).
    expect(trace.c1[2]).toBeCloseTo(10, 12);
    expect(trace.c2[2]).toBeCloseTo(10, 12);
    expect(trace.sweep[2]).toBeCloseTo(-Math.PI / 2, 12);
  });
  it('refuses an arc across an axis and a signed distance', () => {
    for (const block of ['G03X-10000Y0I10000J0F800', 'G03X0Y10000I-10000J0F800']) {
      expect(codes(readProgram(`${start}${block}\nM30\n`, 'A.NC', c, { strict: false }), 'stop')).toEqual([
        'state/arc-quadrant',
      ]);
    }
  });
  it('reads signed distances after G75', () => {
    const trace = readProgram(`${start}G75\nG03X-10000Y0I-10000J0F800\nM30\n`, 'A.NC', c, { strict: false });
    expect(trace.understood).toBe(true);
    expect(trace.sweep[2]).toBeCloseTo(Math.PI, 12);
  });
});

describe('arcs of every form and plane', () => {
  it.each([
    // Derived: a quarter turn about the start plus the offset, seen from the positive end of the plane's normal.
    ['G17 G3 X-5 Y5 I-5 J0', -5, 0, Math.PI / 2, 17, [-5, 5, 0]],
    ['G18 G3 Z-5 X5 K-5 I0', -5, 0, Math.PI / 2, 18, [5, 0, -5]],
    ['G19 G3 Y-5 Z5 J-5 K0', -5, 0, Math.PI / 2, 19, [0, -5, 5]],
    ['G17 G2 X0 Y0 I5', 5, 0, -2 * Math.PI, 17, [0, 0, 0]],
    ['G17 G3 X10 Y0 Z-2 I5', 5, 0, Math.PI, 17, [10, 0, -2]],
  ] as const)('%s', (block, c1, c2, sweep, plane, end) => {
    const trace = readProgram(`${block}\nM2\n`, 'a.ngc', NGC, LOOSE);
    expect(codes(trace, 'stop')).toEqual([]);
    expect([trace.c1[0], trace.c2[0], trace.plane[0]]).toEqual([c1, c2, plane]);
    expect(trace.sweep[0]).toBeCloseTo(sweep, 12);
    expect([trace.x[0], trace.y[0], trace.z[0]]).toEqual(end);
  });

  it('radius: positive for the short way, negative for the long way (NISTIR 6556 3.5.3.1)', () => {
    // Derived: chord 10, radius 5·√2 → a quarter turn, or three quarters.
    const r = (5 * Math.SQRT2).toFixed(9);
    const short = readProgram(`G17 G2 X10 Y0 R${r}\nM2\n`, 'a.ngc', NGC, LOOSE);
    const long = readProgram(`G17 G2 X10 Y0 R-${r}\nM2\n`, 'a.ngc', NGC, LOOSE);
    expect(short.sweep[0]).toBeCloseTo(-Math.PI / 2, 6);
    expect([short.c1[0], short.c2[0]]).toEqual([5, expect.closeTo(-5, 6)]);
    expect(long.sweep[0]).toBeCloseTo((-3 * Math.PI) / 2, 6);
    expect([long.c1[0], long.c2[0]]).toEqual([5, expect.closeTo(5, 6)]);
  });

  it('absolute centre by profile', () => {
    const c = controllerOf('iso6983', { arcs: { form: 'centre-absolute' } });
    const trace = readProgram('G0 X10. Y0.\nG3 X0. Y10. I0. J0.\nM2\n', 'a.nc', c, LOOSE);
    expect(trace.understood).toBe(true);
    expect([trace.c1[1], trace.c2[1]]).toEqual([0, 0]);
  });

  it('the tolerance is 0.002 mm, or 0.0002 in in inch mode (NISTIR 6556 3.5.3.2)', () => {
    const bad = (text: string) => codes(readProgram(`${text}\nM2\n`, 'a.ngc', NGC, LOOSE), 'stop');
    expect(bad('G3 X10.0019 Y0 I5')).toEqual([]);
    expect(bad('G3 X10.0021 Y0 I5')).toEqual(['state/arc-radius']);
    expect(bad('G20 F10\nG3 X1.00019 Y0 I0.5')).toEqual([]);
    expect(bad('G20 F10\nG3 X1.00021 Y0 I0.5')).toEqual(['state/arc-radius']);
  });
});

describe('when words take effect', () => {
  // NISTIR 6556 table 8 against the custom of the older standards (from memory): M5 and M9 before or after the motion.
  it('M5 beside a motion: before it in RS274/NGC, after it in ISO 6983', () => {
    const text = 'M3 S1000\nG1 X1. M5\nM2\n';
    expect([...readProgram(text, 'a.ngc', NGC, LOOSE).rpm]).toEqual([0]);
    expect([...readProgram(text, 'a.nc', ISO, LOOSE).rpm]).toEqual([1000]);
  });
  it('M6 stops the spindle, and M3 in the same block starts it again', () => {
    const trace = readProgram('M3 S900\nT1 M6\nG1 X1\nT2 M6 M3\nX2\nM2\n', 'a.ngc', NGC, LOOSE);
    expect([...trace.rpm]).toEqual([0, 900]);
    expect([...trace.tool]).toEqual([1, 2]);
  });
  it('F counts in the units of the block it is used in', () => {
    const trace = readProgram('G20 G1 X1 F10\nM2\n', 'a.ngc', NGC, LOOSE);
    expect(trace.feed[0]).toBe(254);
    expect(trace.x[0]).toBe(25.4);
  });
  it('a feed per second and speed codes by profile', () => {
    const c = controllerOf('iso6983', {
      feed: { per: 'second' },
      spindle: { codes: [{ rpm: 12_000, code: 3 }] },
    });
    const trace = readProgram('S3 M3\nG1 X1. F20.\nM2\n', 'a.nc', c, LOOSE);
    expect(trace.feed[0]).toBe(1200);
    expect(trace.rpm[0]).toBe(12_000);
    expect(codes(readProgram('S4 M3\nM2\n', 'a.nc', c, LOOSE), 'stop')).toEqual(['grammar/out-of-range']);
  });
  it('a dwell in milliseconds, or carried by another word', () => {
    const dwell = (text: string, word: 'P' | 'X' | 'F' | 'S' | 'U', unit: 's' | 'ms') =>
      readProgram(
        `${text}\nM2\n`,
        'a.nc',
        controllerOf('iso6983', { dwell: { word, unit } }),
        LOOSE,
      ).events.find((e) => e.kind === 'dwell')?.value;
    expect(dwell('G4 P500', 'P', 'ms')).toBe(0.5);
    expect(dwell('G4 X0.5', 'X', 's')).toBe(0.5);
    expect(dwell('G4 U0.5', 'U', 's')).toBe(0.5);
    expect(dwell('G4 F2.', 'F', 's')).toBe(2);
  });
  it('outputs named by the profile, with the words that belong to them', () => {
    const c = controllerOf('rs274ngc', {
      auxiliary: { vacuum: { on: 'M64 P1', off: 'M65 P1' }, air: { on: 'M7', off: 'M9' } },
    });
    const trace = readProgram('M64 P1\nM7\nM65 P1\nM2\n', 'a.ngc', c, LOOSE);
    expect(trace.events.filter((e) => e.kind === 'auxiliary').map((e) => e.text)).toEqual([
      'vacuum on',
      'air on',
      'vacuum off',
    ]);
    expect(codes(readProgram('M64 P2\nM2\n', 'a.ngc', c, LOOSE), 'stop')).toEqual(['grammar/unknown-code']);
  });
  it('Z down is turned up', () => {
    const c = controllerOf('rs274ngc', { zSign: -1 });
    const trace = readProgram('G0 Z-30\nG81 G99 X1 Y1 Z2 R-3\nM2\n', 'a.ngc', c, LOOSE);
    expect(moves(trace)).toEqual([
      ['T', 0, 0, 30],
      ['T', 1, 1, 30],
      ['T', 1, 1, 3],
      ['F', 1, 1, -2],
      ['T', 1, 1, 3],
    ]);
  });
  it('inverse time: the speed is the length over the time (NISTIR 6556 3.5.19)', () => {
    const trace = readProgram('G93 G1 X30 Y40 F2\nG2 X30 Y40 I10 F1\nM2\n', 'a.ngc', NGC, LOOSE);
    expect(trace.feed[0]).toBe(100);
    expect(trace.feed[1]).toBeCloseTo(20 * Math.PI, 9);
  });
  it('block delete: the block is left out with the switch on', () => {
    const text = 'G1 X1\n/X2\nX3\nM2\n';
    expect([...readProgram(text, 'a.ngc', NGC, LOOSE).x]).toEqual([1, 2, 3]);
    const on = readProgram(text, 'a.ngc', NGC, { ...LOOSE, blockDelete: true });
    expect([...on.x]).toEqual([1, 3]);
    expect(on.deletable).toBe(1);
  });
});

describe('what is not in the text is not guessed', () => {
  it('a place in machine coordinates is unknown without the offset, known with it', () => {
    const text = 'G53 G0 Z-5\nG91 G1 Z-1\nM2\n';
    const blind = readProgram(text, 'a.ngc', NGC, LOOSE);
    expect(blind.understood).toBe(false);
    expect(blind.flags[0]).toBe(1 | 16);
    expect(blind.z[1]).toBeNaN();
    const seen = readProgram(text, 'a.ngc', NGC, { ...LOOSE, origins: { 1: [0, 0, -100] } });
    expect(seen.understood).toBe(true);
    expect(seen.z[1]).toBe(94);
  });
  it('a second work offset moves the zero by the difference of the origins, or by nobody knows what', () => {
    const text = 'G1 X10\nG55\nG91 X1\nM2\n';
    expect(readProgram(text, 'a.ngc', NGC, LOOSE).x[1]).toBeNaN();
    const seen = readProgram(text, 'a.ngc', NGC, { ...LOOSE, origins: { 1: [100, 0, 0], 2: [50, 0, 0] } });
    expect(seen.x[1]).toBe(61);
  });
  it('home is wherever the controller says', () => {
    const trace = readProgram('G28 Z10\nM2\n', 'a.ngc', NGC, LOOSE);
    expect(trace.length).toBe(2);
    expect(trace.z[0]).toBe(10);
    expect(trace.z[1]).toBeNaN();
    expect(trace.flags[1]).toBe(1 | 4 | 8 | 16);
  });
  it('a program without units, modes and offsets is not vouched for', () => {
    const trace = readProgram('X10\nM2\n', 'a.ngc', NGC, { strict: false });
    expect(trace.understood).toBe(false);
    expect(trace.end.units).toBeNull();
  });
});
