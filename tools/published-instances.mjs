// `npm run instances -- <folder>`: tours and covers of published instance sets against their published best values.
// The folder holds tsplib/*.tsp, tsplib/pcb442.opt.tour and orlib/*.txt as published; test/reference/SOURCES.md names them.
import { mkdtempSync, rmSync } from 'node:fs';
import { join, resolve } from 'node:path';
import { pathToFileURL } from 'node:url';
import { build } from 'esbuild';
import { ROOT } from './steps.mjs';

const [folder] = process.argv.slice(2);
if (folder === undefined) {
  process.stderr.write('say which folder holds the instances: npm run instances -- <folder>\n');
  process.exit(2);
}
const made = mkdtempSync(join(ROOT, 'node_modules', '.instances-'));
try {
  const outfile = join(made, 'run.mjs');
  await build({
    absWorkingDir: ROOT,
    entryPoints: ['test/published-instances/run.ts'],
    outfile,
    bundle: true,
    platform: 'node',
    format: 'esm',
    target: 'node20',
    conditions: ['@bedledger/source'],
    logLevel: 'error',
  });
  const { run } = await import(pathToFileURL(outfile).href);
  const good = run(resolve(folder), (line) => process.stdout.write(`${line}\n`));
  process.exitCode = good ? 0 : 1;
} finally {
  rmSync(made, { recursive: true, force: true });
}
