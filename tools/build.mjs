// Type-checks and emits every package (tsc -b), then bundles the command into one file.
import { spawnSync } from 'node:child_process';
import { existsSync, readdirSync, readFileSync, realpathSync, rmSync, writeFileSync } from 'node:fs';
import { join, relative } from 'node:path';
import { build } from 'esbuild';
import { BUNDLE } from './bundle.mjs';
import { environment, ROOT } from './steps.mjs';

// `--bundle` leaves the type check out: for trying the command in the middle of a change.
if (!process.argv.includes('--bundle')) {
  const compiled = spawnSync('tsc', ['-b'], { cwd: ROOT, env: environment(), stdio: 'inherit' });
  if (compiled.status !== 0) process.exit(compiled.status ?? 1);
  for (const name of readdirSync(join(ROOT, 'packages'))) removeStale(join(ROOT, 'packages', name));
}

/** Removes compiled files of a package whose source is gone: they would be shipped for ever. */
function removeStale(folder) {
  const dist = join(folder, 'dist');
  for (const entry of readdirSync(dist, { recursive: true, withFileTypes: true })) {
    if (!entry.isFile()) continue;
    const file = join(entry.parentPath, entry.name);
    const source = join(folder, 'src', relative(dist, file));
    const compiled = /(\.d\.ts|\.js|\.json)(\.map)?$/.exec(source);
    if (compiled === null) continue;
    const from = compiled[1] === '.json' ? source : source.replace(compiled[0], '.ts');
    if (compiled[2] === '.map' || !existsSync(from) || /[/\\]testing[/\\]/.test(from)) rmSync(file);
  }
}

const version = JSON.parse(readFileSync(join(ROOT, 'packages/cli/package.json'), 'utf8')).version;
const shared = {
  ...BUNDLE,
  define: { __BEDLEDGER_VERSION__: JSON.stringify(version) },
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
writeFileSync(join(ROOT, 'packages/cli/dist/LICENSES.txt'), licencesOf(Object.keys(metafile.inputs)));

/**
 * Licences of the packages of others that are in the bundle, and of what those packages hold themselves: their notices go
 * where their code goes.
 */
function licencesOf(inputs) {
  const folders = new Set();
  const add = (linked) => {
    const folder = realpathSync(linked);
    if (folders.has(folder)) return;
    folders.add(folder);
    const { dependencies = {} } = JSON.parse(readFileSync(join(folder, 'package.json'), 'utf8'));
    // What a package depends on stands beside it.
    const beside = folder.slice(0, folder.lastIndexOf('node_modules') + 'node_modules'.length);
    for (const name of Object.keys(dependencies)) add(join(beside, name));
  };
  for (const path of inputs) {
    const folder = /^.*node_modules[/](?:@[^/]+[/])?[^/]+/.exec(path)?.[0];
    if (folder !== undefined) add(join(ROOT, folder));
  }
  const texts = new Set();
  for (const folder of folders) {
    const { name, version, license } = JSON.parse(readFileSync(join(folder, 'package.json'), 'utf8'));
    const file = readdirSync(folder).find((f) => /^licen[cs]e(\.(md|txt))?$/i.test(f));
    if (file === undefined) throw new Error(`${name} has no licence text in ${folder}`);
    texts.add(`${name} ${version} (${license})\n\n${readFileSync(join(folder, file), 'utf8').trim()}\n`);
  }
  return `The command holds code of these packages.\n\n${[...texts].sort().join(`\n${'-'.repeat(72)}\n\n`)}`;
}
