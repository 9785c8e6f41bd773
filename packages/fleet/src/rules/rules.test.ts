import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { mergeRules } from '@bedledger/diagnostics';
import { expect, test } from 'vitest';
import { FLEET_RULES } from '../report.ts';
import { FILE_RULES } from './files.ts';
import { LEDGER_RULES } from './ledger.ts';
import { PROFILE_RULES } from './profile.ts';
import { schemaRules } from './schema.ts';
import { SHARED_RULES } from './shared.ts';
import { TABLE_RULES } from './tables.ts';

const CODES = Object.keys(FLEET_RULES);

test('every code has one rule', () => {
  const merged = mergeRules(FILE_RULES, LEDGER_RULES, PROFILE_RULES, SHARED_RULES, TABLE_RULES);
  expect(Object.keys(merged).sort()).toEqual([...CODES].sort());
});

test.each(Object.entries(FLEET_RULES))('%s reads like the others', (code, rule) => {
  expect(code).toMatch(/^[a-z]+\/[a-z0-9-]+$/);
  expect(rule.title).toMatch(/^[^A-Z].*[^.]$/);
  expect(rule.why).toMatch(/^[A-Z].*\.$/);
  expect(rule.remedy).toMatch(/^[^A-Z].*[^.]$/);
});

test('every rule is raised somewhere in the sources', () => {
  const root = fileURLToPath(new URL('..', import.meta.url));
  const sources = readdirSync(root, { recursive: true, encoding: 'utf8' })
    .filter((name) => name.endsWith('.ts') && !name.endsWith('.test.ts') && !name.startsWith('rules'))
    .map((name) => readFileSync(join(root, name), 'utf8'))
    .join('\n');
  const schemaCodes = (['profile', 'ledger', 'shared'] as const).flatMap((a) => Object.keys(schemaRules(a)));
  for (const code of CODES) {
    // Codes of the schema are put together from the file and the word.
    const raised = schemaCodes.includes(code) ? code.slice(code.indexOf('/') + 1) : code;
    expect(sources.includes(`'${raised}'`), code).toBe(true);
  }
});
