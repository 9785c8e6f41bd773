// What the two commands and CI share: running one step after another, saying what happens, stopping at the first failure.
import { spawnSync } from 'node:child_process';
import { existsSync } from 'node:fs';
import { delimiter, join } from 'node:path';
import { fileURLToPath } from 'node:url';

export const ROOT = fileURLToPath(new URL('..', import.meta.url)).replace(/[/\\]$/, '');
export const PNPM = 'pnpm@10.34.9';

/** Environment of every step: local commands first on the PATH, no telemetry, one locale and time zone. */
export function environment() {
  return {
    ...process.env,
    PATH: [join(ROOT, 'node_modules', '.bin'), process.env.PATH ?? ''].join(delimiter),
    TURBO_TELEMETRY_DISABLED: '1',
    DO_NOT_TRACK: '1',
    NO_UPDATE_NOTIFIER: '1',
  };
}

/**
 * Runs one command; its output goes straight through, or, where it is to be `quiet`, is shown only when it fails. Exits this
 * process when the command fails.
 */
export function step(title, command, args, options = {}) {
  const began = process.hrtime.bigint();
  if (!options.quiet) process.stderr.write(`\n-- ${title}\n`);
  const result = spawnSync(command, args, {
    cwd: ROOT,
    env: { ...environment(), ...options.env },
    stdio: options.quiet ? ['ignore', 'pipe', 'pipe'] : ['ignore', 'inherit', 'inherit'],
    encoding: 'utf8',
    maxBuffer: 1 << 28,
  });
  const seconds = Number(process.hrtime.bigint() - began) / 1e9;
  if (result.error) {
    process.stderr.write(`${title}: cannot run ${command}: ${result.error.message}\n`);
    process.exit(2);
  }
  if (result.status !== 0 && !options.mayFail) {
    if (options.quiet) process.stderr.write(`${result.stdout ?? ''}${result.stderr ?? ''}`);
    process.stderr.write(
      `\n${title} failed (exit ${result.status ?? result.signal}) after ${seconds.toFixed(1)} s\n`,
    );
    process.exit(result.status ?? 1);
  }
  process.stderr.write(`-- ${title}: ${seconds.toFixed(1)} s\n`);
  return { status: result.status ?? 1, seconds, stdout: result.stdout ?? '' };
}

/** Installs exactly what the lockfile says, with the pinned package manager. */
export function install(options = {}) {
  if (!existsSync(join(ROOT, 'pnpm-lock.yaml'))) {
    process.stderr.write('pnpm-lock.yaml is missing: restore it from the repository\n');
    process.exit(2);
  }
  step('install', 'npx', ['--yes', PNPM, 'install', '--frozen-lockfile'], options);
}

export function build(options = {}) {
  step('build', process.execPath, [join(ROOT, 'tools', 'build.mjs')], options);
}
