import { describe, expect, test } from 'vitest';
import { THREAD_DESIGNATIONS } from '../catalogue/size.ts';
import { M6_WRITTEN } from '../testing/sample.ts';
import { headsFor, withHead } from './change-part.ts';
import { clearanceHole, resolveFixing } from './resolve-fixing.ts';
import type { FixingWritten } from './written.ts';

const codes = (written: FixingWritten): string[] =>
  resolveFixing('f', written).diagnostics.map((d) => `${d.severity} ${d.code} ${d.facts?.path}`);
const stops = (written: FixingWritten): string[] => codes(written).filter((c) => c.startsWith('stop'));

describe('a sound fixing', () => {
  const { fixing, diagnostics } = resolveFixing('m6', M6_WRITTEN);
  test('has nothing to report when everything was measured', () => {
    expect(diagnostics).toEqual([]);
  });
  test('takes the published head [ISO 4017: s 10 − 0.22, k 4 ± 0.15, e ≥ 11.05]', () => {
    const screw = fixing!.screw;
    expect(screw.bearing!.value - screw.bearing!.uncertainty).toBeCloseTo(9.78, 9);
    expect(screw.headHeight.value).toBeCloseTo(4, 9);
    expect(screw.headHeight.uncertainty).toBeCloseTo(0.15, 9);
    expect(screw.headDiameter.value - screw.headDiameter.uncertainty).toBeCloseTo(11.05, 9);
    expect(screw.headDiameter.from.grade).toBe('A');
  });
  test('takes the medium clearance hole [ISO 273: 6.6]', () => {
    expect(fixing!.clearanceHole.value).toBe(6.6);
    expect(clearanceHole('1/4', 'close')!.value).toBeCloseTo(0.266 * 25.4, 9); // ASME B18.2.8
  });
  test('keeps measurements, their uncertainty and their origin', () => {
    expect(fixing!.insert.outside).toEqual({
      value: 9.52,
      uncertainty: 0.02,
      from: { standard: 'measured by caliper', grade: 'measured', note: '± 0.02 mm' },
    });
  });
});

describe('cross-checks', () => {
  test('thread of screw and insert', () => {
    expect(stops({ ...M6_WRITTEN, insert: { ...M6_WRITTEN.insert, size: 'M8' } })).toEqual([
      'stop fixing/insert-thread insert.size',
    ]);
    expect(stops({ ...M6_WRITTEN, insert: { ...M6_WRITTEN.insert, size: 'm6x1' } })).toEqual([]);
  });
  test('a pitch left open, an unknown thread, a fine pitch', () => {
    for (const thread of ['#10', 'M7', 'M6x0.75', '', '1/4-28'])
      expect(stops({ ...M6_WRITTEN, thread })).toEqual(['stop fixing/thread-unknown thread']);
  });
  test('tool and head, with the older width across flats explained', () => {
    const m10: FixingWritten = {
      title: 'M10',
      thread: 'M10',
      screw: { head: 'iso4017-hex' },
      insert: { measured: { outside: 15, length: 16, by: 'caliper', uncertainty: 0.02 } },
      socket: { size: 17, measured: { outside: 23, by: 'caliper', uncertainty: 0.05 } },
    };
    const { fixing, diagnostics } = resolveFixing('m10', m10);
    expect(fixing).toBeNull();
    expect(diagnostics[0]?.message).toBe(
      'fixing m10: a tool of 17 mm does not fit iso4017-hex M10, which takes 16 mm',
    );
    expect(diagnostics[0]?.help).toContain('DIN 931/933');
    expect(stops({ ...m10, socket: { ...m10.socket, size: 16 } })).toEqual([]);
  });
  test('a bit for a hexagon head, a socket for a cross', () => {
    expect(stops({ ...M6_WRITTEN, socket: { kind: 'bit' } })).toEqual([
      'stop fixing/socket-kind socket.kind',
    ]);
    expect(
      stops({ ...M6_WRITTEN, screw: { head: 'iso7045-cross-pan' }, socket: { kind: 'socket' } }),
    ).toEqual(['stop fixing/socket-kind socket.kind']);
  });
  test('a socket nobody published, and one thinner than the head', () => {
    expect(stops({ ...M6_WRITTEN, socket: { size: 10 } })).toEqual(['stop fixing/socket-unknown socket']);
    expect(stops({ ...M6_WRITTEN, socket: { outside: 10.5 } })).toEqual([
      'stop fixing/socket-thin socket.outside',
    ]);
    // a ring wrench of 10 is published [JIS B 4632: 17]
    expect(codes({ ...M6_WRITTEN, socket: { kind: 'ring', size: 10 } })).toEqual([
      'warn fixing/socket-unmeasured socket.measured',
    ]);
  });
  test('washer and screw, head, hole', () => {
    const own = (inside: number, outside: number): FixingWritten => ({
      ...M6_WRITTEN,
      washer: { inside, outside, thickness: 1.6, uncertainty: 0.05 },
    });
    expect(stops(own(5.9, 12))).toEqual(['stop fixing/washer-inside washer.inside']);
    expect(stops(own(9.9, 20))).toEqual(['stop fixing/washer-head washer.inside']);
    expect(stops(own(12, 6.4))).toContain('stop fixing/washer-ring washer');
    expect(stops(own(6.1, 6.6))).toEqual(['stop fixing/washer-covers washer.outside']);
    expect(stops({ ...M6_WRITTEN, washer: { inside: 6.4, outside: Number.NaN, thickness: 1 } })).toEqual([
      'stop fixing/washer-dimension washer.outside',
    ]);
  });
  test('flat washer under a cone, cup washer under a flat head', () => {
    expect(stops({ ...M6_WRITTEN, screw: { head: 'iso10642-countersunk' }, socket: {} })).toEqual([
      'stop fixing/washer-countersunk washer',
    ]);
    expect(stops({ ...M6_WRITTEN, washer: { inside: 6.6, outside: 20, thickness: 4, cup: true } })).toEqual([
      'stop fixing/washer-cup washer.cup',
    ]);
  });
  test('an insert without dimensions asks for a caliper; a listed one for three measurements', () => {
    expect(stops({ ...M6_WRITTEN, insert: {} })).toEqual(['stop fixing/insert-dimensions insert']);
    expect(codes({ ...M6_WRITTEN, insert: { outside: 9.5, length: 13 } })).toEqual([
      'warn fixing/insert-unmeasured insert.measured',
    ]);
    expect(codes({ ...M6_WRITTEN, insert: { kind: 'din7965' } })).toEqual([
      'warn fixing/insert-unmeasured insert.measured',
    ]);
  });
  test('an insert with no wall, or a taper that leaves none', () => {
    expect(
      stops({
        ...M6_WRITTEN,
        insert: { measured: { outside: 5.9, length: 13, by: 'caliper', uncertainty: 0.02 } },
      }),
    ).toEqual(['stop fixing/insert-wall insert.outside']);
    expect(
      stops({
        ...M6_WRITTEN,
        insert: { measured: { outside: 9.5, length: 13, taper: 20, by: 'caliper', uncertainty: 0.02 } },
      }),
    ).toEqual(['stop fixing/insert-taper insert.taper']);
  });
  test('measurements without a tool, with an impossible uncertainty, or far from the published figure', () => {
    const measured = { outside: 9.52, length: 13, by: 'caliper', uncertainty: 0.02 };
    expect(stops({ ...M6_WRITTEN, insert: { measured: { ...measured, by: ' ' } } })).toEqual([
      'stop fixing/measured-by insert.measured.by',
    ]);
    expect(stops({ ...M6_WRITTEN, insert: { measured: { ...measured, uncertainty: -1 } } })).toEqual([
      'stop fixing/uncertainty insert.measured.uncertainty',
    ]);
    expect(stops({ ...M6_WRITTEN, insert: { measured: { ...measured, outside: 0 } } })).toEqual([
      'stop fixing/measured-value insert.measured.outside',
    ]);
    // a head height typed in inches
    expect(
      codes({
        ...M6_WRITTEN,
        screw: { head: 'iso4017-hex', measured: { head_height: 0.16, by: 'caliper', uncertainty: 0.02 } },
      }),
    ).toEqual(['warn fixing/measured-far screw.measured.head_height']);
  });
  test('lengths: none, negative, odd', () => {
    expect(stops({ ...M6_WRITTEN, screw: { head: 'iso4017-hex', lengths: [] } })).toEqual([
      'stop fixing/lengths screw.lengths',
    ]);
    expect(stops({ ...M6_WRITTEN, screw: { head: 'iso4017-hex', lengths: [20, -5] } })).toEqual([
      'stop fixing/lengths screw.lengths',
    ]);
    expect(codes({ ...M6_WRITTEN, screw: { head: 'iso4017-hex', lengths: [20, 22] } })).toEqual([
      'note fixing/lengths-odd screw.lengths',
    ]);
  });
  test('a head of another measuring system, an unknown one, unknown washer and materials', () => {
    expect(stops({ ...M6_WRITTEN, screw: { head: 'asme-b18.3-button' } })).toEqual([
      'stop fixing/head-size screw.head',
    ]);
    expect(stops({ ...M6_WRITTEN, screw: { head: 'iso4762' } })).toEqual([
      'stop fixing/head-unknown screw.head',
    ]);
    expect(stops({ ...M6_WRITTEN, washer: 'iso7093-1' as 'iso7089' })).toEqual([
      'stop fixing/washer-unknown washer',
    ]);
    expect(stops({ ...M6_WRITTEN, screw: { head: 'iso4017-hex', material: 'tin' as 'steel' } })).toEqual([
      'stop fixing/material screw.material',
    ]);
    expect(
      stops({ ...M6_WRITTEN, insert: { ...M6_WRITTEN.insert, strength: { shear: 0, source: 'x' } } }),
    ).toEqual(['stop fixing/strength insert.strength']);
  });
  test('several faults are told in one run', () => {
    const bad: FixingWritten = { ...M6_WRITTEN, insert: { size: 'M8' }, socket: { size: 13, outside: 17 } };
    expect(stops(bad)).toEqual([
      'stop fixing/insert-thread insert.size',
      'stop fixing/socket-fits socket.size',
    ]);
  });
  test('a screw of metal is worth a note', () => {
    expect(codes({ ...M6_WRITTEN, screw: { head: 'iso4017-hex', material: 'steel' } })).toEqual([
      'note fixing/metal-screw screw.material',
    ]);
  });
});

describe('every head of the catalogue', () => {
  test.each([...THREAD_DESIGNATIONS])('%s resolves with a tool, or says what to measure', (thread) => {
    const heads = headsFor(thread);
    expect(heads.length).toBeGreaterThan(3);
    for (const head of heads) {
      const { fixing, diagnostics } = resolveFixing('any', {
        title: head,
        thread,
        screw: { head },
        insert: { measured: { outside: 20, length: 20, by: 'caliper', uncertainty: 0.02 } },
        socket: head.endsWith('hex') ? { measured: { outside: 30, by: 'caliper', uncertainty: 0.05 } } : {},
      });
      expect(diagnostics.filter((d) => d.severity === 'stop')).toEqual([]);
      expect(fixing!.screw.headHeight.value).toBeGreaterThan(0);
      expect(fixing!.screw.headDiameter.value).toBeGreaterThan(fixing!.screw.thread.majorDiameter);
    }
  });
  test('changing the head keeps screw and insert, and drops a flat washer under a cone', () => {
    const { fixing } = resolveFixing('m6', M6_WRITTEN);
    const cone = withHead(fixing!, 'iso10642-countersunk');
    expect(cone?.washer).toBeUndefined();
    expect(cone?.insert).toBe(fixing!.insert);
    expect(withHead(fixing!, 'asme-b18.3-button')).toBeNull();
  });
});

describe('how findings are written', () => {
  // one fixing of each fault that names a length
  const FAULTS: readonly FixingWritten[] = [
    { ...M6_WRITTEN, socket: { size: 13 } },
    { ...M6_WRITTEN, socket: { outside: 10.5 } },
    { ...M6_WRITTEN, socket: { kind: 'ring', size: 10 } },
    { ...M6_WRITTEN, socket: { outside: -1 } },
    { ...M6_WRITTEN, socket: { kind: 'ring', size: 10.1 } },
    { ...M6_WRITTEN, washer: { inside: 5.9, outside: 5.8, thickness: 1.6 } },
    { ...M6_WRITTEN, washer: { inside: 9.9, outside: 20, thickness: -1 } },
    { ...M6_WRITTEN, washer: { inside: 9.9, outside: 20, thickness: 1.6 } },
    { ...M6_WRITTEN, washer: { inside: 6.1, outside: 6.6, thickness: 1.6, uncertainty: -0.1 } },
    { ...M6_WRITTEN, washer: { inside: 6.1, outside: 6.5, thickness: 1.6, uncertainty: 0.05 } },
    { ...M6_WRITTEN, insert: { outside: -1, length: 13 } },
    { ...M6_WRITTEN, insert: { outside: 5.9, length: 13 } },
    { ...M6_WRITTEN, insert: { outside: 9.5, length: 13, taper: 20 } },
    { ...M6_WRITTEN, insert: { measured: { outside: 0, by: 'caliper', uncertainty: 0.02 } } },
    { ...M6_WRITTEN, insert: { measured: { outside: 9, by: 'caliper', uncertainty: -1 } } },
    { ...M6_WRITTEN, screw: { head: 'iso4017-hex', lengths: [600] } },
    { ...M6_WRITTEN, screw: { head: 'iso4017-hex', lengths: [22] } },
    {
      ...M6_WRITTEN,
      screw: { head: 'iso4017-hex', measured: { head_height: 0.16, by: 'caliper', uncertainty: 0.02 } },
    },
  ];
  const found = (units: 'mm' | 'in') =>
    FAULTS.flatMap((written) => [...resolveFixing('f', written, { units }).diagnostics]);

  test.each([
    ['mm', /\d in\b/],
    ['in', /\d mm\b/],
  ] as const)('lengths in %s, and in nothing else', (units, foreign) => {
    const texts = found(units).map((d) => d.message);
    expect(texts.length).toBeGreaterThan(FAULTS.length - 1);
    expect(texts.filter((text) => foreign.test(text))).toEqual([]);
    expect(texts.some((text) => text.includes(` ${units}`))).toBe(true);
  });

  test('where the caller says that the key stands', () => {
    const { diagnostics } = resolveFixing(
      'm6',
      { ...M6_WRITTEN, insert: { ...M6_WRITTEN.insert, size: 'M8' } },
      {
        placeOf: (path) => ({
          place: { file: 'shared/fixings.yaml', line: path.length, column: 3 },
          excerpt: path.join(' > '),
        }),
      },
    );
    expect(diagnostics.map((d) => [d.code, d.place?.line, d.excerpt])).toEqual([
      ['fixing/insert-thread', 2, 'insert > size'],
    ]);
  });
});
