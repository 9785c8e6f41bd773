/** One element of a parsed document. */
export interface XmlElement {
  readonly name: string;
  readonly attributes: Readonly<Record<string, string>>;
  readonly children: XmlElement[];
  /** Character data directly inside, entities resolved. */
  text: string;
}

const NAME = /[A-Za-z_:][A-Za-z0-9_.:-]*/y;
const ENTITIES: Readonly<Record<string, string>> = { amp: '&', lt: '<', gt: '>', quot: '"', apos: "'" };

/**
 * Parses the subset of XML 1.0 that a drawing may use (no comments, processing instructions, CDATA or document types) and refuses
 * everything that is not well formed: unclosed or crossed elements, attributes given twice, unquoted values, bare `&` or `<`,
 * characters outside the Char production (section 2.2).
 *
 * @throws Error with the offset of the first fault.
 */
export function parseXml(source: string): XmlElement {
  let at = 0;
  const fail = (what: string): never => {
    throw new Error(`${what} at ${at}: …${source.slice(Math.max(0, at - 40), at + 40)}…`);
  };
  const bad = /[^\t\n\r\u0020-\ud7ff\ue000-\ufffd\u{10000}-\u{10ffff}]/u.exec(source);
  if (bad !== null) {
    at = bad.index;
    fail('a character that XML forbids');
  }
  const resolve = (raw: string): string =>
    raw.replace(/&([^;]*);?/g, (whole, name: string) => {
      if (!whole.endsWith(';')) fail('a bare &');
      if (name.startsWith('#')) {
        const code = name.startsWith('#x') ? Number.parseInt(name.slice(2), 16) : Number(name.slice(1));
        if (!Number.isInteger(code)) fail(`bad reference &${name};`);
        return String.fromCodePoint(code);
      }
      return ENTITIES[name] ?? fail(`unknown entity &${name};`);
    });
  const name = (): string => {
    NAME.lastIndex = at;
    const match = NAME.exec(source);
    if (match === null) return fail('a name is expected');
    at = NAME.lastIndex;
    return match[0];
  };
  const blanks = (): void => {
    while (/[ \t\r\n]/.test(source[at] ?? '')) at++;
  };
  const parseElement = (): XmlElement => {
    if (source[at] !== '<') fail('an element is expected');
    at++;
    const element: XmlElement = { name: name(), attributes: {}, children: [], text: '' };
    const attributes = element.attributes as Record<string, string>;
    for (;;) {
      const before = at;
      blanks();
      if (source.startsWith('/>', at)) {
        at += 2;
        return element;
      }
      if (source[at] === '>') {
        at++;
        break;
      }
      if (at === before) fail('a blank is expected');
      const key = name();
      if (Object.hasOwn(attributes, key)) fail(`${key} is given twice`);
      if (source[at] !== '=') fail('= is expected');
      const quote = source[++at];
      if (quote !== '"' && quote !== "'") fail('a quote is expected');
      const end = source.indexOf(quote as string, at + 1);
      if (end < 0) fail('the value does not end');
      const raw = source.slice(at + 1, end);
      if (raw.includes('<')) fail('< inside a value');
      attributes[key] = resolve(raw);
      at = end + 1;
    }
    for (;;) {
      const open = source.indexOf('<', at);
      if (open < 0) fail(`${element.name} does not end`);
      const raw = source.slice(at, open);
      if (raw.includes(']]>')) fail(']]> in text');
      element.text += resolve(raw);
      at = open;
      if (source.startsWith('</', at)) {
        at += 2;
        const closes = name();
        if (closes !== element.name) fail(`${closes} closes ${element.name}`);
        blanks();
        if (source[at] !== '>') fail('> is expected');
        at++;
        return element;
      }
      element.children.push(parseElement());
    }
  };
  blanks();
  const root = parseElement();
  blanks();
  if (at !== source.length) fail('text after the last element');
  return root;
}

/** Every element of the tree that passes, in document order. */
export function findAll(root: XmlElement, wanted: (e: XmlElement) => boolean): XmlElement[] {
  const found: XmlElement[] = [];
  const walk = (e: XmlElement): void => {
    if (wanted(e)) found.push(e);
    for (const child of e.children) walk(child);
  };
  walk(root);
  return found;
}
