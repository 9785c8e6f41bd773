import { spawnSync } from 'node:child_process';
import { cpSync, existsSync, mkdtempSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';

export const ROOT = fileURLToPath(new URL('../..', import.meta.url));
const CLI = join(ROOT, 'packages/cli/bin/bedledger.js');

export interface Run {
  readonly status: number | null;
  readonly stdout: string;
  readonly stderr: string;
}

/** Runs the built command as its users do: a process of its own. */
export function bedledger(
  cwd: string,
  args: readonly string[],
  env: Readonly<Record<string, string>> = {},
): Run {
  if (!existsSync(join(ROOT, 'packages/cli/dist/bedledger.mjs')))
    throw new Error('build first: npm run build');
  const result = spawnSync(process.execPath, [CLI, ...args], {
    cwd,
    encoding: 'utf8',
    maxBuffer: 1 << 28,
    env: { ...process.env, NO_COLOR: '1', ...env },
  });
  if (result.error) throw result.error;
  return { status: result.status, stdout: result.stdout, stderr: result.stderr };
}

/** A copy of the demo fleet in a temporary folder, issued files included. The caller removes it. */
export function copyOfFleet(): string {
  const folder = mkdtempSync(join(tmpdir(), 'bedledger-fleet-'));
  for (const part of ['machines', 'shared']) {
    cpSync(join(ROOT, part), join(folder, part), {
      recursive: true,
      filter: (source) => !source.includes('node_modules'),
    });
  }
  return folder;
}
