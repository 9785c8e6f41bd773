import { spawnSync } from 'node:child_process';
import { mkdirSync, mkdtempSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { dirname, join, posix } from 'node:path';
import { UsageError } from '../arguments.ts';

function git(root: string, args: readonly string[], input?: string): Buffer {
  const result = spawnSync('git', ['-C', root, ...args], { input, maxBuffer: 1 << 30 });
  if (result.error)
    throw new UsageError(`git cannot be run: ${result.error.message}`, 'install git, or compare two folders');
  if (result.status !== 0) {
    const said = result.stderr.toString('utf8').trim().split('\n')[0] ?? '';
    throw new UsageError(
      `git ${args[0]} failed: ${said}`,
      'name a commit, branch or tag that this repository has',
    );
  }
  return result.stdout;
}

/**
 * The fleet's files as they were at `revision`, in a new temporary folder (the caller removes it).
 * Nothing of the working tree is touched.
 *
 * @throws UsageError when the revision does not exist or git is missing.
 */
export function fleetAt(root: string, revision: string): string {
  if (revision.startsWith('-'))
    throw new UsageError(`\`${revision}\` is no revision`, 'name a commit, branch or tag');
  const commit = git(root, ['rev-parse', '--verify', '--quiet', '--end-of-options', `${revision}^{commit}`])
    .toString('utf8')
    .trim();
  const prefix = git(root, ['rev-parse', '--show-prefix']).toString('utf8').trim();
  const entries = git(root, [
    'ls-tree',
    '-r',
    '-z',
    '--full-tree',
    commit,
    '--',
    `${prefix}machines`,
    `${prefix}shared`,
  ])
    .toString('utf8')
    .split('\0')
    .filter((e) => e !== '')
    .map((e) => {
      const tab = e.indexOf('\t');
      const [mode, type, id] = e.slice(0, tab).split(' ');
      return { mode, type, id: id as string, path: e.slice(tab + 1) };
    })
    // Links and submodules are no part of a fleet.
    .filter((e) => e.type === 'blob' && e.mode !== '120000');
  const folder = mkdtempSync(join(tmpdir(), 'bedledger-base-'));
  const blobs = git(root, ['cat-file', '--batch'], entries.map((e) => `${e.id}\n`).join(''));
  let at = 0;
  for (const { path } of entries) {
    const lineEnd = blobs.indexOf(10, at);
    const size = Number(blobs.toString('latin1', at, lineEnd).split(' ')[2]);
    const relative = posix.normalize(path.slice(prefix.length));
    if (relative.startsWith('..') || posix.isAbsolute(relative)) throw new Error(`${path} leaves the fleet`);
    const target = join(folder, relative);
    mkdirSync(dirname(target), { recursive: true });
    writeFileSync(target, blobs.subarray(lineEnd + 1, lineEnd + 1 + size));
    at = lineEnd + 1 + size + 1;
  }
  return folder;
}
