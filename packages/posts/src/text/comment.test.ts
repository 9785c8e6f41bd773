import type { Controller } from '@bedledger/fleet';
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { dialectRules } from '../dialects/dialects.ts';
import { ISO, LINES, NGC } from '../testing/controllers.ts';
import { commentForm } from './comment.ts';
import { plainText } from './transliterate.ts';

const formOf = (controller: Controller) => commentForm(controller, dialectRules(controller));

describe('plain text', () => {
  test.each([
    ['Frästisch Nº 3 – größer', 'Fraestisch No 3 - groesser'],
    ['Smørbrød ÅÄÖ', 'Smoerbroed AaAeOe'],
    ['naïve façade, Łódź', 'naive facade, Lodz'],
    ['⌀ 6 × 18 mm ± 0.1°', 'D 6 x 18 mm +- 0.1 deg'],
    ['½ in', '1/2 in'],
    ['станок', 'stanok'],
    ['M3 (hot); 50% G0 Z-5', 'M3 [hot], 50 pct G0 Z-5'],
    ['a\r\nG0 Z-50\u2028M3', 'a G0 Z-50 M3'],
    ['time 12:30', 'time 12-30'],
    ['stop! go? ~hold', 'stop. go. -hold'],
    ['\u202Eabc\u200B', 'abc'],
    ['日本', '..'],
    ['\u0000\u0007x', 'x'],
  ])('%j reads %j', (text, plain) => {
    expect(plainText(text)).toBe(plain);
  });
});

describe('comments', () => {
  const forms = [NGC, ISO, LINES].flatMap((c) => [
    { c: { ...c, commentLength: 30 } as typeof c, form: formOf({ ...c, commentLength: 30 }) },
    {
      c: { ...c, characterSet: 'ascii' as const } as typeof c,
      form: formOf({ ...c, characterSet: 'ascii' }),
    },
  ]);

  test('nothing in a text can end its comment, open a block or send a message', () => {
    fc.assert(
      fc.property(
        fc.oneof(
          fc.string({ unit: 'binary', maxLength: 200 }),
          fc.string({
            unit: fc.constantFrom('(', ')', '%', ';', ':', '\n', '\r', 'm', 'S', 'g', ',', ' ', 'G', '0'),
          }),
        ),
        (text) => {
          for (const { c, form } of forms) {
            for (const line of [...form.lines(text), ...form.entry('TITLE', text)]) {
              expect(line.length).toBeLessThanOrEqual(c.maxLineLength);
              const inner = c.comments === 'paren' ? /^\((.*)\)$/.exec(line) : /^; (.*)$/.exec(line);
              expect(inner).not.toBe(null);
              expect(inner![1]).toMatch(/^[\x20-\x7e]*$/);
              expect(inner![1]).not.toMatch(c.dialect === 'iso6983' ? /[()%;:!~?*#$]/ : /[()%;!~?*#$]/);
              if (form.lines(text).includes(line)) expect(inner![1]).not.toMatch(/^\s*msg\s*,/i);
            }
          }
        },
      ),
      { seed: 11, numRuns: 2000 },
    );
  });

  test('long texts go on in further lines, at words', () => {
    const form = formOf({ ...NGC, commentLength: 24 });
    expect(form.lines('Loosen the rear clamp before the second pass')).toEqual(
      ['(LOOSEN THE REAR CLAMP)', '(  BEFORE THE SECOND PASS)'].flatMap((l) =>
        l.length - 2 > 24 ? ['(  BEFORE THE SECOND)', '(  PASS)'] : [l],
      ),
    );
    const text = 'Every word of this rather long caution has to arrive whole on the operator side';
    const words = form.lines(text).flatMap((l) => l.slice(1, -1).trim().split(' '));
    expect(words.join(' ')).toBe(text.toUpperCase());
  });

  test('a controller without comments gets none', () => {
    expect(formOf({ ...NGC, comments: 'none' }).lines('anything')).toEqual([]);
  });

  test('a style that nobody knows is refused, not written as another one', () => {
    const unknown = { ...LINES, comments: 'slashes' as Controller['comments'] };
    expect(() => formOf(unknown)).toThrow(RangeError);
    expect(() => formOf(unknown)).toThrow('unknown comment style "slashes"');
  });
});
