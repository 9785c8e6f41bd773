import { rmSync } from 'node:fs';
import { join } from 'node:path';
import { afterAll, afterEach, beforeAll, describe, expect, it } from 'vitest';
import { git as gitIn } from '../support/git.ts';
import { type SmallFleet, smallFleet } from './small-fleet.ts';

let fleet: SmallFleet;

const git = (...args: string[]): string => gitIn(fleet.root, ...args);

interface Change {
  readonly id: string;
  readonly change: string;
  readonly impact: string;
  readonly sites: readonly { site: string; change: string; distance: number; state: string }[];
  readonly values: readonly { what: string; before: number | null; after: number | null }[];
  readonly programs: readonly { file: string; impact: string }[];
  readonly byHand: readonly string[];
}

function changes(...args: string[]): { status: number | null; of: (id: string) => Change | undefined } {
  const { status, object } = fleet.json('diff', ...args);
  const machines = object.machines as Change[];
  return { status, of: (id) => machines.find((m) => m.id === id) };
}

beforeAll(() => {
  // Heron's inserts are set, with the hexagon screw; curlew is bored, with the cap screw; the last one is a bare bed, vouched for.
  fleet = smallFleet('heron', 'curlew');
  expect(fleet.run('new', 'knot').status).toBe(0);
  fleet.edit(
    'machines/knot/ledger.yaml',
    /^facts: \[\]$/m,
    'facts:\n  - { fact: vouch, date: 2026-01-02, deviation: 0.3, by: the owner, reason: bed milled here from this drawing }',
  );
  git('init', '-q', '-b', 'main');
  git('add', '-A');
  git('commit', '-q', '-m', 'base');
});
afterEach(() => git('checkout', '-q', '--force', 'main'));
afterAll(() => rmSync(fleet.root, { recursive: true, force: true }));

describe('what a change does to each machine', () => {
  it('nothing: every machine says so, in words and in JSON', () => {
    const run = fleet.run('diff', 'main');
    expect(run.status).toBe(0);
    expect(run.stdout.match(/nothing changes/g)).toHaveLength(3);
    const { of } = changes('main');
    for (const id of ['heron', 'curlew', 'knot']) expect(of(id)?.change).toBe('same');
  });

  it('a machine that is stopped: why, before all others, and no hand work is invented for it', () => {
    fleet.edit('machines/heron/machine.yaml', /use: m6-hex-nylon/, 'use: quarter-hex-nylon');
    const run = fleet.run('diff', 'main');
    expect(run.status).toBe(1);
    const lines = run.stdout.split('\n');
    expect(lines[0]).toBe('3 machines: 1 stopped, 2 the same');
    expect(lines[1]).toMatch(/^stop {6}heron: stopped: nothing of it may be issued/);
    expect(lines[2]).toMatch(/stop {6}stack\/thread-differs: .*\(\d+ more findings with it\)/);
    expect(run.stdout).not.toMatch(/by hand|moves|program {3}/);
    const { of } = changes('main');
    expect(of('heron')?.byHand).toEqual([]);
  });

  it('a moved site: how far, in which state, and the programs that move with it', () => {
    fleet.edit(
      'machines/knot/machine.yaml',
      /^( *)use: (\S+)(.*)$/m,
      '$1use: $2$3\n$1nudges: { B2: { by: [3, -4], reason: found on an air pass } }',
    );
    const { of } = changes('main');
    const knot = of('knot');
    expect(knot?.sites).toHaveLength(1);
    expect(knot?.sites[0]).toMatchObject({ site: 'B2', change: 'moved', state: 'none' });
    // 3, 4, 5.
    expect(knot?.sites[0]?.distance).toBeCloseTo(5, 6);
    expect(knot?.programs.map((p) => p.file).sort()).toEqual(
      expect.arrayContaining(['programs/air-pass.ngc', 'programs/bed-mark.ngc']),
    );
    expect(['motion', 'reach']).toContain(knot?.impact);
    expect(of('heron')?.change).toBe('same');
    expect(of('curlew')?.change).toBe('same');
    expect(fleet.run('diff', 'main').stdout).toMatch(/site +B2 moves 5\.000 mm: .* \(none\)/);
  });

  it('a changed fixing: exactly the machines that use it', () => {
    fleet.edit('shared/fixings.yaml', /(m6-cap-nylon:[\s\S]*?washer: \{ inside: 6\.4, outside: )22/, '$124');
    const { of } = changes('main');
    expect(of('curlew')?.change).toBe('changed');
    const pocket = of('curlew')?.values.find((v) => v.what === 'pocket diameter');
    // Derived: the pocket takes the washer, so it grows as the washer does.
    expect((pocket?.after ?? 0) - (pocket?.before ?? 0)).toBeCloseTo(2, 3);
    expect(of('heron')?.change).toBe('same');
    expect(of('knot')?.change).toBe('same');
  });

  it('words alone are a comment', () => {
    fleet.edit('machines/knot/machine.yaml', /^title: .*$/m, 'title: Knot, renamed');
    const knot = changes('main').of('knot');
    expect(knot?.impact).toBe('comment');
    expect(knot?.sites).toEqual([]);
    expect(knot?.values).toEqual([]);
  });

  it('a new and a gone machine', () => {
    rmSync(join(fleet.root, 'machines/knot'), { recursive: true });
    expect(fleet.run('new', 'ruff').status).toBe(0);
    const { of } = changes('main');
    expect(of('knot')?.change).toBe('gone');
    expect(of('ruff')?.change).toBe('new');
    const text = fleet.run('diff', 'main').stdout;
    expect(text).toMatch(/^gone +knot: the machine leaves the fleet/m);
    // Nobody has measured its bed: the bed mark is withheld.
    expect(text).toMatch(/^new +ruff: a new machine, 2 programs/m);
    expect(text).toMatch(/withheld +bed-mark is not issued: nobody has measured/);
    expect(text).not.toMatch(/ruff[\s\S]*no longer issued/);
    rmSync(join(fleet.root, 'machines/ruff'), { recursive: true });
  });

  it('two revisions, the working tree left alone', () => {
    fleet.edit('machines/knot/machine.yaml', /^title: .*$/m, 'title: Knot, second name');
    git('commit', '-q', '-a', '-m', 'second');
    fleet.edit('machines/knot/machine.yaml', /^title: .*$/m, 'title: Knot, uncommitted');
    expect(changes('HEAD~1', 'HEAD').of('knot')?.impact).toBe('comment');
    expect(changes('HEAD', 'HEAD').of('knot')?.change).toBe('same');
    expect(fleet.read('machines/knot/machine.yaml')).toContain('uncommitted');
    git('reset', '-q', '--hard', 'HEAD~1');
  });

  it('markdown for a review: a table, a section for what changes, and no markup from a title', () => {
    fleet.edit('machines/knot/machine.yaml', /^title: .*$/m, "title: 'Knot | <img src=x> `&`'");
    const run = fleet.run('diff', 'main', '--format', 'markdown');
    expect(run.status).toBe(0);
    expect(run.stdout).toMatch(/^\| machine \| change \|/m);
    expect(run.stdout).toMatch(/^\| heron \| same \|/m);
    expect(run.stdout).toMatch(/^#### .*\(knot\)$/m);
    expect(run.stdout).not.toMatch(/^#### .*\(heron\)$/m);
    expect(run.stdout).not.toContain('<img');
    for (const line of run.stdout.split('\n').filter((l) => l.startsWith('| ')))
      expect(line.split(/(?<!\\)\|/)).toHaveLength(7);
  });
});

describe('what cannot be compared', () => {
  it.each([
    [['no-such-branch'], /no-such-branch|git/],
    [['--', '--upload-pack=x'], /no revision/],
    [['main', 'main', 'main'], /too many arguments/],
  ])('%j: exit 2 and a way out', (args, text) => {
    const run = fleet.run('diff', ...args);
    expect(run.status).toBe(2);
    expect(run.stderr).toMatch(text);
    expect(run.stderr).toMatch(/^help: /m);
  });

  it('a head that cannot be read any more is exit 2 and named; the others are still compared', () => {
    fleet.edit('machines/knot/machine.yaml', /^travel:/m, 'travell:');
    const run = fleet.run('diff', 'main');
    expect(run.status).toBe(2);
    expect(run.stderr).toMatch(/machines\/knot\/machine\.yaml:\d+:\d+: stop/);
    expect(run.stdout).toMatch(/^ok +heron: nothing changes/m);
    expect(run.stdout).toMatch(/^stop +knot: cannot be read any more/m);
    expect(run.stdout).not.toMatch(/^gone +knot/m);
  });

  it('a base that could not be read: the machine is there now, and that is said', () => {
    fleet.edit('machines/knot/machine.yaml', /^travel:/m, 'travell:');
    git('commit', '-q', '-a', '-m', 'broken');
    fleet.edit('machines/knot/machine.yaml', /^travell:/m, 'travel:');
    const run = fleet.run('diff', 'HEAD');
    expect(run.status).toBe(0);
    expect(run.stdout).toMatch(/^note +knot: could not be read at HEAD/m);
    expect(run.stdout).not.toMatch(/^new +knot/m);
    git('reset', '-q', '--hard', 'HEAD~1');
  });
});
