import { describe, expect, test } from 'vitest';
import { INPUT, RULES } from '../testing/sample.ts';
import { describeInfeasible, describeStack } from './describe.ts';
import { solveStack } from './solve.ts';

describe('the stack in words', () => {
  test('shows the arithmetic, every bound, and names what governs once', () => {
    const result = solveStack(INPUT);
    if (!result.feasible) throw new Error('the sample has a stack');
    const lines = describeStack(result.stack, INPUT);
    const text = lines.join('\n');
    // derived by hand from the published dimensions, see solve.test.ts
    expect(text).toContain(
      'head top at most 5.56 + washer 1.8 + head 4.15 = 11.51; cover 18 − 11.51 = 6.49, at least 6.44',
    );
    expect(text).toContain('screw M6 × 16 mm (± 0.35): end 16 − 5.56 − washer 1.6 = 8.84 below the bed');
    expect(text).toContain('growth 0.0005 × 3 × 300 from where the board is held = 0.45, position ± 0.3');
    expect(text).toContain('life: (18 − 13.06) / 0.4 a skim = 12 skims');
    for (const bound of result.stack.bounds) expect(text).toContain(`${bound.id}: `);
    expect(lines.filter((l) => / governs \[/.test(l))).toHaveLength(1);
  });

  test('restrained growth is said in millimetres', () => {
    const input = { ...INPUT, reach: 1364, rules: { ...RULES, growth: 'restrain' as const } };
    const result = solveStack(input);
    if (!result.feasible) throw new Error('restrained, there is a stack');
    expect(describeStack(result.stack, input).join('\n')).toMatch(
      /the screws hold 1\.\d+ back: the board is restrained here/,
    );
  });

  test('an infeasible stack: conflict, failing bounds, remedies', () => {
    const input = { ...INPUT, thickness: 12 };
    const result = solveStack(input);
    if (result.feasible) throw new Error('12 mm is too thin');
    const lines = describeInfeasible(result, input);
    expect(lines[0]).toBe(
      'fixing m6-hex-nylon cannot be had on a board of 12 mm: web against punching of the head through it (web-punching, 5.5 mm) and cover over the head (cover, 1.5 mm) cannot both hold',
    );
    expect(lines.some((l) => l.includes('FAILS'))).toBe(true);
    expect(lines.some((l) => l.startsWith('to free it: use a board at least 13.1 mm thick'))).toBe(true);
  });

  test('on an inch machine: inches, pounds-force and pound-inches, and nothing else', () => {
    const units = 'in' as const;
    const result = solveStack({ ...INPUT, units });
    if (!result.feasible) throw new Error('the sample has a stack');
    const thin = { ...INPUT, thickness: 12, units };
    const none = solveStack(thin);
    if (none.feasible) throw new Error('12 mm is too thin');
    const lines = [...describeStack(result.stack, { ...INPUT, units }), ...describeInfeasible(none, thin)]
      .map((line) => line.replace(/ \[[^\]]*\]$/, '')) // sources of formulas are quoted as printed
      // metric screws and drills are bought by these names
      .map((line) => line.replace(/M6 × \d+ mm|screw \d+ mm|washer iso\S+/g, ''));
    expect(lines.filter((line) => /\d mm\b|N·m|\d N\b|N\/mm²/.test(line))).toEqual([]);
    const text = lines.join('\n');
    // 250 N / 4.448222 N/lbf [NIST SP 811]
    expect(text).toContain('design pull 56.2 lbf');
    expect(text).toMatch(/working torque \d+\.\d lbf·in/);
  });
});
