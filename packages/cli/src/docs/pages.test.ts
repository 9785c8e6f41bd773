import { readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { jsonSchemas } from '@bedledger/fleet';
import { describe, expect, it } from 'vitest';
import { RULES } from '../rules/index.ts';
import { docPages } from './pages.ts';

const ROOT = fileURLToPath(new URL('../../../../', import.meta.url));

describe.each(docPages().map((p) => [p.path, p.text] as const))('%s', (path, text) => {
  it('is what the tables say: run `node tools/write-docs.mjs` when this fails', () => {
    expect(readFileSync(`${ROOT}${path}`, 'utf8')).toBe(text);
  });

  it('has tables whose rows are as wide as their heads', () => {
    let width = 0;
    for (const line of text.split('\n')) {
      const cells = line.startsWith('|') ? line.split(/(?<!\\)\|/).length : 0;
      if (width > 0 && cells > 0) expect(cells, line).toBe(width);
      width = cells;
    }
    expect(text).not.toMatch(/undefined|\[object/);
  });
});

it('every rule has its place', () => {
  const page = docPages().find((p) => p.path === 'docs/rules.md')?.text ?? '';
  for (const code of Object.keys(RULES)) expect(page).toContain(`### \`${code}\``);
});

it('every key of every schema has its place', () => {
  const page = docPages().find((p) => p.path === 'docs/profile.md')?.text ?? '';
  const keys = new Set<string>();
  const walk = (node: unknown): void => {
    if (typeof node !== 'object' || node === null) return;
    const { properties } = node as { properties?: Record<string, unknown> };
    if (properties !== undefined && typeof properties === 'object')
      for (const key of Object.keys(properties)) keys.add(key);
    for (const [name, child] of Object.entries(node)) if (name !== 'examples') walk(child);
  };
  for (const { text } of jsonSchemas()) walk(JSON.parse(text));
  expect(keys.size).toBeGreaterThan(100);
  for (const key of keys) if (key !== '$schema') expect(page, key).toMatch(new RegExp(`[\`.]${key}[\`:.[ ]`));
});
