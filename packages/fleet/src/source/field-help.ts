import type { Units } from '@bedledger/diagnostics';
import type { Path } from '../model/path.ts';
import { exampleIn, quantityField, quantityHelp } from '../written/quantity.ts';
import { type AnySchema, defOf, schemaBelow, schemasAt, valueBelow } from './schema-walk.ts';

/** The field at `path` as an editor shows it, with an example, in the unit of the file. */
export function fieldHelp(root: AnySchema, path: Path, data: unknown, units: Units): string | undefined {
  const key = path.at(-1);
  const parents = schemasAt(root, path.slice(0, -1), data);
  for (const parent of parents) {
    const field = key === undefined ? parent : schemaBelow(parent, key);
    const about = field && describe(field, units);
    if (about) return key === undefined ? about : `\`${String(key)}\`: ${about}`;
  }
  return undefined;
}

interface Meta {
  readonly description?: string;
  readonly examples?: readonly unknown[];
}

/** Description and example of the outermost schema that has one; `optional` and the like have none. */
function describe(schema: AnySchema, units: Units): string | undefined {
  for (let s: AnySchema | undefined = schema; s; s = defOf(s).innerType) {
    const quantity = quantityField(s);
    if (quantity) return quantityHelp(quantity, units);
    const meta = (s as unknown as { meta?: () => Meta | undefined }).meta?.();
    if (!meta?.description) continue;
    const example = meta.examples?.[0];
    const shown = example === undefined ? '' : `, for example \`${flow(example, s, units)}\``;
    return `${meta.description.replace(/\.$/, '')}${shown}`;
  }
  return undefined;
}

/** An example of a schema as it would be typed in YAML, on one line, in the unit of the file. */
function flow(value: unknown, schema: AnySchema, units: Units): string {
  const below = (step: string | number): string => {
    const inner = valueBelow(value, step);
    const field = schemasAt(schema, [step], value)[0];
    return field ? flow(inner, field, units) : String(inner);
  };
  const quantity = schemasAt(schema, [], value).map(quantityField).find(Boolean);
  if (typeof value !== 'object' || value === null) {
    return quantity && (typeof value === 'number' || typeof value === 'string')
      ? exampleIn({ ...quantity, example: value }, units)
      : String(value);
  }
  if (Array.isArray(value)) return `[${value.map((_, i) => below(i)).join(', ')}]`;
  return `{ ${Object.keys(value)
    .map((k) => `${k}: ${below(k)}`)
    .join(', ')} }`;
}
