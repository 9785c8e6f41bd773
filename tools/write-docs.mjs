// `node tools/write-docs.mjs [--check]`: writes docs/rules.md and docs/profile.md from the tables and schemas they describe.
import { existsSync, mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { pathToFileURL } from 'node:url';
import { build } from 'esbuild';
import { ROOT } from './steps.mjs';

const check = process.argv.includes('--check');
// Below node_modules, so that the packages that stay outside the bundle are found from there.
const folder = mkdtempSync(join(ROOT, 'node_modules', '.docs-'));
try {
  const outfile = join(folder, 'pages.mjs');
  await build({
    absWorkingDir: ROOT,
    entryPoints: ['packages/cli/src/docs/pages.ts'],
    outfile,
    bundle: true,
    platform: 'node',
    format: 'esm',
    target: 'node20',
    conditions: ['@bedledger/source'],
    banner: {
      js: "import { createRequire as __createRequire } from 'node:module'; const require = __createRequire(import.meta.url);",
    },
    logLevel: 'error',
  });
  const { docPages } = await import(pathToFileURL(outfile).href);
  for (const { path, text } of docPages()) {
    const file = join(ROOT, path);
    const same = existsSync(file) && readFileSync(file, 'utf8') === text;
    if (!same && check) {
      process.stdout.write(`stop     ${path}: out of date; run \`node tools/write-docs.mjs\`\n`);
      process.exitCode = 1;
    } else if (!same) {
      mkdirSync(dirname(file), { recursive: true });
      writeFileSync(file, text);
      process.stdout.write(`changed  ${path}\n`);
    } else process.stdout.write(`ok       ${path}\n`);
  }
} finally {
  rmSync(folder, { recursive: true, force: true });
}
