import { execFileSync } from 'node:child_process';
import { createHash } from 'node:crypto';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { buildSync } from 'esbuild';
import { expect, test } from 'vitest';
import { post } from './index.ts';
import { ALL } from './testing/controllers.ts';
import { programOf, TWO_SITES } from './testing/programs.ts';

const SCRIPT = `
import { createHash } from 'node:crypto';
import { post } from ${JSON.stringify(join(import.meta.dirname, 'index.ts'))};
import { ALL } from ${JSON.stringify(join(import.meta.dirname, 'testing/controllers.ts'))};
import { programOf, TWO_SITES } from ${JSON.stringify(join(import.meta.dirname, 'testing/programs.ts'))};
const hash = createHash('sha256');
for (const controller of ALL) for (const file of post(programOf(TWO_SITES), controller)) hash.update(file.name + file.text);
process.stdout.write(hash.digest('hex'));
`;

test('the same bytes in any locale, time zone and working folder', () => {
  const folder = mkdtempSync(join(tmpdir(), 'posts-'));
  try {
    writeFileSync(join(folder, 'run.ts'), SCRIPT);
    const bundle = join(folder, 'run.mjs');
    buildSync({
      entryPoints: [join(folder, 'run.ts')],
      bundle: true,
      platform: 'node',
      format: 'esm',
      conditions: ['@bedledger/source'],
      outfile: bundle,
      logLevel: 'error',
    });
    const here = createHash('sha256');
    for (const controller of ALL) {
      for (const file of post(programOf(TWO_SITES), controller)) here.update(file.name + file.text);
    }
    const expected = here.digest('hex');
    for (const [TZ, LC_ALL, cwd] of [
      ['UTC', 'C', folder],
      ['Asia/Kathmandu', 'de_DE.UTF-8', tmpdir()],
      ['America/St_Johns', 'tr_TR.UTF-8', '/'],
    ] as const) {
      const env = { PATH: process.env.PATH ?? '', TZ, LC_ALL, LANG: LC_ALL };
      expect(execFileSync(process.execPath, [bundle], { cwd, env, encoding: 'utf8' })).toBe(expected);
    }
  } finally {
    rmSync(folder, { recursive: true });
  }
});
