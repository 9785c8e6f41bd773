import { spawnSync } from 'node:child_process';
import { cpSync, mkdtempSync, readFileSync, rmSync, symlinkSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';

const ROOT = fileURLToPath(new URL('..', import.meta.url));

function lint(folder: string): { status: number | null; text: string } {
  const result = spawnSync(process.execPath, [join(folder, 'tools/lint-repository.mjs')], {
    encoding: 'utf8',
  });
  return { status: result.status, text: result.stdout + result.stderr };
}

describe('the laws of the repository', () => {
  let copy: string;
  beforeAll(() => {
    copy = mkdtempSync(join(tmpdir(), 'bedledger-laws-'));
    for (const part of ['tools', 'packages', 'machines', 'tsconfig.json']) {
      cpSync(join(ROOT, part), join(copy, part), {
        recursive: true,
        filter: (source) => !/[/\\](node_modules|dist|issued)$/.test(source),
      });
    }
    symlinkSync(join(ROOT, 'node_modules'), join(copy, 'node_modules'));
  });
  afterAll(() => rmSync(copy, { recursive: true, force: true }));

  it('hold', () => {
    expect(lint(ROOT)).toEqual({ status: 0, text: 'repository rules: fine\n' });
  });

  // The checker's independence is the product's main safety argument: prove that breaking it is noticed.
  it.each([
    ['checker', 'bedwork'],
    ['checker', 'posts'],
    ['geometry', 'fleet'],
    ['bedwork', 'posts'],
  ])('notice when %s imports %s', (from, to) => {
    const index = join(copy, 'packages', from, 'src/index.ts');
    const text = readFileSync(index, 'utf8');
    writeFileSync(index, `import '@bedledger/${to}';\n${text}`);
    const verdict = lint(copy);
    writeFileSync(index, text);
    expect(verdict.status).toBe(1);
    expect(verdict.text).toContain(`${from} may not import ${to}`);
  });

  it.each([
    ['two files', ['a', 'b']],
    ['three files', ['a', 'b', 'c']],
  ])('notice %s of a package whose imports run in a circle', (_, names) => {
    const folder = join(copy, 'packages/geometry/src');
    const path = (name: string) => join(folder, `${name}.circle.ts`);
    for (const [i, name] of names.entries()) {
      const next = names[(i + 1) % names.length];
      // Types alone make a circle too.
      const kind = i === 0 ? 'import type' : 'import';
      writeFileSync(path(name), `${kind} { x } from './${next}.circle.ts';\nexport type y = x;\n`);
    }
    const verdict = lint(copy);
    for (const name of names) rmSync(path(name));
    expect(verdict.status).toBe(1);
    const way = [...names, 'a'].map((name) => `${name}.circle.ts`).join(' → ');
    expect(verdict.text).toContain(`packages/geometry/src: ${way}: imports run in a circle`);
    expect(lint(copy).text).not.toContain('circle');
  });

  it.each([
    ['surfacing/dust.ts', '../operations/cautions.ts'],
    ['lands/needs.ts', '../layout/model.ts'],
    ['feeds/cutting.ts', '../surfacing/dust.ts'],
    ['base/board.ts', '../index.ts'],
  ])('notice when %s imports %s: folders of a package have an order', (file, target) => {
    const path = join(copy, 'packages/bedwork/src', file);
    const text = readFileSync(path, 'utf8');
    writeFileSync(path, `import '${target}';\n${text}`);
    const verdict = lint(copy);
    writeFileSync(path, text);
    expect(verdict.text).toContain(`packages/bedwork/src/${file}: ${file.split('/')[0]} may not import from`);
    expect(verdict.status).toBe(1);
  });

  it('notice a folder that has no place in the order', () => {
    const path = join(copy, 'packages/bedwork/src/odds-and-ends.ts');
    writeFileSync(path, 'export const ONE = 1;\n');
    const verdict = lint(copy);
    rmSync(path);
    expect(verdict.text).toContain('give odds-and-ends.ts a floor');
    expect(verdict.status).toBe(1);
  });

  it('notice a property without a seed', () => {
    const test = join(copy, 'packages/diagnostics/src/suggest.test.ts');
    const text = readFileSync(test, 'utf8');
    writeFileSync(test, text.replace(/\bseed: \d+/, ''));
    const verdict = lint(copy);
    writeFileSync(test, text);
    expect(verdict.text).toMatch(/suggest\.test\.ts:\d+: fc\.assert without a seed/);
    expect(verdict.status).toBe(1);
  });

  it('notice a path that leaves its package', () => {
    const index = join(copy, 'packages/checker/src/index.ts');
    const text = readFileSync(index, 'utf8');
    writeFileSync(index, `${text}export { post } from '../../posts/src/index.ts';\n`);
    const verdict = lint(copy);
    writeFileSync(index, text);
    expect(verdict.text).toContain('leaves the package');
    expect(verdict.status).toBe(1);
  });
});
