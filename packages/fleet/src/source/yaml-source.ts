import type { Diagnostic, Place } from '@bedledger/diagnostics';
import { visible } from '@bedledger/diagnostics';
import {
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

/** Path of a value inside a document: keys and indexes. */
export type Path = readonly (string | number)[];

/** A file larger than this is not a file of a fleet. */
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
  readonly at: (path: Path, part?: 'value' | 'key') => { place: Place; excerpt: string };
}

/** The lines of a text, without their endings. */
function lineAt(text: string, start: number): string {
  let end = text.indexOf('\n', start);
  if (end < 0) end = text.length;
  const line = text.slice(start, end);
  return line.endsWith('\r') ? line.slice(0, -1) : line;
}

/** Sentences for the codes of the YAML reader that people meet; others keep the reader's own. */
function yamlMessage(code: string, message: string): string {
  if (code === 'TAB_AS_INDENT') return 'a tab is used for indentation; expected spaces';
  if (code === 'MULTIPLE_DOCS') return 'a second document begins here; expected one document in the file';
  const first = message.split('\n')[0]!.replace(/\.$/, '');
  return `this is not YAML: ${first.charAt(0).toLowerCase()}${first.slice(1)}`;
}

/**
 * Read YAML 1.2 with positions. Aliases, tags and keys that are not plain words are refused: a profile says each thing
 * once, in plain sight.
 */
export function readYaml(file: string, text: string): YamlSource {
  const lines = new LineCounter();
  const diagnostics: Diagnostic[] = [];
  const spot = (from: number, to: number): { place: Place; excerpt: string } => {
    const { line, col } = lines.linePos(Math.min(from, text.length));
    if (line === 0) return { place: { file, line: 1, column: 1, endColumn: 2 }, excerpt: lineAt(text, 0) };
    const excerpt = lineAt(text, lines.lineStarts[line - 1]!);
    const end = Math.min(Math.max(col + 1, col + (to - from)), Math.max(excerpt.length + 1, col + 1));
    return { place: { file, line, column: col, endColumn: end }, excerpt };
  };
  const stop = (code: string, message: string, from: number, to: number, help = 'correct the line') =>
    diagnostics.push({ code, severity: 'stop', message, ...spot(from, to), help });

  if (text.length > LARGEST) {
    return {
      file,
      text,
      data: undefined,
      diagnostics: [
        {
          code: 'yaml/too-large',
          severity: 'stop',
          message: `the file has ${text.length} characters, expected ${LARGEST} at most`,
          place: { file, line: 1, column: 1 },
        },
      ],
      at: () => ({ place: { file, line: 1, column: 1 }, excerpt: '' }),
    };
  }

  const doc = parseDocument(text, {
    lineCounter: lines,
    prettyErrors: false,
    strict: true,
    // Looked for below: the reader compares every key with every other, which a long file makes minutes of.
    uniqueKeys: false,
  });
  // One slip makes the reader stumble on every line that follows: only the first is told.
  const slip = doc.errors[0];
  if (slip) stop('yaml/syntax', yamlMessage(slip.code, slip.message), slip.pos[0], slip.pos[1]);
  for (const w of doc.warnings) {
    stop(
      'yaml/syntax',
      `tags are not used here: ${visible(w.message.split('\n')[0]!)}`,
      w.pos[0],
      w.pos[1],
      'write the plain value',
    );
  }
  if (doc.errors.length === 0) {
    visit(doc, {
      Map(_, map) {
        const seen = new Set<unknown>();
        for (const { key } of map.items) {
          if (!isScalar(key)) continue;
          if (seen.has(key.value)) {
            const range = key.range ?? [0, 1, 1];
            stop('yaml/syntax', 'this key is here twice in the same map', range[0], range[1]);
          }
          seen.add(key.value);
        }
      },
      Alias(_, node) {
        stop(
          'yaml/alias',
          `aliases are not used here: \`*${visible(node.source)}\``,
          node.range![0],
          node.range![1],
          'write the value out',
        );
      },
      Pair(_, pair) {
        const key = pair.key;
        if (isScalar(key) && typeof key.value === 'string' && key.value !== '__proto__') return;
        if (isAlias(key)) return;
        const range = (key as Node | null)?.range ?? [0, 1, 1];
        stop('yaml/key', 'a key is not a plain word', range[0], range[1], 'write the key as a word');
      },
    });
  }
  let data: unknown;
  if (diagnostics.length === 0) {
    if (doc.contents === null) {
      stop('yaml/empty', 'the file is empty', 0, 1);
    } else {
      data = doc.toJS({ maxAliasCount: 0 });
    }
  }

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
  const at = (path: Path, part: 'value' | 'key' = 'value') => {
    let node: unknown = doc.contents;
    let keyNode: Node | null = null;
    for (const [depth, step] of path.entries()) {
      let next: unknown;
      let nextKey: Node | null = null;
      if (isMap(node)) {
        const pair = pairsOf(node).get(String(step));
        if (pair) {
          nextKey = pair.key as Node;
          next = pair.value ?? pair.key;
        }
      } else if (isSeq(node) && typeof step === 'number') {
        next = node.items[step];
        nextKey = null;
      }
      if (next === undefined || next === null) {
        // Something is missing here: point at the key of what should hold it.
        const holder = keyNode ?? (node as Node | null);
        const range = holder?.range ?? [0, 1, 1];
        return spot(range[0], keyNode ? range[1] : range[0] + 1);
      }
      node = next;
      keyNode = nextKey;
      if (depth === path.length - 1 && part === 'key' && nextKey) {
        return spot(nextKey.range![0], nextKey.range![1]);
      }
    }
    const range = (node as Node | null)?.range ?? [0, 1, 1];
    return spot(range[0], range[1]);
  };

  return { file, text, data, diagnostics, at };
}
