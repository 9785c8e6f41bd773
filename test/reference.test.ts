import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { ROOT } from './support/command.ts';
import { readReference } from './support/reference.ts';

/** Every file below `folder` for which `wanted` holds, without dependencies and built files. */
function filesBelow(folder: string, wanted: (name: string) => boolean): string[] {
  return readdirSync(join(ROOT, folder), { withFileTypes: true }).flatMap((entry) => {
    if (entry.name === 'node_modules' || entry.name === 'dist' || entry.name.startsWith('.')) return [];
    const path = `${folder}/${entry.name}`;
    if (entry.isDirectory()) return filesBelow(path, wanted);
    return wanted(entry.name) ? [path] : [];
  });
}

const carried = filesBelow('test/reference', (name) => name !== 'SOURCES.md').map((path) =>
  path.slice('test/reference/'.length),
);
const tests = ['packages', 'test'].flatMap((folder) => filesBelow(folder, (name) => name.endsWith('.ts')));
const read = (path: string): string => readFileSync(join(ROOT, path), 'utf8');

describe('figures from outside', () => {
  it('name their source and terms, every file in SOURCES.md and no other', () => {
    const rows = [...readReference('SOURCES.md').matchAll(/^\| `([^`]+)` \|(.*)\|$/gm)];
    expect(rows.map((row) => row[1]!).sort()).toEqual([...carried].sort());
    for (const [, file, rest] of rows) {
      const cells = rest!.split('|').map((cell) => cell.trim());
      expect(cells, file).toHaveLength(3);
      for (const cell of cells) expect(cell, file).not.toBe('');
    }
  });

  it('are each read by a test', () => {
    const others = tests.filter((path) => path !== 'test/reference.test.ts');
    const text = others.map(read).join('\n');
    const unread = carried.filter((path) => !text.includes(path.split('/').at(-1)!));
    expect(unread).toEqual([]);
  });

  it('are missed with an error', () => {
    expect(() => readReference('fasteners/no-such-table.csv')).toThrow(/ENOENT/);
  });
});

describe('tests that do not run', () => {
  it('are those of the browser, where none is installed, and no others', () => {
    const skipping = tests.filter((path) =>
      /\b(?:it|test|describe)\s*\.\s*(?:skip|skipIf|runIf|todo|only|fails)\b/.test(read(path)),
    );
    expect(skipping).toEqual(['test/browser/pages.test.ts']);
  });
});
