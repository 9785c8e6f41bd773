import type { Diagnostic } from '@bedledger/diagnostics';
import { suggest, visible } from '@bedledger/diagnostics';
import type { z } from 'zod';
import { quantityExplanation } from '../written/quantity.ts';
import type { Path, YamlSource } from './yaml-source.ts';

type Issue = z.core.$ZodIssue;
type AnySchema = z.core.$ZodType;

interface SchemaDef {
  readonly type: string;
  readonly shape?: Record<string, AnySchema>;
  readonly element?: AnySchema;
  readonly items?: readonly AnySchema[];
  readonly valueType?: AnySchema;
  readonly options?: readonly AnySchema[];
  readonly innerType?: AnySchema;
  readonly values?: readonly unknown[];
}

function defOf(schema: AnySchema): SchemaDef {
  return schema._zod.def as unknown as SchemaDef;
}

/** Every schema that can stand at `path`, through optional fields and unions. */
function schemasAt(schema: AnySchema, path: Path, value: unknown): AnySchema[] {
  // A quantity is one thing to a reader, however many forms it may be written in.
  if (quantityExplanation(schema)) return path.length === 0 ? [schema] : [];
  const def = defOf(schema);
  if (def.innerType) return schemasAt(def.innerType, path, value);
  if (def.type === 'union' && def.options) {
    const tagged = def.options.filter((o) => matchesTag(o, value));
    return (tagged.length > 0 ? tagged : def.options).flatMap((o) => schemasAt(o, path, value));
  }
  const [step, ...rest] = path;
  if (step === undefined) return [schema];
  const child = childValue(value, step);
  if (def.type === 'object') {
    const field = def.shape?.[String(step)];
    return field ? schemasAt(field, rest, child) : [];
  }
  if (def.type === 'array' && def.element) return schemasAt(def.element, rest, child);
  if (def.type === 'tuple') {
    const item = def.items?.[Number(step)];
    return item ? schemasAt(item, rest, child) : [];
  }
  if (def.type === 'record' && def.valueType) return schemasAt(def.valueType, rest, child);
  return [];
}

function childValue(value: unknown, step: string | number): unknown {
  return typeof value === 'object' && value !== null
    ? (value as Record<string, unknown>)[String(step)]
    : undefined;
}

/** Does the object branch of a union carry the value's own tag (`fact: insert`)? */
function matchesTag(option: AnySchema, value: unknown): boolean {
  const shape = defOf(option).shape;
  if (!shape || typeof value !== 'object' || value === null) return false;
  for (const [key, field] of Object.entries(shape)) {
    const def = defOf(field);
    if (def.type === 'literal' && def.values?.includes(childValue(value, key))) return true;
  }
  return false;
}

function valueAt(data: unknown, path: Path): unknown {
  let value = data;
  for (const step of path) value = childValue(value, step);
  return value;
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

const EXPECTED: Readonly<Record<string, string>> = {
  string: 'text',
  number: 'a number',
  int: 'a whole number',
  boolean: '`true` or `false`',
  object: 'a map of keys',
  record: 'a map of keys',
  array: 'a list',
  tuple: 'a list',
};

/** The description of the field at `path`, as the editor shows it, and its first example. */
function fieldHelp(root: z.ZodType, path: Path, data: unknown): string | undefined {
  const [field] = schemasAtKeepingMeta(root, path, data);
  if (!field) return undefined;
  const example = field.examples?.[0];
  const shown = example === undefined ? '' : `, for example \`${flow(example)}\``;
  const key = path.at(-1);
  if (!field.description) return undefined;
  return `${key === undefined ? '' : `\`${String(key)}\`: `}${field.description.replace(/\.$/, '')}${shown}`;
}

interface Meta {
  readonly description?: string;
  readonly examples?: readonly unknown[];
}

function schemasAtKeepingMeta(root: z.ZodType, path: Path, data: unknown): Meta[] {
  const out: Meta[] = [];
  const last = path.at(-1);
  const parents = schemasAt(root, path.slice(0, -1), data);
  for (const parent of parents) {
    const def = defOf(parent);
    const child =
      last === undefined
        ? parent
        : def.type === 'object'
          ? def.shape?.[String(last)]
          : def.type === 'tuple'
            ? def.items?.[Number(last)]
            : (def.element ?? def.valueType);
    let schema = child;
    while (schema) {
      const meta = (schema as unknown as { meta?: () => Meta | undefined }).meta?.();
      if (meta?.description) {
        out.push(meta);
        break;
      }
      schema = defOf(schema).innerType;
    }
  }
  return out;
}

/** A value as it would be typed in YAML, on one line. */
function flow(value: unknown): string {
  if (Array.isArray(value)) return `[${value.map(flow).join(', ')}]`;
  if (typeof value === 'object' && value !== null) {
    return `{ ${Object.entries(value)
      .map(([k, v]) => `${k}: ${flow(v)}`)
      .join(', ')} }`;
  }
  return String(value);
}

function knownKeys(root: z.ZodType, path: Path, data: unknown): string[] {
  const keys = new Set<string>();
  for (const schema of schemasAt(root, path, data)) {
    for (const key of Object.keys(defOf(schema).shape ?? {})) keys.add(key);
  }
  return [...keys];
}

/** Unions report every branch; keep the branch that the value was meant for. */
function flatten(issue: Issue, data: unknown): Issue[] {
  if (issue.code !== 'invalid_union' || issue.errors.length === 0) return [issue];
  // A message of the schema's own explains all branches at once.
  if (issue.message !== 'Invalid input') return [issue];
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

/** Turn the issues of a schema into findings with places, each cause once. */
export function issuesToDiagnostics(
  root: z.ZodType,
  issues: readonly Issue[],
  source: YamlSource,
  area: string,
): Diagnostic[] {
  const data = source.data;
  const all = issues.flatMap((i) => flatten(i, data));
  const out: Diagnostic[] = [];
  const add = (
    word: string,
    path: Path,
    part: 'value' | 'key',
    message: string,
    help?: string,
    facts?: Record<string, string | number>,
  ) =>
    out.push({
      code: `${area}/${word}`,
      severity: 'stop',
      message,
      ...source.at(path, part),
      ...(facts ? { facts } : {}),
      ...(help ? { help } : {}),
    });

  // An unknown key and the missing key it stands for are one cause: the unknown key takes the missing one with it.
  const explainedMissing = new Set<string>();
  const missing = all.filter((i) => isMissing(i, data));
  for (const issue of all) {
    if (issue.code !== 'unrecognized_keys') continue;
    const path = issue.path as Path;
    const present = Object.keys((valueAt(data, path) as Record<string, unknown>) ?? {});
    const known = knownKeys(root, path, data);
    const free = known.filter((k) => !present.includes(k));
    for (const key of issue.keys) {
      const lacking = missing
        .filter((m) => samePath(m.path.slice(0, -1) as Path, path))
        .map((m) => String(m.path.at(-1)));
      const near = suggest(key, free);
      const meant = near.find((n) => lacking.includes(n)) ?? near[0];
      if (meant !== undefined) explainedMissing.add(pathKey([...path, meant]));
      const where = path.length === 0 ? 'the file' : `\`${formatPath(path)}\``;
      // `{ text: a, b }`: the comma ends the text, and `b` becomes a key without a value.
      const torn = /\s/.test(key) && valueAt(data, [...path, key]) === null;
      const help = torn
        ? 'a comma ends a text inside `{ }`: put the whole text in quotes'
        : meant !== undefined
          ? `did you mean ${[meant, ...near.filter((n) => n !== meant)].map((n) => `\`${n}\``).join(' or ')}?`
          : `${where} may have ${known.map((k) => `\`${k}\``).join(', ')}`;
      add('unknown-key', [...path, key], 'key', `unknown key \`${visible(key)}\` in ${where}`, help, { key });
    }
  }

  const explained = new Set<string>();
  for (const issue of all) {
    const path = issue.path as Path;
    const value = valueAt(data, path);
    const help = fieldHelp(root, path, data);
    if (issue.code === 'unrecognized_keys') continue;
    if (isMissing(issue, data)) {
      if (explainedMissing.has(pathKey(path))) continue;
      const key = String(path.at(-1) ?? '');
      const parent = path.slice(0, -1);
      const where = parent.length === 0 ? 'the file' : `\`${formatPath(parent)}\``;
      add('missing-key', path, 'value', `\`${key}\` is missing in ${where}`, help, { key });
      continue;
    }
    const explain = schemasAt(root, path, data)
      .map(quantityExplanation)
      .find((e) => e !== undefined);
    if (explain) {
      const key = pathKey(path);
      if (!explained.has(key)) add('wrong-quantity', path, 'value', `${named(path)}${explain(value)}`, help);
      explained.add(key);
      continue;
    }
    switch (issue.code) {
      case 'invalid_type': {
        const wanted = EXPECTED[issue.expected] ?? issue.expected;
        add('wrong-type', path, 'value', `${named(path)}found ${describe(value)}, expected ${wanted}`, help);
        break;
      }
      case 'invalid_value': {
        const options = issue.values.map(String);
        const near = typeof value === 'string' ? suggest(value, options) : [];
        const list = options.map((o) => `\`${o}\``).join(', ');
        add(
          'wrong-choice',
          path,
          'value',
          `${named(path)}found ${describe(value)}, expected ${options.length === 1 ? list : `one of ${list}`}`,
          near.length > 0 ? `did you mean ${near.map((n) => `\`${n}\``).join(' or ')}?` : help,
        );
        break;
      }
      case 'invalid_union': {
        const options = (issue as { options?: readonly unknown[] }).options?.map(String);
        if (options) {
          const near = typeof value === 'string' ? suggest(value, options) : [];
          add(
            'wrong-choice',
            path,
            'value',
            `${named(path)}found ${describe(value)}, expected one of ${options.map((o) => `\`${o}\``).join(', ')}`,
            near.length > 0 ? `did you mean ${near.map((n) => `\`${n}\``).join(' or ')}?` : help,
          );
        } else if (issue.message !== 'Invalid input') {
          add('wrong-quantity', path, 'value', `${named(path)}${issue.message}`, help);
        } else {
          add(
            'wrong-type',
            path,
            'value',
            `${named(path)}found ${describe(value)}, which is none of the allowed forms`,
            help,
          );
        }
        break;
      }
      case 'too_small':
      case 'too_big': {
        const low = issue.code === 'too_small';
        const bound = String(low ? issue.minimum : issue.maximum);
        if (issue.origin === 'array' || issue.origin === 'string') {
          const n = Array.isArray(value) ? value.length : String(value).length;
          add(
            'wrong-length',
            path,
            'value',
            `${named(path)}found ${n} entries, expected ${low ? 'at least' : 'at most'} ${bound}`,
            help,
          );
        } else {
          const limit = low
            ? issue.inclusive
              ? `at least ${bound}`
              : `more than ${bound}`
            : `at most ${bound}`;
          add(
            'out-of-range',
            path,
            'value',
            `${named(path)}found ${describe(value)}, expected ${limit}`,
            help,
          );
        }
        break;
      }
      case 'invalid_key': {
        const key = String(path.at(-1));
        add(
          'wrong-key',
          path,
          'key',
          `\`${visible(key)}\` cannot be a name here, expected ${keyForm(root, path, data)}`,
          help,
        );
        break;
      }
      default:
        add('wrong-value', path, 'value', `${named(path)}found ${describe(value)}, ${issue.message}`, help);
    }
  }
  return out;
}

function keyForm(root: z.ZodType, path: Path, data: unknown): string {
  const description = schemasAt(root, path.slice(0, -1), data)
    .map((s) => defOf(s) as unknown as { keyType?: AnySchema })
    .map((d) => (d.keyType ? ((d.keyType as unknown as z.ZodString).description ?? null) : null))
    .find((d) => d !== null);
  return description ?? 'a small letter, then small letters, digits or `-`';
}

function isMissing(issue: Issue, data: unknown): boolean {
  if (issue.path.length === 0) return false;
  if (issue.code === 'unrecognized_keys') return false;
  const parent = valueAt(data, issue.path.slice(0, -1) as Path);
  if (typeof parent !== 'object' || parent === null || Array.isArray(parent)) return false;
  return valueAt(data, issue.path as Path) === undefined && !Object.hasOwn(parent, String(issue.path.at(-1)));
}

function samePath(a: Path, b: Path): boolean {
  return a.length === b.length && a.every((s, i) => String(s) === String(b[i]));
}

function pathKey(path: Path): string {
  return JSON.stringify(path.map(String));
}

/** `bed.zones[2].ports[0].at` */
export function formatPath(path: Path): string {
  let text = '';
  for (const step of path) {
    text += typeof step === 'number' ? `[${step}]` : text === '' ? visible(step) : `.${visible(step)}`;
  }
  return text;
}

function named(path: Path): string {
  return path.length === 0 ? '' : `\`${formatPath(path)}\`: `;
}
