import { spawnSync } from 'node:child_process';
import {
  cpSync,
  mkdirSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  renameSync,
  rmSync,
  writeFileSync,
} from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import { systemProcesses } from '@bedledger/fleet';
import { afterAll, beforeAll, beforeEach, describe, expect, it } from 'vitest';
import { bedledger, ROOT, type Run } from '../support/command.ts';

// Faults of the system are put under the built command from outside: we may be root, to whom nothing is forbidden.

let made: string;
let root: string;
beforeAll(() => {
  made = mkdtempSync(join(tmpdir(), 'bedledger-faults-'));
  root = join(made, 'fleet');
  cpSync(join(ROOT, 'test/fixtures/fleets/desktop'), join(made, 'start'), { recursive: true });
});
afterAll(() => rmSync(made, { recursive: true, force: true }));
beforeEach(() => {
  rmSync(root, { recursive: true, force: true });
  cpSync(join(made, 'start'), root, { recursive: true });
});

/** Runs the command under faults; without any it needs no process of its own. */
function run(faults: Readonly<Record<string, string>>, ...args: string[]): Run {
  if (Object.keys(faults).length === 0) return bedledger(root, args);
  const hook = pathToFileURL(join(ROOT, 'test/support/fault-at.mjs'));
  for (const [key, value] of Object.entries(faults)) hook.searchParams.set(key, value);
  const command = ['--import', hook.href, join(ROOT, 'packages/cli/bin/bedledger.js'), ...args];
  const { status, stdout, stderr } = spawnSync(process.execPath, command, {
    cwd: root,
    encoding: 'utf8',
    env: { ...process.env, NO_COLOR: '1' },
  });
  return { status, stdout, stderr };
}

const machine = (): string => join(root, 'machines/teal');

describe('a machine that cannot be written', () => {
  it.each([
    ['write', 'ENOSPC', 'the disk is full'],
    ['write', 'EDQUOT', 'the quota is used up'],
    ['fsync', 'EIO', 'EIO'],
    ['open', 'EROFS', 'the file system is read-only'],
    ['open', 'EACCES', 'no permission'],
    ['mkdir', 'EACCES', 'no permission'],
    ['rename', 'EPERM', 'no permission'],
  ])('is told in words, and the others are done: %s %s', (operation, code, words) => {
    const { status, stdout, stderr } = run({ operation, code, below: machine() }, 'regenerate');
    expect(stderr).toContain('stop file/refused');
    expect(stderr).toContain(words);
    expect(stderr).toContain('machines/teal');
    expect(stderr).not.toMatch(/fault of this program/);
    expect(stdout).toMatch(/^stop +teal: /m);
    expect(stdout).toMatch(/^changed +smew: /m);
    expect(status).toBe(2);
    // Nothing of it, and nothing beside it.
    expect(readdirSync(machine()).filter((name) => name === 'issued' || name.startsWith('.'))).toEqual([]);
  });

  it('keeps its ledger, and the fact is not said to be recorded', () => {
    const before = readFileSync(join(machine(), 'ledger.yaml'), 'utf8');
    for (const [operation, code, words] of [
      ['write', 'ENOSPC', 'the disk is full'],
      ['open', 'EROFS', 'the file system is read-only'],
      ['rename', 'EACCES', 'no permission'],
    ] as const) {
      const done = run({ operation, code, below: machine() }, 'record', 'teal', 'note', '--text', 'x');
      expect([done.status, done.stdout]).toEqual([2, '']);
      expect(done.stderr).toContain(words);
      expect(done.stderr).not.toMatch(/fault of this program/);
      expect(readFileSync(join(machine(), 'ledger.yaml'), 'utf8')).toBe(before);
    }
  });

  it('a file that cannot be removed is named as left over, and the machine is written', () => {
    mkdirSync(join(machine(), '.issued-discarded-1-aaaaaaaaaaaa'));
    writeFileSync(join(machine(), '.issued-discarded-1-aaaaaaaaaaaa/holes.csv'), 'held');
    const below = join(machine(), '.issued-discarded');
    const { status, stdout, stderr } = run(
      { operation: 'unlink', code: 'EBUSY', below },
      'regenerate',
      'teal',
    );
    expect([status, stdout]).toEqual([0, expect.stringMatching(/^changed +teal: /m)]);
    expect(stderr).toContain('machines/teal/.issued-discarded-1-aaaaaaaaaaaa: warn file/leftover');
  });
});

describe('a machine that is being written', () => {
  it('by a command that lives: the second waits, says for whom, and then that nothing was written', () => {
    writeFileSync(
      join(machine(), '.machine.lock'),
      JSON.stringify({ ...systemProcesses.self(), doing: 'regenerate teal' }),
    );
    const { status, stdout, stderr } = run({ pauses: 'none' }, 'regenerate');
    expect(stderr).toContain(`teal: waiting for \`bedledger regenerate teal\` (process ${process.pid})`);
    expect(stderr).toContain('stop file/locked');
    expect(stdout).toMatch(/^stop +teal: /m);
    expect(stdout).toMatch(/^changed +smew: /m);
    expect(status).toBe(2);
  });

  it('under the reader’s hands, again and again: that is what is said, not what was read', () => {
    const restless = join(machine(), 'ledger.yaml');
    writeFileSync(join(root, 'job.ngc'), 'M2\n');
    for (const command of [
      ['regenerate', 'teal'],
      ['check', 'teal'],
      ['guard', 'teal', 'job.ngc'],
    ]) {
      const { status, stderr } = run({ restless }, ...command);
      expect(stderr).toContain('stop file/changing');
      expect(status).toBe(2);
    }
  });

  it('and was left between the two renames: check says that the old files are aside, and how they come back', () => {
    run({}, 'regenerate', 'teal');
    renameSync(join(machine(), 'issued'), join(machine(), '.issued-previous-1-aaaaaaaaaaaa'));
    const checked = run({}, 'check', 'teal');
    expect([checked.status, checked.stderr]).toEqual([1, expect.stringContaining('stop file/interrupted')]);
    const healed = run({}, 'regenerate', 'teal');
    expect([healed.status, healed.stdout]).toEqual([
      0,
      expect.stringContaining('an interrupted write was undone'),
    ]);
    expect(run({}, 'check', 'teal').status).toBe(0);
  });
});

it('a clock that was set back changes no issued byte; a fact dated by it is asked about, and the answer taken', () => {
  run({}, 'regenerate', 'teal');
  const clock = '2001-02-03T04:05:06Z';
  expect(run({ clock }, 'regenerate', 'teal').stdout).toMatch(/^ok +teal: /m);
  const recorded = run({ clock }, 'record', 'teal', 'note', '--text', 'x');
  expect([recorded.status, recorded.stderr]).toEqual([2, expect.stringContaining('today is 2001-02-03')]);
  const date = /as (--date \S+?);/.exec(recorded.stderr)?.[1]?.split(' ') ?? [];
  expect(date).toHaveLength(2);
  expect(run({ clock }, 'record', 'teal', 'note', '--text', 'x', ...date).status).toBe(0);
});

describe('a machine that some systems could not hold', () => {
  it.each([
    ['nul', 'Windows'],
    ['heron.', 'lower-case'],
    ['tea l', 'lower-case'],
  ])('`new %s` is refused, and nothing is made', (id, words) => {
    const before = readdirSync(join(root, 'machines'));
    const { status, stderr } = run({}, 'new', id);
    expect([status, stderr]).toEqual([2, expect.stringContaining(words)]);
    expect(readdirSync(join(root, 'machines'))).toEqual(before);
  });

  it('`new` is refused where a folder differs only in capital letters', () => {
    mkdirSync(join(root, 'machines/Dunlin'));
    const { status, stderr } = run({}, 'new', 'dunlin');
    expect([status, stderr]).toEqual([2, expect.stringContaining('capital letters')]);
  });
});
