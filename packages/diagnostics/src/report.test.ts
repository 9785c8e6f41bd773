import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import {
  compareSeverity,
  type Diagnostic,
  heavier,
  idleRaises,
  mergeRules,
  type Raise,
  raised,
  reporter,
  type Severity,
} from './index.ts';

const RULES = {
  'bed/hole': { severity: 'stop', title: 'a hole', why: 'A hole is permanent.', remedy: 'plug it' },
  'bed/dust': {
    severity: 'warn',
    also: [{ severity: 'stop', when: 'under the board' }],
    title: 'dust',
    why: 'Dust lifts the board.',
    remedy: 'sweep',
  },
} as const;
const report = reporter<keyof typeof RULES>(RULES);
const SEVERITIES: readonly Severity[] = ['note', 'warn', 'stop'];
const anySeverity = fc.constantFrom(...SEVERITIES);

describe('the builder of findings', () => {
  test('severity and remedy come from the rule, nothing undefined is kept', () => {
    expect(report({ code: 'bed/hole', message: 'a hole at A1', place: undefined, facts: undefined })).toEqual(
      {
        code: 'bed/hole',
        severity: 'stop',
        message: 'a hole at A1',
        help: 'plug it',
      },
    );
    expect(
      Object.keys(report({ code: 'bed/dust', message: 'dust', help: 'blow', excerpt: '', related: [] })),
    ).toEqual(['code', 'severity', 'message', 'excerpt', 'help']);
  });

  test('a severity that the rule names is taken, any other refused', () => {
    expect(report({ code: 'bed/dust', message: 'dust', severity: 'stop' }).severity).toBe('stop');
    expect(() => report({ code: 'bed/dust', message: 'dust', severity: 'note' })).toThrow(RangeError);
    expect(() => report({ code: 'bed/hole', message: 'hole', severity: 'warn' })).toThrow(/severity warn/);
  });

  test('a code without a rule is misuse, inherited names too', () => {
    expect(() => reporter<string>({})({ code: 'bed/none', message: 'x' })).toThrow(/no rule `bed\/none`/);
    expect(() => reporter<string>({})({ code: 'toString', message: 'x' })).toThrow(RangeError);
  });
});

describe('what a house raises', () => {
  const found = (severity: Severity): Diagnostic => ({ code: 'bed/dust', severity, message: 'dust' });

  test('is never lighter than the finding, and as heavy as the house says', () => {
    fc.assert(
      fc.property(anySeverity, anySeverity, (own, wanted) => {
        const [after] = raised([found(own)], { 'bed/dust': wanted });
        expect(compareSeverity(after!.severity, own)).toBeGreaterThanOrEqual(0);
        expect(after!.severity).toBe(heavier(own, wanted));
      }),
      { seed: 20, numRuns: 50 },
    );
  });

  test('other codes and inherited names are left alone', () => {
    const list: Diagnostic[] = [found('note'), { code: 'constructor', severity: 'note', message: 'x' }];
    expect(raised(list, { 'bed/hole': 'stop' })).toEqual(list);
  });

  test('names entries that do nothing', () => {
    expect(idleRaises({ 'bed/hole': 'warn', 'bed/hoel': 'stop', 'bed/dust': 'stop' }, RULES)).toEqual([
      { code: 'bed/hole', problem: 'lowers', wanted: 'warn', own: 'stop' },
      { code: 'bed/hoel', problem: 'unknown' },
    ]);
    const inherited: Raise = { ['toString' as string]: 'stop' };
    expect(idleRaises(inherited, RULES)).toEqual([{ code: 'toString', problem: 'unknown' }]);
  });
});

test('one code has one meaning', () => {
  expect(() => mergeRules(RULES, { 'bed/hole': RULES['bed/dust'] })).toThrow(/bed\/hole is defined twice/);
  expect(Object.keys(mergeRules(RULES, {}))).toEqual(['bed/hole', 'bed/dust']);
});
