import { readdirSync, readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { expect, test } from 'vitest';
import { BEDWORK_RULES } from './index.ts';

const SRC = fileURLToPath(new URL('..', import.meta.url));

test('every rule can be found by something, and says what to do in one sentence', () => {
  const code = readdirSync(SRC, { recursive: true, encoding: 'utf8' })
    .filter((path) => /\.ts$/.test(path) && !/\.(test|bench)\.ts$/.test(path) && !/^rules[/\\]/.test(path))
    .map((path) => readFileSync(`${SRC}/${path}`, 'utf8'))
    .join('\n');
  const unused = Object.keys(BEDWORK_RULES).filter((id) => !code.includes(`'${id}'`));
  expect(unused).toEqual([]);
  for (const [id, rule] of Object.entries(BEDWORK_RULES)) {
    expect(id).toMatch(/^[a-z]+\/[a-z-]+$/);
    expect(rule.title, id).toMatch(/^[^A-Z].*[^.]$/);
    expect(rule.remedy, id).toMatch(/^[^A-Z].*[^.]$/);
    expect(rule.why, id).toMatch(/^[A-Z].*\.$/);
  }
});
