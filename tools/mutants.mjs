// `npm run mutants`: every fault operator at every place of every demo machine's programs; prints the score.
import { mkdtempSync, rmSync } from 'node:fs';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import { build } from 'esbuild';
import { ROOT } from './steps.mjs';

const sampleAt = process.argv.indexOf('--sample');
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
    ...(sampleAt >= 0 ? { sample: Number(process.argv[sampleAt + 1]) } : {}),
    seed: 1,
  });
  process.exitCode = score.survivors === 0 ? 0 : 1;
} finally {
  rmSync(folder, { recursive: true, force: true });
}
