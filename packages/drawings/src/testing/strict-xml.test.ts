import { describe, expect, it } from 'vitest';
import { parseXml } from './strict-xml.ts';

// XML 1.0 (fifth edition): well-formedness constraints of sections 2.2, 2.4, 3 and 3.1.
describe('the reader that judges drawings', () => {
  it('takes what is well formed', () => {
    const root = parseXml('<a b="1 &lt; &#x41;"><c/>x &amp; y</a>\n');
    expect(root.attributes.b).toBe('1 < A');
    expect(root.text).toBe('x & y');
    expect(root.children[0]?.name).toBe('c');
  });

  it.each([
    '<a>',
    '<a></b>',
    '<a><b></a></b>',
    '<a b="1" b="2"/>',
    '<a b=1/>',
    '<a b="<"/>',
    '<a>a & b</a>',
    '<a>&nbsp;</a>',
    '<a/><b/>',
    '<a>\u0000</a>',
    '<a>\u001b</a>',
    '<a b="1"c="2"/>',
    '<a>]]></a>',
    '',
  ])('refuses %j', (source) => {
    expect(() => parseXml(source)).toThrow();
  });
});
