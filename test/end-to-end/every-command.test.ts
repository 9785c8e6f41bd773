import { mkdirSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { HINTS } from '../../tools/start-hints.mjs';
import { bedledger, bedledgerProcess, ROOT } from '../support/command.ts';
import { type SmallFleet, smallFleet } from './small-fleet.ts';

let fleet: SmallFleet;
beforeAll(() => {
  fleet = smallFleet('heron', 'ledgers/rail');
  // The committed files may be a step behind the code under test: what is tested here is the command.
  expect(fleet.run('regenerate').status).toBe(0);
  writeFileSync(
    join(fleet.root, 'safe.ngc'),
    'G21 G17 G40 G49 G80 G90 G94 G54\nG0 Z60\nS12000 M3\nG0 X300 Y300\nG1 Z17.9 F1000\nG1 X320 F2000\nG0 Z60\nM5\nM2\n',
  );
}, 120_000);
afterAll(() => rmSync(fleet.root, { recursive: true, force: true }));

/** A call of every command that must succeed, and a word that its text must have. */
const CALLS: readonly (readonly [readonly string[], number, RegExp])[] = [
  [['regenerate', 'rail'], 0, /^ok +rail/m],
  [['check', 'rail'], 0, /^ok +rail/m],
  [['check', 'rail', '--format', 'annotations'], 0, /rail/],
  [['status'], 0, /^ok +rail/m],
  [['status', 'rail', '--as-of', '2026-12-01'], 0, /as of 2026-12-01/],
  [['status', '--brief'], 0, /Open first: machines\//],
  [['survey', 'heron'], 0, /residual/],
  [['explain', 'rail'], 0, /site +state/],
  [['explain', 'rail', 'B3'], 0, /B3/],
  [['explain', 'rail', 'b3'], 0, /B3/],
  [['explain', 'program/travel'], 0, /What to do:/],
  [['explain', 'rules'], 0, /program\/travel/],
  [['fasteners'], 0, /standard/],
  [['fasteners', 'm6'], 0, /ISO/],
  [['fasteners', '--clearance', '1/4'], 0, /ASME|clearance/i],
  [['fasteners', 'zzz'], 1, /^$/],
  [['schema', '--check'], 0, /^ok +shared\/schemas\//m],
  [['guard', 'heron', 'safe.ngc', '--cutter', 'upcut-6', '--depth', '0.5'], 0, /may run on this bed today/],
];

it.each(HINTS)('what `npm start` proposes can be typed: %s %s', (...words: readonly string[]) => {
  // A day is typed where a hint leaves it to the clock.
  const day = words[0] === 'record' ? ['--date', '2026-12-01'] : [];
  const run = fleet.run(...words, ...day);
  expect([run.status, run.stderr.includes(': stop ')], run.stderr).toEqual([0, false]);
});

describe('every command', () => {
  it.each(CALLS.map(([args, status, text]) => [args.join(' '), args, status, text] as const))(
    '%s',
    (_, args, status, text) => {
      const run = bedledger(fleet.root, args);
      // A process of its own says the same as a thread in which other calls ran before.
      expect(bedledgerProcess(fleet.root, args)).toEqual(run);
      expect(run.stderr).not.toMatch(/a fault of this program/);
      expect(run.status).toBe(status);
      expect(run.stdout).toMatch(text);
      expect(run.stdout + run.stderr).not.toMatch(/undefined|NaN|\[object/);
      // NO_COLOR is set in these calls.
      expect(run.stdout + run.stderr).not.toContain('\u001b');
      if (args.includes('--format')) return;
      const { object, status: same } = fleet.json(...args);
      expect(same).toBe(status);
      expect(object.schema).toBe(1);
      expect(object.command).toBe(args[0]);
    },
  );

  it('colour is for terminals that want it, and changes no word', () => {
    const plain = bedledger(fleet.root, ['status', 'rail']);
    const coloured = bedledger(fleet.root, ['status', 'rail'], { NO_COLOR: '', FORCE_COLOR: '1' });
    expect(coloured.stdout).toContain('\u001b[');
    expect(coloured.stdout.replace(/\u001b\[\d+m/g, '')).toBe(plain.stdout);
    const refused = bedledger(fleet.root, ['status', 'rail', '--no-color'], {
      NO_COLOR: '',
      FORCE_COLOR: '1',
    });
    expect(refused.stdout).toBe(plain.stdout);
    // A pipe is no terminal.
    expect(bedledgerProcess(fleet.root, ['status', 'rail'], { NO_COLOR: '' }).stdout).toBe(plain.stdout);
  });

  it.each(
    [
      'regenerate',
      'check',
      'diff',
      'guard',
      'survey',
      'status',
      'record',
      'new',
      'fasteners',
      'schema',
      'explain',
    ].map((name) => [name]),
  )('%s --help: usage, examples that name it, every option explained, outside a fleet too', (name) => {
    const run = bedledger(tmpdir(), [name, '--help']);
    expect(run.status).toBe(0);
    expect(run.stderr).toBe('');
    expect(run.stdout.startsWith(`bedledger ${name}`)).toBe(true);
    expect(run.stdout.indexOf('examples')).toBeLessThan(run.stdout.indexOf('always'));
    expect(run.stdout).toMatch(new RegExp(`^  bedledger ${name}`, 'm'));
    for (const line of run.stdout.split('\n').filter((l) => l.startsWith('  --')))
      expect(line).toMatch(/^ {2}--[a-z-]+( \S+)? {2,}\S/);
    expect(bedledger(tmpdir(), ['help', name]).stdout).toBe(run.stdout);
    for (const line of run.stdout.split('\n')) expect(line.length, line).toBeLessThanOrEqual(100);
  });

  it('--help lists every command; no command at all is a wrong call with the same text', () => {
    const help = bedledgerProcess(tmpdir(), ['--help']);
    expect(help.status).toBe(0);
    for (const line of help.stdout.split('\n')) expect(line.length, line).toBeLessThanOrEqual(100);
    const none = bedledgerProcess(tmpdir(), []);
    expect(none.status).toBe(2);
    expect(none.stdout).toBe('');
    expect(none.stderr).toBe(help.stdout);
    expect(bedledgerProcess(tmpdir(), ['--version']).stdout).toMatch(/^\d+\.\d+\.\d+\n$/);
  });
});

describe('a wrong call', () => {
  const wrong: readonly (readonly [readonly string[], RegExp])[] = [
    [['check', '--entire'], /unknown option --entire/],
    [['check', '-x'], /unknown option -x/],
    [['check', '--json=yes'], /takes no value/],
    [['check', '--root'], /needs a value/],
    [['check', '--format', 'xml'], /--format text/],
    [['status', '--as-of', '2026-02-30'], /is not a date/],
    [['status', 'nobody'], /no machine/],
    [['survey'], /usage: bedledger survey/],
    [['survey', 'heron', 'rail'], /too many arguments/],
    [['explain', 'program/travl'], /program\/travel/],
    [['explain', 'nothing'], /neither a machine nor a rule/],
    [['explain', 'rail', 'Z9'], /no site/],
    [['guard', 'heron'], /usage/],
    [['guard', 'heron', 'nowhere.ngc'], /cannot be read: ENOENT/],
    [['guard', 'heron', 'machines'], /cannot be read/],
    [['guard', 'heron', 'safe.ngc', '--zero', 'top'], /--zero board-top/],
    [['guard', 'heron', 'safe.ngc', '--cutter', 'upcut-7'], /upcut-6/],
    [['guard', 'heron', 'safe.ngc', '--cutter', '-3'], /no cutter/],
    [['guard', 'heron', 'safe.ngc', '--depth', '-1'], /without a minus/],
    [['guard', 'heron', 'safe.ngc', '--depth', 'deep'], /takes a length/],
    [['record', 'heron'], /usage/],
    [['record', 'heron', 'insrt', 'A1'], /insert/],
    [['new', 'x'.repeat(41)], /40 at the most/],
    [['new', 'dunlin', '--units', 'cm'], /--units mm or --units in/],
    [['new', '../escape'], /cannot be a machine's id/],
    [['diff'], /usage/],
    [['schema', 'now'], /too many arguments/],
  ];
  it.each(wrong.map(([args, text]) => [args.join(' '), args, text] as const))(
    '%s: exit 2, nothing on standard output, one thing to do',
    (_, args, text) => {
      const run = bedledger(fleet.root, args);
      expect(run.status).toBe(2);
      expect(run.stdout).toBe('');
      expect(run.stderr).toMatch(text);
      expect(run.stderr).toMatch(/^help: /m);
    },
  );

  it.each([['regenerate'], ['check'], ['status'], ['schema'], ['diff', 'HEAD'], ['survey', 'heron']])(
    '%s outside a fleet says how to name one',
    (...args) => {
      const away = join(fleet.root, '..', `no-fleet-${process.pid}`);
      mkdirSync(away, { recursive: true });
      const run = bedledger(away, args);
      rmSync(away, { recursive: true });
      expect(run.status).toBe(2);
      expect(run.stderr).toContain('--root');
    },
  );
});

describe('a broken fleet', () => {
  let broken: SmallFleet;
  beforeAll(() => {
    broken = smallFleet('heron', 'curlew');
  });
  afterAll(() => rmSync(broken.root, { recursive: true, force: true }));

  const commands = [
    ['regenerate'],
    ['check'],
    ['status'],
    ['survey', 'heron'],
    ['explain', 'heron'],
    ['guard', 'heron', 'machines/heron/machine.yaml'],
    ['record', 'heron', 'note', '--text', 'x'],
  ];
  it.each(commands.map((c) => [c.join(' '), c] as const))(
    '%s: a shared file that is no YAML is named with its place, exit 2, nothing written',
    (_, args) => {
      const house = broken.read('shared/house.yaml');
      const ledger = broken.read('machines/heron/ledger.yaml');
      broken.write('shared/house.yaml', `${house}\n  bad: [1, 2\n`);
      const run = broken.run(...args);
      const json = bedledger(broken.root, [...args, '--json']);
      broken.write('shared/house.yaml', house);
      expect(run.status).toBe(2);
      expect(run.stderr).toMatch(/shared\/house\.yaml:\d+:\d+: stop /);
      expect(run.stderr).not.toMatch(/a fault of this program/);
      expect(json.status).toBe(2);
      expect(JSON.parse(json.stdout).schema).toBe(1);
      expect(broken.read('machines/heron/ledger.yaml')).toBe(ledger);
    },
  );

  it('one machine that cannot be read does not hide the others', () => {
    const text = broken.read('machines/heron/machine.yaml');
    broken.write('machines/heron/machine.yaml', '');
    const run = broken.run('status');
    const check = broken.json('check');
    broken.write('machines/heron/machine.yaml', text);
    expect(run.status).toBe(2);
    expect(run.stdout).toMatch(/^ok +curlew/m);
    expect(run.stdout).toMatch(/^stop +heron/m);
    const machines = check.object.machines as { id: string; verdict: string }[];
    expect(machines.find((m) => m.id === 'heron')?.verdict).toBe('wrong');
    expect(machines.find((m) => m.id === 'curlew')?.verdict).not.toBe('wrong');
  });

  it.each([
    ['missing ledger', 'machines/heron/ledger.yaml', null],
    ['binary profile', 'machines/heron/machine.yaml', '\u0000\u0001\u0002\ufffd'],
    ['half a ledger', 'machines/heron/ledger.yaml', 'units: mm\nfacts:\n  - { fact: survey, da'],
    [
      'a survey with words for numbers',
      'machines/heron/survey.csv',
      'feature,nominal_x,nominal_y,measured_x,measured_y\na,1,2,three,4\n',
    ],
  ] as const)('%s', (_, path, content) => {
    const text = broken.read(path);
    if (content === null) rmSync(join(broken.root, path));
    else broken.write(path, content);
    const before = readdirSync(join(broken.root, 'machines/heron/issued')).join();
    const run = broken.run('regenerate', 'heron');
    broken.write(path, text);
    expect(run.stderr).not.toMatch(/a fault of this program/);
    expect(run.status).toBe(2);
    expect(run.stderr).toContain(path.split('/').pop() as string);
    expect(readdirSync(join(broken.root, 'machines/heron/issued')).join()).toBe(before);
  });

  it('an empty fleet is no error', () => {
    const empty = smallFleet();
    try {
      for (const args of [['regenerate'], ['check'], ['status']]) {
        const run = empty.run(...args);
        expect(run.status).toBe(0);
        expect(run.stdout + run.stderr).toMatch(/no machine|bedledger new/);
        expect(empty.json(...args).object.machines).toEqual([]);
      }
    } finally {
      rmSync(empty.root, { recursive: true, force: true });
    }
  });
});

describe('drawings on request', () => {
  it('survey and guard draw where they are told, and say so', () => {
    const survey = fleet.run('survey', 'heron', '--drawing', 'residuals.svg');
    expect(survey.status).toBe(0);
    expect(survey.stdout).toContain('drawn: residuals.svg');
    expect(fleet.read('residuals.svg')).toMatch(/^<svg [\s\S]*<\/svg>\n$/);
    fleet.run('guard', 'heron', 'safe.ngc', '--cutter', 'upcut-6', '--drawing', 'job.svg');
    expect(fleet.read('job.svg')).toMatch(/^<svg /);
  });

  it('a place that cannot be written to is a wrong call, not a fault', () => {
    for (const args of [
      ['survey', 'heron', '--drawing', 'nowhere/at/all.svg'],
      ['guard', 'heron', 'safe.ngc', '--drawing', 'nowhere/at/all.svg'],
    ]) {
      const run = bedledger(fleet.root, args);
      expect(run.status).toBe(2);
      expect(run.stderr).toMatch(/nowhere/);
      expect(run.stderr).not.toMatch(/a fault of this program/);
    }
  });
});

it('the schemas of a fleet: missing ones are written, a changed one is named', () => {
  const own = smallFleet();
  try {
    const folder = join(own.root, 'shared/schemas');
    const [first] = readdirSync(folder);
    writeFileSync(join(folder, first as string), '{}\n');
    const check = own.run('schema', '--check');
    expect(check.status).toBe(1);
    expect(check.stdout).toContain(first as string);
    expect(readFileSync(join(folder, first as string), 'utf8')).toBe('{}\n');
    rmSync(folder, { recursive: true });
    expect(own.run('schema').status).toBe(0);
    expect(own.run('schema', '--check').status).toBe(0);
    for (const name of readdirSync(folder))
      expect(readFileSync(join(folder, name), 'utf8')).toBe(
        readFileSync(join(ROOT, 'shared/schemas', name), 'utf8'),
      );
  } finally {
    rmSync(own.root, { recursive: true, force: true });
  }
});
