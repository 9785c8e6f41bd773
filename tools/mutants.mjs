// `npm run mutants [-- --sample N | --all]`: every fault operator on every demo machine's programs; prints the score.
// By default two seeded places an operator and program (some minutes); `--all` tries every place (about a million mutants, a night).
import { mkdtempSync, rmSync } from 'node:fs';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import { build } from 'esbuild';
import { ROOT } from './steps.mjs';

const sampleAt = process.argv.indexOf('--sample');
const sample = sampleAt >= 0 ? Number(process.argv[sampleAt + 1]) : 2;
if (!(Number.isInteger(sample) && sample > 0)) {
  process.stderr.write('--sample takes a whole number of places, at least 1\n');
  process.exit(2);
}
const folder = mkdtempSync(join(ROOT, 'node_modules', '.mutants-'));
try {
  const outfile = join(folder, 'run.mjs');
  await build({
    absWorkingDir: ROOT,
    entryPoints: ['test/mutation/run.ts'],
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
  const { runMutants } = await import(pathToFileURL(outfile).href);
  const score = await runMutants({
    root: ROOT,
    ...(process.argv.includes('--all') ? {} : { sample }),
    seed: 1,
  });
  process.exitCode = score.survivors === 0 ? 0 : 1;
} finally {
  rmSync(folder, { recursive: true, force: true });
}
