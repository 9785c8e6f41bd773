import { type Diagnostic, visible } from '@bedledger/diagnostics';
import {
  type Document,
  isAlias,
  isMap,
  isScalar,
  isSeq,
  LineCounter,
  type Node,
  type Pair,
  parseDocument,
  visit,
  type YAMLMap,
} from 'yaml';
import { type FleetCode, type Locator, report, type Spot } from '../report.ts';
import { mergeMarkers } from './merge-markers.ts';

/** A file with more characters than this is not a file of a fleet. */
const LARGEST = 4_000_000;

/** One YAML file as read: its data, and where everything in it stands. */
export interface YamlSource {
  readonly file: string;
  readonly text: string;
  /** Plain data; undefined when the file cannot be read at all. */
  readonly data: unknown;
  /** Errors of the YAML itself. */
  readonly diagnostics: readonly Diagnostic[];
  /** Where a value stands; the nearest enclosing thing that exists when it does not. */
  readonly at: Locator;
}

/** Place and line of the characters `from` to `to` of a text. */
type Span = (from: number, to: number) => Spot;

type Range = readonly [number, number, ...number[]];

/** The whole of a node; its first character for a node that the reader gave no place. */
function rangeOf(node: unknown): Range {
  return (node as Node | null | undefined)?.range ?? [0, 1];
}

/**
 * Read YAML 1.2 with positions. Aliases, tags and keys that are not plain words are refused: a profile says each thing
 * once, in plain sight.
 */
export function readYaml(file: string, text: string): YamlSource {
  if (text.length > LARGEST) {
    const at = () => ({ place: { file, line: 1, column: 1 }, excerpt: '' });
    const tooLarge = report({
      code: 'yaml/too-large',
      ...at(),
      message: `the file has ${text.length} characters, expected ${LARGEST} at most`,
    });
    return { file, text, data: undefined, diagnostics: [tooLarge], at };
  }
  const markers = mergeMarkers(file, text);
  if (markers) {
    const { place, excerpt } = markers;
    return {
      file,
      text,
      data: undefined,
      diagnostics: [markers],
      at: () => ({ place: place!, excerpt: excerpt! }),
    };
  }
  const lines = new LineCounter();
  const doc = parseDocument(text, {
    lineCounter: lines,
    prettyErrors: false,
    strict: true,
    // Looked for below: the reader compares every key with every other, which a long file makes minutes of.
    uniqueKeys: false,
  });
  const span = spanIn(file, text, lines);
  const diagnostics = [...refusals(doc, span)];
  return {
    file,
    text,
    data: diagnostics.length === 0 ? doc.toJS({ maxAliasCount: 0 }) : undefined,
    diagnostics,
    at: locatorOf(doc, span),
  };
}

function spanIn(file: string, text: string, lines: LineCounter): Span {
  return (from, to) => {
    const { line, col } = lines.linePos(Math.min(from, text.length));
    if (line === 0) return { place: { file, line: 1, column: 1, endColumn: 2 }, excerpt: lineAt(text, 0) };
    const excerpt = lineAt(text, lines.lineStarts[line - 1]!);
    const end = Math.min(Math.max(col + 1, col + (to - from)), Math.max(excerpt.length + 1, col + 1));
    return { place: { file, line, column: col, endColumn: end }, excerpt };
  };
}

/** The line of a text that begins at `start`, without its ending. */
function lineAt(text: string, start: number): string {
  const end = text.indexOf('\n', start);
  const line = end < 0 ? text.slice(start) : text.slice(start, end);
  return line.endsWith('\r') ? line.slice(0, -1) : line;
}

/** Sentences for the errors of the YAML reader that people meet; others keep the reader's own. */
function yamlMessage(code: string, message: string): string {
  if (code === 'TAB_AS_INDENT') return 'a tab is used for indentation; expected spaces';
  if (code === 'MULTIPLE_DOCS') return 'a second document begins here; expected one document in the file';
  const first = message.split('\n')[0]!.replace(/\.$/, '');
  return `this is not YAML: ${first.charAt(0).toLowerCase()}${first.slice(1)}`;
}

/** What is wrong with the YAML itself, or is not used in files of a fleet. */
function refusals(doc: Document.Parsed, span: Span): Diagnostic[] {
  const found: Diagnostic[] = [];
  const stop = (code: FleetCode, message: string, [from, to]: Range, help?: string) => {
    found.push(report({ code, ...span(from, to), message, help }));
  };
  // One slip makes the reader stumble on every line that follows: only the first is told.
  const slip = doc.errors[0];
  if (slip) stop('yaml/syntax', yamlMessage(slip.code, slip.message), slip.pos);
  for (const w of doc.warnings) {
    const message = `tags are not used here: ${visible(w.message.split('\n')[0]!)}`;
    stop('yaml/syntax', message, w.pos, 'write the plain value');
  }
  if (slip) return found;
  visit(doc, {
    Map(_, map) {
      const seen = new Set<unknown>();
      for (const { key } of map.items) {
        if (!isScalar(key)) continue;
        if (seen.has(key.value)) stop('yaml/syntax', 'this key is here twice in the same map', rangeOf(key));
        seen.add(key.value);
      }
    },
    Alias(_, node) {
      stop('yaml/alias', `aliases are not used here: \`*${visible(node.source)}\``, rangeOf(node));
    },
    Pair(_, { key }) {
      if (isScalar(key) && typeof key.value === 'string' && key.value !== '__proto__') return;
      if (!isAlias(key)) stop('yaml/key', 'a key is not a plain word', rangeOf(key));
    },
  });
  if (found.length === 0 && doc.contents === null) stop('yaml/empty', 'the file is empty', [0, 1]);
  return found;
}

function locatorOf(doc: Document.Parsed, span: Span): Locator {
  const indexed = new WeakMap<YAMLMap, ReadonlyMap<string, Pair>>();
  /** Pairs of a map by key, the first of each. */
  const pairsOf = (map: YAMLMap): ReadonlyMap<string, Pair> => {
    const known = indexed.get(map);
    if (known) return known;
    const pairs = new Map<string, Pair>();
    for (const pair of map.items) {
      if (isScalar(pair.key) && !pairs.has(String(pair.key.value))) pairs.set(String(pair.key.value), pair);
    }
    indexed.set(map, pairs);
    return pairs;
  };
  /** What stands one step below a node, and its key where it has one. */
  const child = (node: unknown, step: string | number): { value?: unknown; key: unknown } => {
    if (isMap(node)) {
      const pair = pairsOf(node).get(String(step));
      if (pair) return { value: pair.value ?? pair.key, key: pair.key };
    } else if (isSeq(node) && typeof step === 'number') {
      return { value: node.items[step], key: null };
    }
    return { key: null };
  };
  return (path, part = 'value') => {
    let node: unknown = doc.contents;
    let key: unknown = null;
    for (const step of path) {
      const next = child(node, step);
      if (next.value === undefined || next.value === null) {
        // Something is missing here: point at the key of what should hold it, or at its first character.
        const [from, to] = rangeOf(key ?? node);
        return span(from, key ? to : from + 1);
      }
      node = next.value;
      key = next.key;
    }
    const [from, to] = rangeOf(part === 'key' && key ? key : node);
    return span(from, to);
  };
}
