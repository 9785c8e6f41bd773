import { fixed } from '@bedledger/diagnostics';
import { describe, expect, it } from 'vitest';
import { lengthOnSheet } from './length.ts';
import { element, escapeMarkup, num } from './markup.ts';

describe('markup', () => {
  it('lets nothing of a name become markup', () => {
    const nasty = `</text><script>alert("x")</script> & 'q'\u0000\u0007`;
    const out = escapeMarkup(nasty);
    expect(out).not.toMatch(/[<>"']/);
    expect(out).toContain('&lt;script&gt;');
    expect(out).not.toMatch(/[\u0000-\u001f]/);
    expect(escapeMarkup('a\r\nb\tc')).toBe('a  b c');
    expect(escapeMarkup('\ud800x')).toBe('\ufffdx');
  });

  it('quotes attributes and nests children as they are', () => {
    expect(element('g', { id: 'a"b', x: 1.5, y: undefined }, [element('path', { d: 'M0 0' })])).toBe(
      '<g id="a&quot;b" x="1.5"><path d="M0 0"/></g>',
    );
  });

  // Rounding half away from zero, and the sign of zero: by the definition of rounding, no source needed.
  it('prints numbers without exponent, -0 or needless zeros', () => {
    expect([
      num(0.1 + 0.2),
      num(-0.0004),
      num(1e-7),
      num(5),
      num(2.5, 0),
      num(-2.5, 0),
      num(1234567.8915),
    ]).toEqual(['0.3', '0', '0', '5', '3', '-3', '1234567.892']);
    expect([fixed(1, 2), fixed(-0.001, 2), fixed(10, 0), fixed(0.005, 2)]).toEqual([
      '1.00',
      '0.00',
      '10',
      '0.01',
    ]);
  });

  it('refuses a value that a picture cannot show', () => {
    for (const bad of [Number.NaN, Number.POSITIVE_INFINITY, 1e300]) {
      expect(() => num(bad)).toThrow(RangeError);
      expect(() => lengthOnSheet(bad, 'mm')).toThrow(RangeError);
    }
  });
});
