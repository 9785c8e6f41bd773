// Type-checks and emits every package (tsc -b), then bundles the command into one file.
import { spawnSync } from 'node:child_process';
import { readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { build } from 'esbuild';
import { environment, ROOT } from './steps.mjs';

// `--bundle` leaves the type check out: for trying the command in the middle of a change.
if (!process.argv.includes('--bundle')) {
  const compiled = spawnSync('tsc', ['-b'], { cwd: ROOT, env: environment(), stdio: 'inherit' });
  if (compiled.status !== 0) process.exit(compiled.status ?? 1);
}

const version = JSON.parse(readFileSync(join(ROOT, 'packages/cli/package.json'), 'utf8')).version;
const shared = {
  absWorkingDir: ROOT,
  bundle: true,
  platform: 'node',
  format: 'esm',
  target: 'node20',
  conditions: ['@bedledger/source'],
  define: { __BEDLEDGER_VERSION__: JSON.stringify(version) },
  // Some dependencies are CommonJS and ask for `require`.
  banner: {
    js: "import { createRequire as __createRequire } from 'node:module'; const require = __createRequire(import.meta.url);",
  },
  legalComments: 'none',
  logLevel: 'warning',
};
// Splitting keeps `--version` and `--help` from loading the geometry: commands are separate chunks, loaded on demand.
// The worker is an entry of its own: it stands beside the command's entry, where the command looks for it (src/main.ts).
const { metafile } = await build({
  ...shared,
  metafile: true,
  entryPoints: { bedledger: 'packages/cli/src/main.ts', worker: 'packages/cli/src/worker.ts' },
  outdir: 'packages/cli/dist',
  outExtension: { '.js': '.mjs' },
  chunkNames: 'chunks/[name]-[hash]',
  splitting: true,
  minifySyntax: true,
  minifyWhitespace: true,
});
// Chunks of earlier builds would be shipped for ever.
const chunks = 'packages/cli/dist/chunks';
for (const name of readdirSync(join(ROOT, chunks))) {
  if (!(`${chunks}/${name}` in metafile.outputs)) rmSync(join(ROOT, chunks, name));
}
writeFileSync(join(ROOT, 'packages/cli/dist/BUILD'), `${version}\n`);
