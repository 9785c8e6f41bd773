import { spawnSync } from 'node:child_process';
import { cpSync, existsSync, mkdtempSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { warmCommand } from './warm-command.ts';

export const ROOT = fileURLToPath(new URL('../..', import.meta.url));
const CLI = join(ROOT, 'packages/cli/bin/bedledger.js');
const BUNDLE = join(ROOT, 'packages/cli/dist/bedledger.mjs');

export interface Run {
  readonly status: number | null;
  readonly stdout: string;
  readonly stderr: string;
}

/** Runs the built command as its users do: a process of its own. */
export function bedledgerProcess(
  cwd: string,
  args: readonly string[],
  env: Readonly<Record<string, string>> = {},
): Run {
  mustBeBuilt();
  const result = spawnSync(process.execPath, [CLI, ...args], {
    cwd,
    encoding: 'utf8',
    maxBuffer: 1 << 28,
    env: { ...process.env, NO_COLOR: '1', ...env },
  });
  if (result.error) throw result.error;
  return { status: result.status, stdout: result.stdout, stderr: result.stderr };
}

/**
 * Runs the built command in a thread that keeps it loaded: the same entry, arguments, streams and exit code in a third of the
 * time. What only a process has (a time zone, hooks, signals) wants `bedledgerProcess`; every-command.test.ts compares the two.
 */
export function bedledger(
  cwd: string,
  args: readonly string[],
  env: Readonly<Record<string, string>> = {},
): Run {
  mustBeBuilt();
  return warmCommand(BUNDLE, cwd, args, { NO_COLOR: '1', ...env });
}

function mustBeBuilt(): void {
  if (!existsSync(BUNDLE)) throw new Error('build first: npm run build');
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
