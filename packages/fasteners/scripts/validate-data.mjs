// Proves every table of the catalogue against its JSON Schema, and what a schema cannot say: that the file is named
// for its id, that every value has a column, that no figure of a kind is given twice, that lengths ascend.
// Usage: node packages/fasteners/scripts/validate-data.mjs   (exit 0 sound, 1 not)
import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import Ajv from 'ajv';

const here = fileURLToPath(new URL('..', import.meta.url));
const schema = JSON.parse(readFileSync(join(here, 'schemas/catalogue-table.schema.json'), 'utf8'));
const folder = join(here, 'src/data');
const listed = readFileSync(join(here, 'src/catalogue/tables.ts'), 'utf8');

/** Complaints about one parsed table; empty when it is sound. */
export function complaints(table, file, validate) {
  const list = [];
  if (!validate(table)) {
    for (const e of validate.errors ?? []) list.push(`${file}${e.instancePath || '/'}: ${e.message}`);
    return list;
  }
  if (`${table.id}.json` !== file) list.push(`${file}: its id is ${table.id}`);
  const keys = new Set(table.columns.map((c) => c.key));
  if (keys.size !== table.columns.length) list.push(`${file}: a column is given twice`);
  const seen = new Set();
  for (const row of table.rows) {
    for (const key of Object.keys(row.values)) {
      if (!keys.has(key)) list.push(`${file}, ${row.size}: "${key}" has no column`);
    }
    const name = [row.size, row.values.series, row.values.head].join('|');
    if (seen.has(name)) list.push(`${file}: ${name} is given twice`);
    seen.add(name);
    for (const value of Object.values(row.values)) {
      if (Array.isArray(value) && value.some((v, i) => i > 0 && v <= value[i - 1])) {
        list.push(`${file}, ${row.size}: lengths do not ascend`);
      }
    }
    for (const [key, max] of Object.entries(row.values)) {
      const min = row.values[key.replace(/Max$/, 'Min')];
      if (key.endsWith('Max') && typeof max === 'number' && typeof min === 'number' && min > max) {
        list.push(`${file}, ${row.size}: ${key} ${max} is below its minimum ${min}`);
      }
    }
  }
  if (!listed.includes(`'../data/${file}'`)) list.push(`${file}: not listed in src/catalogue/tables.ts`);
  return list;
}

/** Every complaint about every file, in the order of their names. */
export function validateAll() {
  const validate = new Ajv({ allErrors: true, strict: true, strictRequired: false }).compile(schema);
  const files = readdirSync(folder)
    .filter((f) => f.endsWith('.json'))
    .sort();
  return {
    files,
    problems: files.flatMap((f) =>
      complaints(JSON.parse(readFileSync(join(folder, f), 'utf8')), f, validate),
    ),
  };
}

if (process.argv[1] === fileURLToPath(import.meta.url)) {
  const { files, problems } = validateAll();
  for (const p of problems) console.error(p);
  console.log(`${files.length} tables, ${problems.length} problems`);
  process.exitCode = problems.length > 0 ? 1 : 0;
}
