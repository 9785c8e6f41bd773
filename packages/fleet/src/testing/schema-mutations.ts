import assert from 'node:assert/strict';
import { readFileSync } from 'node:fs';
import { listMachines } from '@bedledger/fleet';
import { Ajv } from 'ajv';
import fc from 'fast-check';
import { parse } from 'yaml';
import type { z } from 'zod';
import { ROOT } from '../../../../test/support/demo-fleet.ts';
import { jsonSchemas } from '../schema/json-schemas.ts';
import { fixingsSchema } from '../written/fixings.ts';
import { ledgerSchema } from '../written/ledger.ts';
import { machineSchema } from '../written/machine.ts';
import { boardsSchema, cuttersSchema, houseSchema } from '../written/shared.ts';

export type Node = Record<string, unknown>;

/** The published schemas by kind of file. */
export const texts = new Map(
  jsonSchemas().map(({ path, text }) => [path.replace(/^.*\/(.*)\.schema\.json$/, '$1'), text]),
);
const ajv = new Ajv({ strict: true, allowUnionTypes: true, strictTuples: false });
/** By kind: the product's schema, an independent validator on the published one, and the demo fleet's files. */
export const kinds: Record<
  string,
  { schema: z.ZodType; published: (data: unknown) => unknown; files: string[] }
> = {};
for (const [kind, schema, files] of [
  ['machine', machineSchema, listMachines(ROOT).map((id) => `machines/${id}/machine.yaml`)],
  ['ledger', ledgerSchema, listMachines(ROOT).map((id) => `machines/${id}/ledger.yaml`)],
  ['cutters', cuttersSchema, ['shared/cutters.yaml']],
  ['boards', boardsSchema, ['shared/boards.yaml']],
  ['fixings', fixingsSchema, ['shared/fixings.yaml']],
  ['house', houseSchema, ['shared/house.yaml']],
] as const) {
  kinds[kind] = { schema, published: ajv.compile(JSON.parse(texts.get(kind)!)), files: [...files] };
}

export function read(file: string): Node {
  return parse(readFileSync(`${ROOT}${file}`, 'utf8')) as Node;
}

/** Verdicts of the validator of the product and of an independent one on the published schema. */
export function verdicts(kind: string, data: unknown): [boolean, boolean] {
  const { schema, published } = kinds[kind]!;
  return [schema.safeParse(data).success, Boolean(published(data))];
}

const oddity = fc.oneof(
  fc.constantFrom<unknown>(
    null,
    true,
    '',
    'none',
    [],
    {},
    0,
    -1,
    1e9,
    0.5,
    '5 mm',
    '-1/2 in',
    '3 kPa',
    [1, 2],
    'A1',
    '2026-02-30',
  ),
  fc.double(),
  fc.string({ unit: 'binary', maxLength: 5 }),
);
const cases = Object.entries(kinds).flatMap(([kind, { files }]) =>
  files.map((file) => ({ kind, data: read(file) })),
);
const paths = cases.map(({ data }) => {
  const out: (string | number)[][] = [];
  const walk = (value: unknown, path: (string | number)[]) => {
    if (path.length > 0) out.push(path);
    // A few entries of a long list stand for all of them.
    if (Array.isArray(value)) value.slice(0, 8).forEach((v, i) => void walk(v, [...path, i]));
    else if (typeof value === 'object' && value !== null)
      for (const [k, v] of Object.entries(value)) walk(v, [...path, k]);
  };
  walk(data, []);
  return out;
});

/** Any change at any place of any demo file is accepted by both validators, or refused by both. */
export function anyMutation(refused: () => void = () => {}) {
  return fc.property(
    fc.integer({ min: 0, max: cases.length - 1 }),
    fc.nat(),
    oddity,
    fc.constantFrom('set', 'drop', 'add'),
    (which, at, value, how) => {
      const { kind, data } = cases[which]!;
      const path = paths[which]![at % paths[which]!.length]!;
      const copy = structuredClone(data);
      let node = copy as unknown as Record<string | number, unknown>;
      for (const step of path.slice(0, -1)) node = node[step] as typeof node;
      const last = path.at(-1)!;
      if (how === 'drop' && !Array.isArray(node)) delete node[last];
      else if (how === 'add' && !Array.isArray(node)) node[`${last}x`] = value;
      else node[last] = value;
      const [ours, published] = verdicts(kind, copy);
      if (!ours) refused();
      assert.equal(published, ours, `${kind} ${how} ${path.join('.')} ${JSON.stringify(value)}`);
    },
  );
}
