import { type Diagnostic, suggest, type Units, visible } from '@bedledger/diagnostics';
import type { z } from 'zod';
import type { Path } from '../model/path.ts';
import { report } from '../report.ts';
import type { Area, SchemaWord } from '../rules/schema.ts';
import { explainQuantity, quantityField } from '../written/quantity.ts';
import { fieldHelp } from './field-help.ts';
import { type AnySchema, defOf, schemasAt, valueAt } from './schema-walk.ts';
import type { YamlSource } from './yaml-source.ts';

type Issue = z.core.$ZodIssue;
type IssueOf<C extends Issue['code']> = Extract<Issue, { code: C }>;

/** A file that its schema refuses. */
interface Refused {
  readonly root: AnySchema;
  readonly source: YamlSource;
  readonly area: Area;
  readonly units: Units;
}

/** What one issue comes to: the word of its rule, what was found, and what to do where it can be said precisely. */
interface Said {
  readonly word: SchemaWord;
  readonly message: string;
  readonly help?: string | undefined;
  readonly part?: 'value' | 'key';
}

/** Turn the issues of a schema into findings with places, each cause once. */
export function issueFindings(
  root: AnySchema,
  issues: readonly Issue[],
  source: YamlSource,
  area: Area,
): Diagnostic[] {
  const stated = (source.data as { units?: unknown } | null)?.units;
  const file: Refused = { root, source, area, units: stated === 'in' ? 'in' : 'mm' };
  const all = issues.flatMap((i) => flatten(i, source.data));
  const { found, explained } = unknownKeys(file, all);
  for (const issue of all) {
    if (issue.code === 'unrecognized_keys') continue;
    const path = issue.path as Path;
    const key = pathKey(path);
    if (isMissing(issue, source.data)) {
      if (!explained.has(key)) found.push(missingKey(file, path));
      continue;
    }
    const field = schemasAt(root, path, source.data).map(quantityField).find(Boolean);
    if (!field) {
      found.push(finding(file, path, explainIssue(file, issue, path)));
    } else if (!explained.has(key)) {
      // The branches of a quantity (number, text) each have an issue of their own: one is enough.
      explained.add(key);
      const why = explainQuantity(valueAt(source.data, path), field, file.units);
      found.push(finding(file, path, { word: 'wrong-quantity', message: `${named(path)}${why}` }));
    }
  }
  return found;
}

function finding(
  { root, source, area, units }: Refused,
  path: Path,
  { word, message, help, part }: Said,
  facts?: Diagnostic['facts'],
): Diagnostic {
  return report({
    code: `${area}/${word}`,
    ...source.at(path, part),
    message,
    help: help ?? fieldHelp(root, path, source.data, units),
    facts,
  });
}

function missingKey(file: Refused, path: Path): Diagnostic {
  const key = String(path.at(-1) ?? '');
  const message = `\`${key}\` is missing in ${mapName(path.slice(0, -1))}`;
  return finding(file, path, { word: 'missing-key', message }, { key });
}

/**
 * An unknown key and the missing key it stands for are one cause: `explained` has the paths of missing keys that an
 * unknown one accounts for.
 */
function unknownKeys(file: Refused, all: readonly Issue[]): { found: Diagnostic[]; explained: Set<string> } {
  const { data } = file.source;
  const found: Diagnostic[] = [];
  const explained = new Set<string>();
  const missing = all.filter((i) => isMissing(i, data));
  for (const issue of all) {
    if (issue.code !== 'unrecognized_keys') continue;
    const path = issue.path as Path;
    const present = new Set(Object.keys((valueAt(data, path) as Record<string, unknown>) ?? {}));
    const known = knownKeys(file.root, path, data);
    const free = known.filter((k) => !present.has(k));
    const lacking = missing
      .filter((m) => pathKey(m.path.slice(0, -1) as Path) === pathKey(path))
      .map((m) => String(m.path.at(-1)));
    for (const key of issue.keys) {
      const near = suggest(key, free);
      const meant = near.find((n) => lacking.includes(n)) ?? near[0];
      if (meant !== undefined) explained.add(pathKey([...path, meant]));
      // `{ text: a, b }`: the comma ends the text, and `b` becomes a key without a value.
      const torn = /\s/.test(key) && valueAt(data, [...path, key]) === null;
      const help = torn
        ? 'a comma ends a text inside `{ }`: put the whole text in quotes'
        : meant !== undefined
          ? didYouMeanOneOf([meant, ...near.filter((n) => n !== meant)])
          : `${mapName(path)} may have ${quoted(known)}`;
      const message = `unknown key \`${visible(key)}\` in ${mapName(path)}`;
      found.push(finding(file, [...path, key], { word: 'unknown-key', message, help, part: 'key' }, { key }));
    }
  }
  return { found, explained };
}

/** What an issue means to the person who wrote the file; keys and quantities have been told before. */
function explainIssue(file: Refused, issue: Issue, path: Path): Said {
  const value = valueAt(file.source.data, path);
  const expected = (word: SchemaWord, what: string): Said => ({
    word,
    message: `${named(path)}found ${describe(value)}, expected ${what}`,
  });
  switch (issue.code) {
    case 'invalid_type':
      return expected('wrong-type', TYPE_NAMES[issue.expected] ?? issue.expected);
    case 'invalid_value':
      return wrongChoice(path, value, issue.values.map(String));
    case 'invalid_union': {
      const options = (issue as { options?: readonly unknown[] }).options?.map(String);
      if (options) return wrongChoice(path, value, options);
      if (issue.message !== GENERIC) {
        return { word: 'wrong-quantity', message: `${named(path)}${issue.message}` };
      }
      const message = `${named(path)}found ${describe(value)}, which is none of the allowed forms`;
      return { word: 'wrong-type', message };
    }
    case 'too_small':
    case 'too_big':
      return outOfBounds(issue, path, value);
    case 'invalid_key': {
      const form = keyForm(file, path);
      const message = `\`${visible(String(path.at(-1)))}\` cannot be a name here, expected ${form}`;
      return { word: 'wrong-key', message, part: 'key' };
    }
    case 'invalid_format':
    case 'not_multiple_of':
    case 'invalid_element':
    case 'custom':
      return {
        word: 'wrong-value',
        message: `${named(path)}found ${describe(value)}, ${issue.message}`,
      };
    case 'unrecognized_keys':
      throw new RangeError('unknown keys are told by unknownKeys');
    default:
      return issue satisfies never;
  }
}

const TYPE_NAMES: Readonly<Record<string, string>> = {
  string: 'text',
  number: 'a number',
  int: 'a whole number',
  boolean: '`true` or `false`',
  object: 'a map of keys',
  record: 'a map of keys',
  array: 'a list',
  tuple: 'a list',
};

/** The message of a union whose branches have to explain themselves. */
const GENERIC = 'Invalid input';

function wrongChoice(path: Path, value: unknown, options: readonly string[]): Said {
  const near = typeof value === 'string' ? suggest(value, options) : [];
  const list = options.length === 1 ? quoted(options) : `one of ${quoted(options)}`;
  return {
    word: 'wrong-choice',
    message: `${named(path)}found ${describe(value)}, expected ${list}`,
    help: near.length > 0 ? didYouMeanOneOf(near) : undefined,
  };
}

function outOfBounds(issue: IssueOf<'too_small' | 'too_big'>, path: Path, value: unknown): Said {
  const bound = String(issue.code === 'too_small' ? issue.minimum : issue.maximum);
  const least = issue.inclusive === false ? `more than ${bound}` : `at least ${bound}`;
  const limit = issue.code === 'too_small' ? least : `at most ${bound}`;
  const counted = issue.origin === 'array' || issue.origin === 'string';
  const size = Array.isArray(value) ? value.length : String(value).length;
  return {
    word: counted ? 'wrong-length' : 'out-of-range',
    message: `${named(path)}found ${counted ? `${size} entries` : describe(value)}, expected ${limit}`,
  };
}

/** Unions report every branch; keep the branch that the value was meant for. */
function flatten(issue: Issue, data: unknown): Issue[] {
  if (issue.code !== 'invalid_union' || issue.errors.length === 0) return [issue];
  // A message of the schema's own explains all branches at once.
  if (issue.message !== GENERIC) return [issue];
  const value = valueAt(data, issue.path as Path);
  // The branch that was meant is the one whose own shape fits: nothing is wrong with it as a whole, only inside.
  const meant = issue.errors.filter((branch) =>
    branch.every((i) => i.path.length > 0 || i.code === 'unrecognized_keys'),
  );
  if (meant.length === 0) {
    const kinds =
      typeof value === 'string' || typeof value === 'number'
        ? ['invalid_value', 'invalid_union', 'invalid_format']
        : [];
    const explained = issue.errors.flat().find((i) => i.path.length === 0 && kinds.includes(i.code));
    return explained ? [{ ...explained, path: issue.path } as Issue] : [issue];
  }
  const best = meant.reduce((a, b) => (b.length < a.length ? b : a));
  return best.flatMap((i) => flatten({ ...i, path: [...issue.path, ...i.path] } as Issue, data));
}

function isMissing(issue: Issue, data: unknown): boolean {
  if (issue.path.length === 0 || issue.code === 'unrecognized_keys') return false;
  const parent = valueAt(data, issue.path.slice(0, -1) as Path);
  if (typeof parent !== 'object' || parent === null || Array.isArray(parent)) return false;
  return !Object.hasOwn(parent, String(issue.path.at(-1)));
}

function knownKeys(root: AnySchema, path: Path, data: unknown): string[] {
  return [...new Set(schemasAt(root, path, data).flatMap((s) => Object.keys(defOf(s).shape ?? {})))];
}

/** What the names of a map must look like. */
function keyForm({ root, source }: Refused, path: Path): string {
  for (const schema of schemasAt(root, path.slice(0, -1), source.data)) {
    const { keyType } = defOf(schema);
    const description = (keyType as { description?: string } | undefined)?.description;
    if (description) return description;
  }
  return 'a small letter, then small letters, digits or `-`';
}

/** What was found, in a few words. */
function describe(value: unknown): string {
  if (value === undefined) return 'nothing';
  if (value === null) return 'an empty value';
  if (Array.isArray(value)) return `a list of ${value.length}`;
  if (typeof value === 'object') return 'a map';
  if (typeof value === 'string') {
    return `the text \`${visible(value.length > 40 ? `${value.slice(0, 40)}…` : value)}\``;
  }
  return `\`${String(value)}\``;
}

function quoted(list: readonly string[]): string {
  return list.map((word) => `\`${word}\``).join(', ');
}

function didYouMeanOneOf(near: readonly string[]): string {
  return `did you mean ${near.map((n) => `\`${n}\``).join(' or ')}?`;
}

function pathKey(path: Path): string {
  return JSON.stringify(path.map(String));
}

/** `bed.zones[2].ports[0].at` */
function pathText(path: Path): string {
  let text = '';
  for (const step of path) {
    text += typeof step === 'number' ? `[${step}]` : text === '' ? visible(step) : `.${visible(step)}`;
  }
  return text;
}

function named(path: Path): string {
  return path.length === 0 ? '' : `\`${pathText(path)}\`: `;
}

function mapName(path: Path): string {
  return path.length === 0 ? 'the file' : `\`${pathText(path)}\``;
}
