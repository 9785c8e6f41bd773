import type { z } from 'zod';
import type { Path } from '../model/path.ts';
import { quantityField } from '../written/quantity.ts';

export type AnySchema = z.core.$ZodType;

interface SchemaDef {
  readonly type: string;
  readonly shape?: Record<string, AnySchema>;
  readonly element?: AnySchema;
  readonly items?: readonly AnySchema[];
  readonly valueType?: AnySchema;
  readonly keyType?: AnySchema;
  readonly options?: readonly AnySchema[];
  readonly innerType?: AnySchema;
  readonly values?: readonly unknown[];
}

/** What a schema is made of: the one place that looks inside one. */
export function defOf(schema: AnySchema): SchemaDef {
  return schema._zod.def as unknown as SchemaDef;
}

/** The schema of a field, list entry, tuple item or record value one step below; undefined where there is none. */
export function schemaBelow(schema: AnySchema, step: string | number): AnySchema | undefined {
  const def = defOf(schema);
  if (def.type === 'object') return def.shape?.[String(step)];
  if (def.type === 'tuple') return def.items?.[Number(step)];
  return def.element ?? def.valueType;
}

export function valueBelow(value: unknown, step: string | number): unknown {
  return typeof value === 'object' && value !== null
    ? (value as Record<string, unknown>)[String(step)]
    : undefined;
}

export function valueAt(data: unknown, path: Path): unknown {
  return path.reduce(valueBelow, data);
}

/** Every schema that can stand at `path` of `value`, through optional fields and unions. */
export function schemasAt(schema: AnySchema, path: Path, value: unknown): AnySchema[] {
  // A quantity is one thing to a reader, however many forms it may be written in.
  if (quantityField(schema)) return path.length === 0 ? [schema] : [];
  const def = defOf(schema);
  if (def.innerType) return schemasAt(def.innerType, path, value);
  if (def.type === 'union' && def.options) {
    const tagged = def.options.filter((option) => matchesTag(option, value));
    return (tagged.length > 0 ? tagged : def.options).flatMap((option) => schemasAt(option, path, value));
  }
  const [step, ...rest] = path;
  if (step === undefined) return [schema];
  const next = schemaBelow(schema, step);
  return next ? schemasAt(next, rest, valueBelow(value, step)) : [];
}

/** Does the object branch of a union carry the value's own tag (`fact: insert`)? */
function matchesTag(option: AnySchema, value: unknown): boolean {
  return Object.entries(defOf(option).shape ?? {}).some(([key, field]) => {
    const def = defOf(field);
    return def.type === 'literal' && def.values?.includes(valueBelow(value, key));
  });
}
