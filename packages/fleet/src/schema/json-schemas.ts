import { z } from 'zod';
import { fixingsSchema } from '../written/fixings.ts';
import { ledgerSchema } from '../written/ledger.ts';
import { machineSchema } from '../written/machine.ts';
import { boardsSchema, cuttersSchema, houseSchema } from '../written/shared.ts';

const SCHEMAS: readonly (readonly [string, z.ZodType])[] = [
  ['boards', boardsSchema],
  ['cutters', cuttersSchema],
  ['fixings', fixingsSchema],
  ['house', houseSchema],
  ['ledger', ledgerSchema],
  ['machine', machineSchema],
];

/** Limits that only say "a whole number that a computer can hold" tell a reader nothing. */
function withoutSafeIntegers(node: Record<string, unknown>): void {
  if (node.minimum === Number.MIN_SAFE_INTEGER) delete node.minimum;
  if (node.maximum === Number.MAX_SAFE_INTEGER) delete node.maximum;
}

/** JSON Schema (draft-07, which YAML editors understand) of one kind of file, as plain data. */
export function jsonSchemaOf(schema: z.ZodType): Record<string, unknown> {
  return z.toJSONSchema(schema, {
    target: 'draft-07',
    io: 'input',
    reused: 'inline',
    override: (context) => withoutSafeIntegers(context.jsonSchema as Record<string, unknown>),
  }) as Record<string, unknown>;
}

/** Every JSON Schema of a fleet: path relative to its root, and text (two-space indent, final newline). */
export function jsonSchemas(): { path: string; text: string }[] {
  return SCHEMAS.map(([name, schema]) => ({
    path: `shared/schemas/${name}.schema.json`,
    text: `${JSON.stringify(jsonSchemaOf(schema), null, 2)}\n`,
  }));
}
