import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import type { Diagnostic, Severity } from './diagnostic.ts';
import { foldFindings, foldTogether, unfolded } from './fold.ts';
import { compareDiagnostics, sortDiagnostics } from './order.ts';
import { renderTold } from './render-text.ts';

const found = (code: string, severity: Severity, parts: Partial<Diagnostic> = {}): Diagnostic => ({
  code,
  severity,
  message: code,
  ...parts,
});

describe('causes before consequences', () => {
  test('what follows from a finding is counted under it, through others too', () => {
    const told = foldFindings([
      found('stack/hole', 'stop', { follows: ['layout/moved'] }),
      found('layout/moved', 'stop', { follows: ['survey/residual'], each: 'A1' }),
      found('layout/moved', 'stop', { follows: ['survey/residual'], each: 'A2', message: 'two' }),
      found('survey/residual', 'stop'),
      found('wear', 'warn'),
    ]);
    expect(told.map((t) => [t.finding.code, t.hanging.length])).toEqual([
      ['survey/residual', 3],
      ['wear', 0],
    ]);
    expect(renderTold(told)).toContain('hangs on it: 3 stops (layout/moved, stack/hole)');
  });

  test('a stop never hides behind a warning', () => {
    const told = foldFindings([
      found('cause', 'warn'),
      found('effect', 'stop', { follows: ['cause'] }),
      found('other', 'note', { follows: ['cause'] }),
    ]);
    expect(told.map((t) => [t.finding.code, t.hanging.length])).toEqual([
      ['effect', 0],
      ['cause', 1],
    ]);
  });

  test('findings that follow from each other in a circle are all told', () => {
    const told = foldFindings([
      found('a', 'stop', { follows: ['b'] }),
      found('b', 'stop', { follows: ['a'] }),
    ]);
    expect(told).toHaveLength(2);
  });

  test('of many like things one is told, with the names of the others; the same words are said once with their places', () => {
    const bore = (site: string): Diagnostic =>
      found('deep', 'stop', { each: site, message: `${site} is deep`, place: { file: 'l', line: 1 } });
    const drill = (column: number): Diagnostic =>
      found('unknown', 'stop', { place: { file: 'm', line: 1, column } });
    const text = renderTold(foldFindings([...['A1', 'A2', 'A3'].map(bore), drill(3), drill(9)]));
    expect(text).toContain('A1 is deep\n  likewise: A2, A3');
    expect(text).toContain('m:1:3: stop unknown: unknown\n  also: m:1:9');
    expect(text.match(/stop/g)).toHaveLength(2);
  });

  test('what several machines share is told once, with what hangs on it in each', () => {
    const lists = ['heron', 'plover', 'egret'].map((id) => {
      const place = { file: `machines/${id}/machine.yaml`, line: 1, column: 1 };
      const own = id === 'egret' ? [found('alone', 'warn', { place })] : [found('fixing', 'stop', { place })];
      return foldFindings([...own, found('late', 'stop', { place, follows: ['fixing'], message: id })]);
    });
    const { shared, own } = foldTogether(lists);
    expect(shared).toHaveLength(1);
    expect(shared[0]!.also.map((p) => p.file)).toEqual(['machines/plover/machine.yaml']);
    expect(shared[0]!.hanging).toHaveLength(2);
    expect(own.map((list) => list.map((t) => t.finding.code))).toEqual([[], [], ['late', 'alone']]);
  });

  test('nothing is lost, no severity either, whatever follows from what', () => {
    const CODES = ['a', 'b', 'c', 'd', 'e'];
    const any: fc.Arbitrary<Diagnostic> = fc.record(
      {
        code: fc.constantFrom(...CODES),
        severity: fc.constantFrom<Severity>('stop', 'warn', 'note'),
        message: fc.constantFrom('x', 'y', 'z'),
        place: fc.record({ file: fc.constantFrom('f', 'g'), line: fc.integer({ min: 1, max: 3 }) }),
        follows: fc.subarray(CODES),
        each: fc.constantFrom('A1', 'A2'),
      },
      { requiredKeys: ['code', 'severity', 'message', 'place'] },
    );
    fc.assert(
      fc.property(fc.array(any, { maxLength: 14 }), (list) => {
        const told = foldFindings(list);
        const back = unfolded(told);
        expect(back).toHaveLength(sortDiagnostics(list).length);
        for (const [i, d] of sortDiagnostics(list).entries()) expect(compareDiagnostics(d, back[i]!)).toBe(0);
        const rank = (d: Diagnostic): number => ['stop', 'warn', 'note'].indexOf(d.severity);
        for (const t of told)
          for (const h of t.hanging) expect(rank(h)).toBeGreaterThanOrEqual(rank(t.finding));
      }),
      { seed: 61, numRuns: 300 },
    );
  });
});
