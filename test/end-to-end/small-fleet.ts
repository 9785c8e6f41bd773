import { createHash } from 'node:crypto';
import { cpSync, mkdirSync, mkdtempSync, readdirSync, readFileSync, statSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { bedledger, ROOT, type Run } from '../support/command.ts';

/** A fleet in a temporary folder with some machines, or none. The caller removes `root`. */
export interface SmallFleet {
  readonly root: string;
  run(...args: string[]): Run;
  /** Runs with `--json`, and returns the object; fails when standard output is anything but one JSON object. */
  json(...args: string[]): { status: number | null; object: Record<string, unknown>; stderr: string };
  read(path: string): string;
  write(path: string, text: string): void;
  /** Changes a file's text; the pattern must be there. */
  edit(path: string, pattern: RegExp, replacement: string): void;
}

/**
 * @param machines - of the demo fleet by id, or of a fixture fleet: `ledgers/rail`, a small bed with its inserts set, is planned
 * in a third of heron's time
 */
export function smallFleet(...machines: string[]): SmallFleet {
  const root = mkdtempSync(join(tmpdir(), 'bedledger-small-'));
  mkdirSync(join(root, 'machines'));
  cpSync(join(ROOT, 'shared'), join(root, 'shared'), { recursive: true });
  for (const name of machines) {
    const [fleet, id = name] = name.split('/') as [string, string?];
    const from = id === name ? join('machines', id) : join('test/fixtures/fleets', fleet, 'machines', id);
    cpSync(join(ROOT, from), join(root, 'machines', id), {
      recursive: true,
      filter: (source) => !source.includes('node_modules') && !source.includes('.turbo'),
    });
  }
  const read = (path: string): string => readFileSync(join(root, path), 'utf8');
  return {
    root,
    run: (...args) => bedledger(root, args),
    json: (...args) => {
      const run = bedledger(root, [...args, '--json']);
      return { status: run.status, object: JSON.parse(run.stdout), stderr: run.stderr };
    },
    read,
    write: (path, text) => writeFileSync(join(root, path), text),
    edit: (path, pattern, replacement) => {
      const text = read(path);
      if (!pattern.test(text)) throw new Error(`${path} has nothing like ${pattern}`);
      writeFileSync(join(root, path), text.replace(pattern, replacement));
    },
  };
}

/**
 * What is wrong with a machine's issued folder by its own manifest: a file missing, another one there, other bytes. What
 * `regenerate` has proven of its set is proven of what is on the disk when this is empty, without planning the machine again.
 */
export function notAsInManifest(machineFolder: string): string[] {
  const issued = join(machineFolder, 'issued');
  const { files } = JSON.parse(readFileSync(join(issued, 'manifest.json'), 'utf8')) as {
    files: { path: string; sha256: string; bytes: number }[];
  };
  const found = readdirSync(issued, { recursive: true, encoding: 'utf8' })
    .map((path) => path.replaceAll('\\', '/'))
    .filter((path) => path !== 'manifest.json' && !statSync(join(issued, path)).isDirectory());
  const named = new Map(files.map((f) => [f.path, f.sha256]));
  const sha256 = (path: string): string =>
    createHash('sha256')
      .update(readFileSync(join(issued, path)))
      .digest('hex');
  return [
    ...files.filter((f) => !found.includes(f.path)).map((f) => `${f.path}: missing`),
    ...found.filter((path) => named.get(path) !== sha256(path)).map((path) => `${path}: other bytes`),
  ];
}
