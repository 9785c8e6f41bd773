import { spawnSync } from 'node:child_process';
import { cpSync, existsSync, mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join, resolve } from 'node:path';

/** Figures of whole processes: the built command on the demo fleet, against an empty Node process in the same run. */
export interface Figure {
  readonly name: string;
  readonly value: number;
  readonly unit: string;
  readonly limit: number | null;
  readonly reference: string | null;
}

const ROOT = resolve(import.meta.dirname, '..');
const CLI = join(ROOT, 'packages/cli/bin/bedledger.js');

function seconds(args: readonly string[], cwd: string): number {
  const began = process.hrtime.bigint();
  const result = spawnSync(process.execPath, args, {
    cwd,
    stdio: ['ignore', 'ignore', 'pipe'],
    encoding: 'utf8',
  });
  if (result.status !== 0) throw new Error(`${args.join(' ')} exited ${result.status}: ${result.stderr}`);
  return Number(process.hrtime.bigint() - began) / 1e9;
}

function median(values: readonly number[]): number {
  const sorted = [...values].sort((a, b) => a - b);
  return sorted[Math.floor(sorted.length / 2)] as number;
}

/** Medians of `runs` turns, the commands interleaved so that a drift of the machine hits all of them alike. */
function interleaved(commands: readonly (readonly string[])[], cwd: string, runs: number): number[] {
  const times = commands.map(() => [] as number[]);
  for (const command of commands) seconds(command, cwd);
  for (let run = 0; run < runs; run++)
    for (const [i, command] of commands.entries()) (times[i] as number[]).push(seconds(command, cwd));
  return times.map(median);
}

export async function figures(): Promise<Figure[]> {
  if (!existsSync(join(ROOT, 'packages/cli/dist/bedledger.mjs')))
    throw new Error('build first: npm run build');
  const copy = mkdtempSync(join(tmpdir(), 'bedledger-bench-'));
  try {
    for (const part of ['machines', 'shared']) {
      cpSync(join(ROOT, part), join(copy, part), {
        recursive: true,
        filter: (s) => !s.includes('node_modules'),
      });
    }
    const three = ['heron', 'egret', 'curlew'];
    const [empty, version, regenerate, check] = interleaved(
      [
        ['-e', ''],
        [CLI, '--version'],
        [CLI, 'regenerate', ...three],
        [CLI, 'check', ...three],
      ],
      copy,
      7,
    ) as [number, number, number, number];
    const reference = `empty Node process ${(empty * 1000).toFixed(0)} ms`;
    return [
      { name: 'command: cold start (--version)', value: version * 1000, unit: 'ms', limit: null, reference },
      {
        name: 'command: cold start over an empty process',
        value: version / empty,
        unit: 'times',
        limit: 3,
        reference,
      },
      {
        name: 'command: regenerate three machines',
        value: regenerate * 1000,
        unit: 'ms',
        limit: 10000,
        reference,
      },
      { name: 'command: check three machines', value: check * 1000, unit: 'ms', limit: 10000, reference },
    ];
  } finally {
    rmSync(copy, { recursive: true, force: true });
  }
}
