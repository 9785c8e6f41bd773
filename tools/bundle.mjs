// TypeScript sources run from here as one bundle: benches, mutants, proofs and generated pages need no build first.
import { mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { pathToFileURL } from 'node:url';
import { build } from 'esbuild';
import { ROOT } from './steps.mjs';

/** CommonJS dependencies inside an ESM bundle ask for `require`. */
export const REQUIRE_BANNER = {
  js: "import { createRequire as __createRequire } from 'node:module'; const require = __createRequire(import.meta.url);",
};

/** What every bundle of the workspace has in common. */
export const BUNDLE = {
  absWorkingDir: ROOT,
  bundle: true,
  platform: 'node',
  format: 'esm',
  target: 'node20',
  conditions: ['@bedledger/source'],
  banner: REQUIRE_BANNER,
};

/** Packages of the tests that are loaded from node_modules as they are. */
const EXTERNAL = ['highs', 'gcode-toolpath', 'gcode-interpreter', 'gcode-parser', 'jsts', 'vitest'];

/**
 * Bundles one module and calls `use` with what it exports. `source`: a path below the repository, or `{ contents }` of a module
 * in its root. Code that asks where it stands (`import.meta.dirname`, `import.meta.url`) is told the place of the source.
 */
export async function withBundle(source, use) {
  // Below node_modules, so that the packages that stay outside are found from there.
  const folder = mkdtempSync(join(ROOT, 'node_modules', '.bundle-'));
  try {
    const outfile = join(folder, 'module.mjs');
    const entry =
      typeof source === 'string'
        ? { entryPoints: [source] }
        : { stdin: { contents: source.contents, resolveDir: ROOT, loader: 'ts' } };
    await build({
      ...BUNDLE,
      ...entry,
      outfile,
      external: EXTERNAL,
      plugins: [placeOfSource],
      logLevel: 'error',
    });
    return await use(await import(pathToFileURL(outfile).href));
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}

/** A bundled file finds its data from where it stands in the tree, not from where the bundle runs. */
const placeOfSource = {
  name: 'place-of-source',
  setup(bundler) {
    bundler.onLoad({ filter: /[/\\](packages|test)[/\\].*\.ts$/ }, ({ path }) => {
      const text = readFileSync(path, 'utf8');
      if (!text.includes('import.meta.')) return undefined;
      return {
        contents: text
          .replaceAll('import.meta.dirname', JSON.stringify(dirname(path)))
          .replaceAll('import.meta.url', JSON.stringify(pathToFileURL(path).href)),
        loader: 'ts',
      };
    });
  },
};
