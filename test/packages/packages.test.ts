import { spawnSync } from 'node:child_process';
import {
  cpSync,
  existsSync,
  mkdirSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  realpathSync,
  rmSync,
  writeFileSync,
} from 'node:fs';
import { createRequire } from 'node:module';
import { tmpdir } from 'node:os';
import { dirname, join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { ROOT } from '../support/command.ts';

// What a user gets: every package is packed as for publishing, the tarballs are installed in an empty folder, and the
// installed command and packages do their work there.

const PACKAGES = readdirSync(join(ROOT, 'packages')).sort();
const manager = (
  JSON.parse(readFileSync(join(ROOT, 'package.json'), 'utf8')) as { readonly packageManager: string }
).packageManager;

interface Result {
  readonly status: number | null;
  readonly stdout: string;
  readonly stderr: string;
}

function run(cwd: string, command: string, args: readonly string[]): Result {
  const { error, status, stdout, stderr } = spawnSync(command, args, {
    cwd,
    encoding: 'utf8',
    maxBuffer: 1 << 28,
    shell: process.platform === 'win32',
    env: { ...process.env, NO_COLOR: '1' },
  });
  if (error) throw error;
  return { status, stdout, stderr };
}

function must(result: Result): Result {
  if (result.status !== 0) throw new Error(`exit ${result.status}\n${result.stdout}\n${result.stderr}`);
  return result;
}

interface Manifest {
  readonly name: string;
  readonly dependencies?: Readonly<Record<string, string>>;
}

const manifestOf = (folder: string): Manifest =>
  JSON.parse(readFileSync(join(folder, 'package.json'), 'utf8')) as Manifest;

/** Folders of everything that the packages need from others, by name: what they depend on, and what that depends on. */
function foldersOfOthers(): Map<string, string> {
  const found = new Map<string, string>();
  const add = (from: string, names = Object.keys(manifestOf(from).dependencies ?? {})): void => {
    for (const name of names) {
      if (name.startsWith('@bedledger/') || found.has(name)) continue;
      const paths = createRequire(join(from, 'package.json')).resolve.paths(name) ?? [];
      const folder = paths.map((path) => join(path, name)).find(existsSync);
      if (folder === undefined) throw new Error(`${name} is not installed: run npm start`);
      found.set(name, realpathSync(folder));
      add(realpathSync(folder));
    }
  };
  for (const name of PACKAGES) add(join(ROOT, 'packages', name));
  add(ROOT, ['@types/node']);
  return found;
}

/** Every file below a folder, with forward slashes, without what was installed into it. */
function filesOf(folder: string): string[] {
  return readdirSync(folder, { recursive: true, withFileTypes: true })
    .filter((entry) => entry.isFile())
    .map((entry) =>
      join(entry.parentPath, entry.name)
        .slice(folder.length + 1)
        .replaceAll('\\', '/'),
    )
    .filter((path) => !path.startsWith('node_modules/'))
    .sort();
}

/** Which files a package may have: each is a manifest, a page for people, or compiled from a source that is no test. */
function isExpected(name: string, path: string): boolean {
  if (['package.json', 'README.md', 'LICENSE'].includes(path)) return true;
  if (name === 'cli')
    return /^(bin\/bedledger\.js|dist\/(bedledger|worker)\.mjs|dist\/chunks\/[\w-]+\.mjs|dist\/LICENSES\.txt)$/.test(
      path,
    );
  const source = join(ROOT, 'packages', name, 'src', path.slice('dist/'.length));
  if (name === 'fasteners' && /^dist\/data\/[\w.-]+\.json$/.test(path)) return existsSync(source);
  const compiled = /^dist\/(?!.*(\btesting\/|\.test\.|\.bench\.)).+?(\.d\.ts|\.js)$/.exec(path);
  return compiled !== null && existsSync(`${source.slice(0, -compiled[2]!.length)}.ts`);
}

/** The example of a package's README and what it prints. */
function exampleOf(name: string): { readonly code: string; readonly output: string } {
  const text = readFileSync(join(ROOT, 'packages', name, 'README.md'), 'utf8');
  const found = /```ts\n([\s\S]*?)```\n\n```text\n([\s\S]*?)```/.exec(text);
  if (found === null) throw new Error(`packages/${name}/README.md has no example with its output`);
  return { code: found[1]!, output: found[2]! };
}

let folder: string;
let fleet: string;

beforeAll(() => {
  folder = realpathSync(mkdtempSync(join(tmpdir(), 'bedledger-packages-')));
  const tarballs = join(folder, 'tarballs');
  fleet = join(folder, 'fleet');
  mkdirSync(tarballs);
  must(
    run(ROOT, 'npx', [
      ...['--yes', manager, '-r', '--filter', './packages/*'],
      ...['pack', '--pack-destination', tarballs],
    ]),
  );
  const tarball = Object.fromEntries(
    readdirSync(tarballs).map((file) => [
      `@bedledger/${/^bedledger-([a-z]+)-/.exec(file)![1]}`,
      `file:${join(tarballs, file)}`,
    ]),
  );
  mkdirSync(fleet);
  for (const part of ['shared', 'machines/heron']) {
    cpSync(join(ROOT, part), join(fleet, part), {
      recursive: true,
      filter: (source) => !/[/\\](node_modules|\.turbo)$/.test(source),
    });
  }
  // Nothing is asked of a registry: what others made is taken from where this repository has it.
  const others = Object.fromEntries([...foldersOfOthers()].map(([name, path]) => [name, `file:${path}`]));
  writeFileSync(
    join(fleet, 'package.json'),
    JSON.stringify({
      name: 'somebodys-fleet',
      private: true,
      type: 'module',
      dependencies: tarball,
      devDependencies: { '@types/node': others['@types/node'] },
      pnpm: { overrides: { ...tarball, ...others } },
    }),
  );
  must(run(fleet, 'npx', ['--yes', manager, 'install', '--offline', '--ignore-workspace']));
}, 120_000);

afterAll(() => rmSync(folder, { recursive: true, force: true }));

describe('each tarball', () => {
  it.each(PACKAGES)('%s has its pages and what its sources compile to, and nothing else', (name) => {
    const files = filesOf(realpathSync(join(fleet, 'node_modules/@bedledger', name)));
    expect(files.filter((path) => !isExpected(name, path))).toEqual([]);
    expect(files).toEqual(expect.arrayContaining(['LICENSE', 'README.md', 'package.json']));
    expect(files).toContain(name === 'cli' ? 'dist/bedledger.mjs' : 'dist/index.d.ts');
  });

  it.each(PACKAGES)('%s names nothing that is not in it', (name) => {
    const installed = realpathSync(join(fleet, 'node_modules/@bedledger', name));
    const manifest = readFileSync(join(installed, 'package.json'), 'utf8');
    expect(manifest).not.toMatch(/src\/|workspace:/);
    for (const path of filesOf(installed).filter((file) => file.endsWith('.js')))
      expect(readFileSync(join(installed, path), 'utf8'), path).not.toContain('sourceMappingURL');
  });

  it('of the command needs no other package', () => {
    expect(manifestOf(join(fleet, 'node_modules/@bedledger/cli')).dependencies).toBeUndefined();
  });
});

describe('the installed command', () => {
  const command = (...args: string[]): Result =>
    run(fleet, process.execPath, [join(fleet, 'node_modules/@bedledger/cli/bin/bedledger.js'), ...args]);

  it('writes and checks the programs of a fleet, the same bytes as in this repository', () => {
    const issued = join(fleet, 'machines/heron/issued');
    rmSync(issued, { recursive: true });
    expect(must(command('regenerate')).stdout).toContain('heron');
    const files = filesOf(issued);
    expect(files.some((path) => path.startsWith('programs/'))).toBe(true);
    for (const path of files)
      expect(
        readFileSync(join(issued, path)).equals(readFileSync(join(ROOT, 'machines/heron/issued', path))),
        path,
      ).toBe(true);
    expect(must(command('check')).stdout).toContain('heron');
  });

  it('runs by its name', () => {
    const { stdout } = must(run(fleet, 'npx', ['--no', 'bedledger', '--version']));
    expect(stdout).toMatch(/\d+\.\d+\.\d+/);
  });
});

describe('the example of each README', () => {
  const libraries = PACKAGES.filter((name) => name !== 'cli');

  it('type-checks against the published types', () => {
    for (const name of libraries) writeFileSync(join(fleet, `${name}.ts`), exampleOf(name).code);
    writeFileSync(
      join(fleet, 'tsconfig.json'),
      JSON.stringify({
        compilerOptions: {
          target: 'ES2022',
          lib: ['ES2023'],
          module: 'NodeNext',
          moduleResolution: 'NodeNext',
          strict: true,
          noUncheckedIndexedAccess: true,
          // Declarations of the packages are checked as well.
          skipLibCheck: false,
          types: ['node'],
          outDir: 'out',
        },
        files: libraries.map((name) => `${name}.ts`),
      }),
    );
    must(run(fleet, join(ROOT, 'node_modules/.bin/tsc'), ['-p', dirname(join(fleet, 'tsconfig.json'))]));
  }, 60_000);

  it.each(libraries)('%s prints what the README says', (name) => {
    const { stdout } = must(run(fleet, process.execPath, [join('out', `${name}.js`)]));
    expect(stdout).toBe(exampleOf(name).output);
  });
});
