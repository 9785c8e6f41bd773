import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import type { Diagnostic } from './diagnostic.ts';
import { capDiagnostics, hasStop, sortDiagnostics, worstSeverity } from './order.ts';
import { renderDiagnosticsCi } from './render-annotations.ts';
import { diagnosticsJson } from './render-json.ts';
import { renderDiagnosticsText, renderOne, summarise } from './render-text.ts';

const unknownKey: Diagnostic = {
  code: 'profile/unknown-key',
  severity: 'stop',
  message: 'unknown key `widht` in `bed.zones[0].grooves`',
  place: { file: 'machines/heron/machine.yaml', line: 35, column: 36, endColumn: 41 },
  excerpt: '      grooves: { pitch: [50, 50], widht: 9, depth: 8 }',
  help: 'did you mean `width`?',
};

describe('text', () => {
  test('first line is file:line:column, then the line with a caret under the very word, then one thing to do', () => {
    expect(renderOne(unknownKey)).toBe(
      [
        'machines/heron/machine.yaml:35:36: stop profile/unknown-key: unknown key `widht` in `bed.zones[0].grooves`',
        '     35 |       grooves: { pitch: [50, 50], widht: 9, depth: 8 }',
        `        | ${' '.repeat(35)}^^^^^`,
        '  help: did you mean `width`?',
      ].join('\n'),
    );
  });

  test('a long line is cut round the caret, which still stands under the word', () => {
    const excerpt = `${'a'.repeat(300)}HERE${'b'.repeat(300)}`;
    const lines = renderOne({
      ...unknownKey,
      excerpt,
      place: { file: 'f', line: 1, column: 301, endColumn: 305 },
    }).split('\n');
    expect(lines[1]!.length).toBeLessThanOrEqual(112);
    expect(lines[1]!.slice(lines[2]!.indexOf('^'), lines[2]!.lastIndexOf('^') + 1)).toBe('HERE');
  });

  test('what a file holds cannot steer the terminal or forge a line', () => {
    const text = renderOne({
      code: 'a/b',
      severity: 'stop',
      message: 'found `\u001b[2J\nok: nothing wrong`',
      place: { file: 'x\ny', line: 1, column: 2 },
      excerpt: 'a\u001b]0;title\u0007\u202e',
    });
    expect(text).not.toMatch(/[\u0000-\u0009\u000b-\u001f\u007f\u202e]/);
    expect(text.split('\n')).toHaveLength(3);
  });

  test('colour adds codes and changes no word', () => {
    const plain = renderOne(unknownKey);
    const coloured = renderOne(unknownKey, { colour: true });
    expect(coloured).not.toBe(plain);
    expect(coloured.replace(/\u001b\[\d+m/g, '')).toBe(plain);
  });

  test('none, one, many, and more than are shown', () => {
    expect(renderDiagnosticsText([])).toBe('');
    expect(renderDiagnosticsText([unknownKey]).endsWith('?\n')).toBe(true);
    const many = Array.from({ length: 30 }, (_, i) => ({
      ...unknownKey,
      place: { file: 'f', line: i + 1, column: 1 },
    }));
    const text = renderDiagnosticsText(many);
    expect(text.match(/profile\/unknown-key/g)).toHaveLength(20);
    expect(text.endsWith('… and 10 more\n')).toBe(true);
    expect(
      renderDiagnosticsText(many, { cap: Number.POSITIVE_INFINITY }).match(/profile\/unknown-key/g),
    ).toHaveLength(30);
    expect(() => renderDiagnosticsText(many, { cap: 0 })).toThrow(RangeError);
  });

  test('the summary counts by severity', () => {
    expect(summarise([])).toBe('no findings');
    expect(
      summarise([unknownKey, { ...unknownKey, severity: 'note' }, { ...unknownKey, severity: 'note' }]),
    ).toBe('1 stop, 2 notes');
  });
});

const anyDiagnostic: fc.Arbitrary<Diagnostic> = fc.record({
  code: fc.constantFrom('a/one', 'a/two', 'b/one'),
  severity: fc.constantFrom('stop' as const, 'warn' as const, 'note' as const),
  message: fc.string({ maxLength: 20, unit: 'binary' }),
  place: fc.record({
    file: fc.constantFrom('m/a.yaml', 'm/b.yaml'),
    line: fc.integer({ min: 1, max: 5 }),
    column: fc.integer({ min: 1, max: 5 }),
  }),
  excerpt: fc.string({ maxLength: 150, unit: 'binary' }),
});

describe('order', () => {
  test('does not depend on the order they come in, and says the same thing once', () => {
    fc.assert(
      fc.property(fc.array(anyDiagnostic, { maxLength: 12 }), fc.integer(), (list, seed) => {
        const shuffled = [...list, ...list]
          .map((d, i) => ({ d, k: Math.sin(seed + i) }))
          .sort((a, b) => a.k - b.k)
          .map(({ d }) => d);
        const key = (d: Diagnostic) => JSON.stringify([d.place, d.severity, d.code, d.message]);
        expect(sortDiagnostics(shuffled).map(key)).toEqual(sortDiagnostics(list).map(key));
        const distinct = new Set(list.map(key));
        expect(sortDiagnostics(list)).toHaveLength(distinct.size);
      }),
    );
  });

  test('a cap never hides a stop behind a warning', () => {
    fc.assert(
      fc.property(
        fc.array(anyDiagnostic, { minLength: 1, maxLength: 30 }),
        fc.integer({ min: 1, max: 10 }),
        (list, cap) => {
          const { kept, omitted } = capDiagnostics(list, cap);
          const all = sortDiagnostics(list);
          expect(kept.length + omitted).toBe(all.length);
          const stops = all.filter((d) => d.severity === 'stop').length;
          expect(kept.filter((d) => d.severity === 'stop')).toHaveLength(Math.min(cap, stops));
        },
      ),
      { seed: 101 },
    );
  });

  test('worst of a list', () => {
    expect(worstSeverity([])).toBeNull();
    expect(
      worstSeverity([
        { ...unknownKey, severity: 'note' },
        { ...unknownKey, severity: 'warn' },
      ]),
    ).toBe('warn');
    expect(hasStop([unknownKey])).toBe(true);
  });
});

describe('for machines', () => {
  test('JSON is one array with fixed keys, whatever is in the texts', () => {
    fc.assert(
      fc.property(fc.array(anyDiagnostic, { maxLength: 6 }), (list) => {
        const back = JSON.parse(diagnosticsJson(list)) as Diagnostic[];
        expect(back).toEqual(sortDiagnostics(list).map((d) => ({ ...d })));
      }),
      { seed: 102 },
    );
    expect(Object.keys(JSON.parse(diagnosticsJson([unknownKey]))[0])).toEqual([
      'code',
      'severity',
      'message',
      'place',
      'excerpt',
      'help',
    ]);
  });

  test('annotations: one line each, properties and text escaped so that nothing can become a command', () => {
    expect(renderDiagnosticsCi([unknownKey])).toBe(
      '::error file=machines/heron/machine.yaml,line=35,col=36,endColumn=41,title=profile/unknown-key::unknown key `widht` in `bed.zones[0].grooves`%0Ahelp: did you mean `width`?\n',
    );
    fc.assert(
      fc.property(fc.array(anyDiagnostic, { minLength: 1, maxLength: 6 }), (list) => {
        const lines = renderDiagnosticsCi(list).split('\n');
        expect(lines.pop()).toBe('');
        expect(lines).toHaveLength(sortDiagnostics(list).length);
        for (const line of lines) expect(line).toMatch(/^::(error|warning|notice) /);
      }),
      { seed: 103 },
    );
    expect(renderDiagnosticsCi([{ ...unknownKey, place: { file: 'a,b:c%', line: 1 } }])).toContain(
      'file=a%2Cb%3Ac%25,line=1',
    );
  });
});
