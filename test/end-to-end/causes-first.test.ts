import { cpSync, rmSync, unlinkSync } from 'node:fs';
import { join } from 'node:path';
import { afterAll, afterEach, beforeAll, describe, expect, it } from 'vitest';
import { ROOT } from '../support/command.ts';
import { type SmallFleet, smallFleet } from './small-fleet.ts';

/*
 * What is told of things that go wrong, through the built command: the cause first and once, with how much hangs on it, and
 * something to do that works.
 */

const MACHINES = ['avocet', 'curlew', 'egret', 'heron', 'plover'];
let fleet: SmallFleet;
beforeAll(() => {
  fleet = smallFleet(...MACHINES);
});
afterAll(() => rmSync(fleet.root, { recursive: true, force: true }));
afterEach(() => {
  cpSync(join(ROOT, 'shared'), join(fleet.root, 'shared'), { recursive: true });
  for (const id of MACHINES)
    for (const part of ['ledger.yaml', 'machine.yaml', 'survey.csv', 'heights'])
      if (part !== 'heights' || ['avocet', 'heron'].includes(id)) restore(id, part);
});

function restore(id: string, part: string): void {
  if (part === 'survey.csv' && ['curlew', 'plover'].includes(id)) return;
  cpSync(join(ROOT, 'machines', id, part), join(fleet.root, 'machines', id, part), { recursive: true });
}

/** Codes of the stops and warnings that a run tells, in its order; notes are left out. */
function told(stderr: string): string[] {
  return [...stderr.matchAll(/^(?:\S+: )?(stop|warn) (\S+): /gm)].map((m) => `${m[1]} ${m[2]}`);
}

interface Event {
  readonly name: string;
  readonly machine: string;
  readonly happens: (f: SmallFleet) => void;
  /** All that is told, in its order. */
  readonly tells: readonly string[];
  /** Somewhere in what is told. */
  readonly says?: RegExp;
  /** Does what the help of the first finding says; nothing stops afterwards. */
  readonly cure?: (f: SmallFleet, stderr: string) => void;
}

const profile = (id: string): string => `machines/${id}/machine.yaml`;
const ledger = (id: string): string => `machines/${id}/ledger.yaml`;

/** Every measured figure of a survey times `k`. */
function scaled(csv: string, k: number): string {
  return csv.replace(
    /^([\w-]+,[\d.]+,[\d.]+),([\d.]+),([\d.]+)$/gm,
    (_, row, x, y) => `${row},${Number((x * k).toFixed(5))},${Number((y * k).toFixed(5))}`,
  );
}

/** The lines of a profile with its `layout` replaced by what `explain --as-given` writes. */
function pasteLayout(f: SmallFleet, id: string): void {
  const written = f.run('explain', id, '--as-given');
  expect(written.status).toBe(0);
  f.edit(profile(id), /^ {2}layout: .*$/m, written.stdout.trimEnd());
}

const EVENTS: readonly Event[] = [
  {
    name: 'a mark was misread by 50 mm',
    machine: 'heron',
    happens: (f) => f.edit('machines/heron/survey.csv', /905,1235,905\.37/, '905,1235,955.37'),
    tells: ['stop survey/residual'],
    says: /help: measure port-D again\n {2}hangs on it: \d\d stops/,
  },
  {
    name: 'a survey was read in inches',
    machine: 'heron',
    happens: (f) =>
      f.write('machines/heron/survey.csv', scaled(f.read('machines/heron/survey.csv'), 1 / 25.4)),
    tells: ['stop survey/units'],
    says: /help: multiply the readings by 25\.4/,
    cure: (f) => f.write('machines/heron/survey.csv', scaled(f.read('machines/heron/survey.csv'), 25.4)),
  },
  {
    name: 'a fixing of another thread',
    machine: 'heron',
    happens: (f) => f.edit(profile('heron'), /use: m6-hex-nylon/, 'use: quarter-hex-nylon'),
    tells: ['stop stack/thread-differs'],
    says: /hangs on it: 20 stops, 1 warning \(layout\/moved-site, stack\/drill-missing\)/,
    cure: (f) => f.edit(profile('heron'), /use: quarter-hex-nylon/, 'use: m6-cap-nylon'),
  },
  {
    name: 'a narrower pitch over inserts that are set',
    machine: 'heron',
    happens: (f) => f.edit(profile('heron'), /pitch_max: 420/, 'pitch_max: 350'),
    tells: ['stop layout/moved-site'],
    says: /`bedledger explain heron --as-given`[\s\S]*likewise: .*G4\n {2}hangs on it/,
    cure: (f) => pasteLayout(f, 'heron'),
  },
  {
    name: 'a layout without nudges over bores that are there',
    machine: 'curlew',
    happens: (f) => f.edit(profile('curlew'), /nudge_max: 23/, 'nudge_max: 2'),
    tells: ['stop layout/moved-site'],
    says: /likewise: B2, C2, D2/,
    cure: (f) => pasteLayout(f, 'curlew'),
  },
  {
    name: 'heights that are no numbers',
    machine: 'avocet',
    happens: (f) => {
      const file = 'machines/avocet/heights/2026-11-18.csv';
      f.write(file, f.read(file).replace(/^(\d[\d.]*,[\d.]+),[\d.]+$/gm, '$1,n/a'));
    },
    tells: ['stop heights/number'],
    says: /also: line 4, line 5.* and \d\d more/,
  },
  {
    name: 'a height map that is gone',
    machine: 'avocet',
    happens: (f) => unlinkSync(join(f.root, 'machines/avocet/heights/2026-11-18.csv')),
    tells: ['stop ledger/missing-map'],
    says: /avocet\/ledger\.yaml:\d+:\d+: stop/,
  },
  {
    name: 'no thickness of the board',
    machine: 'curlew',
    happens: (f) => f.edit(ledger('curlew'), /, thickness: \[[^\]]*\]/, ''),
    tells: ['stop ledger/missing-key'],
    says: /`thickness` is missing/,
  },
  {
    name: 'a cutter that is none for its duty',
    machine: 'heron',
    happens: (f) => f.edit(profile('heron'), /drill: upcut-6/, 'drill: flattener-63'),
    tells: ['stop profile/wrong-cutter'],
  },
  {
    name: 'a ledger that ends in the middle of an entry',
    machine: 'heron',
    happens: (f) => f.write(ledger('heron'), f.read(ledger('heron')).slice(0, -90)),
    tells: ['stop ledger/damaged'],
    says: /hangs on it: 1 stop \(yaml\/syntax\)/,
  },
  {
    name: 'no datum marks',
    machine: 'heron',
    happens: (f) => f.edit(profile('heron'), /^datum:.*\n/m, ''),
    tells: ['stop profile/missing-key'],
    says: /`datum` is missing/,
  },
  {
    name: 'a profile half filled in',
    machine: 'curlew',
    happens: (f) => {
      f.edit(profile('curlew'), /^board:.*\n/m, '');
      f.edit(profile('curlew'), /^cutters:.*\n/m, '');
    },
    // Two keys that are missing are two things to do.
    tells: ['stop profile/missing-key', 'stop profile/missing-key'],
  },
];

describe('the cause is told, once, before everything that follows from it', () => {
  it.each(EVENTS)(
    '$name',
    ({ machine, happens, tells, says, cure }) => {
      happens(fleet);
      const run = fleet.run('check', machine);
      expect(run.status).not.toBe(0);
      // What was there before the event is no matter of it.
      const own = told(run.stderr).filter((line) => !line.startsWith('warn survey/'));
      expect(own).toEqual(tells);
      if (says) expect(run.stderr).toMatch(says);
      cure?.(fleet, run.stderr);
      if (cure) expect(fleet.run('check', machine).stderr).not.toMatch(/: stop /);
    },
    60_000,
  );

  it('of a machine that is stopped no hand work is said, in status neither', () => {
    fleet.edit(profile('heron'), /use: m6-hex-nylon/, 'use: quarter-hex-nylon');
    const { stdout } = fleet.run('status', 'heron');
    expect(stdout).toMatch(
      /due {7}clear what stops everything \(21 findings more with it\): quarter-hex-nylon/,
    );
    expect(stdout).toMatch(/next {6}nothing is issued before this is cleared: use a fixing with screws M6/);
    expect(stdout).not.toMatch(/withheld/);
    // Every insert that is in the bed is counted.
    expect(stdout).toMatch(/sites {5}28 set/);
  });

  it('a fixing that the shared file has lost is told once, with every profile that asks for it', () => {
    fleet.edit('shared/fixings.yaml', /^ {2}m6-hex-nylon:/m, '  m6-hex-plastic:');
    const run = fleet.run('check');
    const stops = told(run.stderr).filter((line) => line.startsWith('stop'));
    expect(stops).toEqual(['stop profile/unknown-reference']);
    for (const id of ['avocet', 'heron', 'plover'])
      expect(run.stderr).toMatch(new RegExp(`machines/${id}/machine\\.yaml:\\d+:\\d+`));
  }, 60_000);

  it('--all and --json have every finding', () => {
    fleet.edit(profile('heron'), /use: m6-hex-nylon/, 'use: quarter-hex-nylon');
    const folded = fleet.run('check', 'heron').stderr;
    expect(folded).toContain(
      '21 more findings follow from these or are like one of them: `--all` shows every one',
    );
    const all = told(fleet.run('check', 'heron', '--all').stderr);
    expect(all.filter((line) => line === 'stop layout/moved-site')).toHaveLength(20);
    const { object } = fleet.json('check', 'heron');
    const [{ findings }] = object.machines as [{ findings: { code: string; follows?: string[] }[] }];
    const moved = findings.filter((f) => f.code === 'layout/moved-site');
    expect(moved).toHaveLength(20);
    expect(moved.every((f) => f.follows?.includes('stack/thread-differs'))).toBe(true);
  }, 60_000);
});
