import { spawnSync } from 'node:child_process';
import { cpSync, mkdirSync, mkdtempSync, readFileSync, renameSync, rmSync, symlinkSync } from 'node:fs';
import { availableParallelism, tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { bedledgerProcess, ROOT } from '../support/command.ts';
import { type SmallFleet, smallFleet } from './small-fleet.ts';

const IDS = ['auk', 'gull', 'murre'];

let fleet: SmallFleet;
beforeAll(() => {
  fleet = smallFleet();
  cpSync(join(ROOT, 'test/fixtures/fleets/controllers'), fleet.root, {
    recursive: true,
    filter: (source) => !/machines[/\\]/.test(source) || IDS.some((id) => source.includes(id)),
  });
});
afterAll(() => rmSync(fleet.root, { recursive: true, force: true }));

interface Told {
  readonly workers: number;
  readonly machines: readonly {
    readonly id: string;
    readonly verdict: string;
    readonly findings: readonly {
      readonly code: string;
      readonly severity: string;
      readonly place?: { readonly file: string };
    }[];
  }[];
}

function told(...args: string[]): Told & { status: number | null; stderr: string } {
  const { status, stdout, stderr } = bedledgerProcess(fleet.root, [...args, '--json']);
  return { ...(JSON.parse(stdout) as Told), status, stderr };
}

const issued = (id: string): string => join(fleet.root, `machines/${id}/issued`);

describe('the built command', () => {
  it('does the machines by workers, one a core, and says how many worked', () => {
    const cores = Math.min(availableParallelism(), IDS.length);
    const run = told('regenerate');
    expect(run).toMatchObject({ status: 0, stderr: '', workers: cores >= 2 ? cores : 0 });
    expect(run.machines.map((m) => m.verdict)).toEqual(['changed', 'changed', 'changed']);
    // The same bytes, whoever made them.
    expect(told('check', '--workers', '1')).toMatchObject({ status: 0, stderr: '', workers: 0 });
    expect(told('check', '--workers', '2')).toMatchObject({ status: 0, stderr: '', workers: 2 });
  });

  it('a machine that cannot be read or written is a finding of that machine; the others are done', () => {
    for (const id of IDS) rmSync(issued(id), { recursive: true });
    const profile = join(fleet.root, 'machines/auk/machine.yaml');
    renameSync(profile, `${profile}.aside`);
    mkdirSync(profile);
    // A link to nowhere: a folder cannot be moved over it, whoever runs the command.
    symlinkSync('nowhere', issued('gull'));
    const run = told('regenerate', '--workers', '2');
    expect(run).toMatchObject({ status: 2, workers: 2 });
    expect(run.machines.map((m) => m.verdict)).toEqual(['wrong', 'wrong', 'changed']);
    expect(run.machines[0]?.findings.map((f) => f.code)).toContain('file/unreadable');
    expect(run.machines[1]?.findings.filter((f) => f.severity === 'stop')).toMatchObject([
      { code: 'file/refused', place: { file: 'machines/gull/issued' } },
    ]);
    expect(readFileSync(join(issued('murre'), 'manifest.json'), 'utf8')).toContain('murre');

    const text = fleet.run('regenerate', '--workers', '1');
    expect(text.status).toBe(2);
    expect(text.stderr).toMatch(/machines\/gull\/issued: stop file\/refused: .*ENOTDIR/);
    expect(text.stderr).not.toMatch(/fault of this program/);
    expect(text.stdout).toMatch(/^ok +murre/m);
    rmSync(issued('gull'));
    rmSync(profile, { recursive: true });
    renameSync(`${profile}.aside`, profile);
  });

  it('a machine that the system does not let be read is reported by status too, and the others are told of', () => {
    // Links in a circle: no folder of height maps can be opened through them, whoever runs the command.
    const heights = join(fleet.root, 'machines/gull/heights');
    symlinkSync('heights', heights);
    const run = fleet.run('status');
    rmSync(heights);
    expect(run.status).toBe(2);
    expect(run.stderr).toMatch(/machines\/gull\/heights: stop file\/refused: .*ELOOP/);
    expect(run.stdout).toMatch(/^ok +auk/m);
    expect(run.stdout).toMatch(/^stop +gull/m);
    expect(run.stdout).toMatch(/^ok +murre/m);
  });

  it('without its worker says so, and does the machines one after another', () => {
    const copy = mkdtempSync(join(tmpdir(), 'bedledger-no-worker-'));
    for (const part of ['bin', 'dist'])
      cpSync(join(ROOT, 'packages/cli', part), join(copy, part), {
        recursive: true,
        filter: (source) => !source.endsWith('worker.mjs'),
      });
    // Node takes a file below no package for CommonJS.
    cpSync(join(ROOT, 'packages/cli/package.json'), join(copy, 'package.json'));
    const run = spawnSync(
      process.execPath,
      [join(copy, 'bin/bedledger.js'), 'regenerate', '--json', '--quiet', '--workers', '2'],
      { cwd: fleet.root, encoding: 'utf8' },
    );
    rmSync(copy, { recursive: true });
    expect(run.stderr).toMatch(/no worker could start.*worker\.mjs/);
    expect(JSON.parse(run.stdout)).toMatchObject({ workers: 0 });
    expect(run.status).toBe(0);
  });
});
