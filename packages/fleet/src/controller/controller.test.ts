import { describe, expect, test } from 'vitest';
import { resolveController } from './resolve.ts';

describe('a dialect without further words', () => {
  test.each(['rs274ngc', 'iso6983', 'rs274d', 'linear'] as const)(
    '%s is complete and has no fault, in both units',
    (dialect) => {
      for (const units of ['mm', 'in'] as const) {
        const { controller, diagnostics } = resolveController({ dialect }, units, 12000);
        expect(diagnostics).toEqual([]);
        const undefinedKeys: string[] = [];
        JSON.stringify(controller, (key, value) => {
          if (value === undefined) undefinedKeys.push(key);
          return value;
        });
        expect(undefinedKeys).toEqual([]);
        expect(controller.units).toBe(units);
        expect(controller.feed.max).toBe(12000);
      }
    },
  );

  test('rs274ngc: units G20/G21, arc tolerance 0.002 mm, lines within 256 characters (NISTIR 6556 3.5.6, 3.5.3, 3.3)', () => {
    const { controller } = resolveController({ dialect: 'rs274ngc' });
    expect(controller.unitsWord).toBe('G20/G21');
    expect(controller.arcs.tolerance).toBe(0.002);
    expect(controller.maxLineLength).toBeLessThanOrEqual(256);
    expect(controller.dwell).toEqual({ word: 'P', unit: 's' });
  });

  test('rs274d: no point, no work offset words, single quadrant (EIA RS-274-D word list)', () => {
    const { controller } = resolveController({ dialect: 'rs274d' });
    expect(controller.numbers.point).toBe('never');
    expect(controller.workOffset).toBe('none');
    expect(controller.arcs).toMatchObject({ quadrants: 'single', fullCircle: 'four' });
  });

  test('linear: neither arcs nor cycles', () => {
    const { controller } = resolveController({ dialect: 'linear' });
    expect(controller.arcs.form).toBe('none');
    expect(controller.cycles.use).toBe('none');
  });
});

test('lengths and feeds are in the unit of the profile, whatever the program text is in', () => {
  const { controller } = resolveController(
    { dialect: 'rs274ngc', units: 'mm', feed: { max: 400 }, arcs: { chord: 0.001, tolerance: '0.005 mm' } },
    'in',
  );
  expect(controller.feed.max).toBeCloseTo(10160, 9);
  expect(controller.arcs.chord).toBeCloseTo(0.0254, 12);
  expect(controller.arcs.tolerance).toBe(0.005);
});

test('a dwell in milliseconds has room for a minute', () => {
  const { controller } = resolveController({ dialect: 'linear', dwell: { unit: 'ms' } });
  expect(60_000).toBeLessThan(10 ** controller.numbers.dwell.integers);
  expect(controller.numbers.dwell.decimals).toBe(0);
});

test('a comment never needs more than its line has', () => {
  for (const max_line_length of [20, 40, 72, 80, 256]) {
    const { controller, diagnostics } = resolveController({ dialect: 'iso6983', max_line_length });
    expect(diagnostics).toEqual([]);
    expect(controller.commentLength + 2).toBeLessThanOrEqual(controller.maxLineLength);
  }
});

describe('combinations no controller can have', () => {
  test.each([
    [{ dialect: 'linear', arcs: { form: 'radius' } }, 'no arcs'],
    [{ dialect: 'rs274ngc', numbers: { point: 'never' } }, 'without a point'],
    [{ dialect: 'rs274ngc', units_word: 'G70/G71' }, 'G20 and G21'],
    [{ dialect: 'rs274ngc', arcs: { quadrants: 'single' } }, 'single-quadrant'],
    [{ dialect: 'rs274ngc', start: { program_word: 'O', program_number: 1 } }, 'no O word'],
    [{ dialect: 'rs274ngc', max_line_length: 300 }, '256'],
    [{ dialect: 'rs274d', work_offset: 'G54-G59.3' }, 'shift single axes'],
    [{ dialect: 'rs274d', tool_length: 'G43' }, 'cutter offset'],
    [{ dialect: 'iso6983', home: 'G53' }, 'cancels'],
    [{ dialect: 'iso6983', numbers: { xyz: { decimals: 1 } } }, 'coarser'],
    [{ dialect: 'iso6983', numbers: { ijk: { decimals: 2 } } }, 'would not close'],
    [{ dialect: 'iso6983', line_numbers: { use: 'every', start: 10, step: 10, max: 15 } }, 'second block'],
    [{ dialect: 'iso6983', start: { program_word: 'O' } }, 'none is given'],
    [{ dialect: 'iso6983', start: { program_number: 5 } }, 'appear nowhere'],
    [{ dialect: 'iso6983', feed: { min: 500, max: 400 } }, 'not below the largest'],
    [{ dialect: 'iso6983', auxiliary: { vacuum: { on: 'M7', off: 'M7' } } }, 'same word'],
    [{ dialect: 'iso6983', arcs: { min_radius: 5, max_radius: 4 } }, 'not below'],
    [
      {
        dialect: 'iso6983',
        spindle: {
          codes: [
            { rpm: 1000, code: 1 },
            { rpm: 2000, code: 1 },
          ],
        },
      },
      'repeats',
    ],
    [{ dialect: 'iso6983', numbers: { feed: { integers: 3 } } }, 'needs more than 3 digits'],
  ] as const)('%o', (written, part) => {
    const { diagnostics } = resolveController(written as never, 'mm', 12000);
    expect(diagnostics.map((d) => d.message).join('\n')).toContain(part);
    expect(diagnostics.length).toBe(1);
    expect(diagnostics[0]!.help).toBeTruthy();
  });
});
