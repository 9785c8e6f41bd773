// `npm run bench [-- --json] [-- name…]`: every figure the project promises, measured now, one line each.
// Modules named *.bench.ts export `figures()`: [{ name, value, unit, limit, reference }].
import { mkdtempSync, readdirSync, rmSync } from 'node:fs';
import { join, relative } from 'node:path';
import { pathToFileURL } from 'node:url';
import { build } from 'esbuild';
import { ROOT } from './steps.mjs';

const args = process.argv.slice(2);
const json = args.includes('--json');
const wanted = args.filter((a) => !a.startsWith('--'));

/** Every *.bench.ts below `folder`, sorted. */
function benches(folder) {
  const found = [];
  const walk = (at) => {
    for (const entry of readdirSync(join(folder, at), { withFileTypes: true })) {
      if (entry.name === 'node_modules' || entry.name === 'dist' || entry.name.startsWith('.')) continue;
      const path = at === '' ? entry.name : `${at}/${entry.name}`;
      if (entry.isDirectory()) walk(path);
      else if (entry.name.endsWith('.bench.ts')) found.push(path);
    }
  };
  walk('');
  return found.sort();
}

const files = [
  ...benches(join(ROOT, 'packages')).map((f) => `packages/${f}`),
  ...benches(join(ROOT, 'test')).map((f) => `test/${f}`),
]
  .sort()
  .filter((f) => wanted.length === 0 || wanted.some((w) => f.includes(w)));

// Below node_modules, so that the packages that stay outside the bundles are found from there.
const folder = mkdtempSync(join(ROOT, 'node_modules', '.bench-'));
const all = [];
try {
  for (const file of files) {
    const outfile = join(folder, `${file.replaceAll('/', '-')}.mjs`);
    await build({
      absWorkingDir: ROOT,
      entryPoints: [file],
      outfile,
      bundle: true,
      platform: 'node',
      format: 'esm',
      target: 'node20',
      conditions: ['@bedledger/source'],
      external: ['highs', 'gcode-toolpath', 'gcode-interpreter', 'gcode-parser', 'jsts', 'vitest'],
      banner: {
        js: "import { createRequire as __createRequire } from 'node:module'; const require = __createRequire(import.meta.url);",
      },
      // A bench finds its data from where it stands in the tree, not from where its bundle runs.
      define: { 'import.meta.dirname': JSON.stringify(join(ROOT, file, '..')) },
      logLevel: 'error',
    });
    const { figures } = await import(pathToFileURL(outfile).href);
    if (typeof figures !== 'function') throw new Error(`${relative(ROOT, file)} exports no figures()`);
    for (const figure of await figures()) {
      all.push(figure);
      if (!json) {
        const limit = figure.limit === null ? '' : `  limit ${figure.limit}`;
        const reference = figure.reference === null ? '' : `  (${figure.reference})`;
        process.stdout.write(
          `${figure.name.padEnd(58)} ${String(Number(figure.value.toPrecision(5))).padStart(12)} ${figure.unit}${limit}${reference}\n`,
        );
      }
    }
  }
} finally {
  rmSync(folder, { recursive: true, force: true });
}
if (json) process.stdout.write(`${JSON.stringify(all, null, 2)}\n`);
