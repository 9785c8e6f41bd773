import { cpSync, rmSync } from 'node:fs';
import { join } from 'node:path';
import { afterAll, afterEach, beforeAll, describe, expect, it } from 'vitest';
import { ROOT, type Run } from '../support/command.ts';
import { type SmallFleet, smallFleet } from './small-fleet.ts';

/*
 * What `record` says and writes, through the built command: facts are tried before they are written, and what follows is said.
 */

const MACHINES = ['heron', 'egret', 'plover', 'curlew'];
let fleet: SmallFleet;
beforeAll(() => {
  fleet = smallFleet(...MACHINES);
});
afterAll(() => rmSync(fleet.root, { recursive: true, force: true }));
afterEach(() => {
  for (const id of MACHINES)
    for (const file of ['ledger.yaml', 'machine.yaml'])
      cpSync(join(ROOT, 'machines', id, file), join(fleet.root, 'machines', id, file));
});

const ledger = (id: string): string => fleet.read(`machines/${id}/ledger.yaml`);
/** Lines that a run added to a ledger. */
const added = (id: string, before: string): string[] => ledger(id).slice(before.length).trimEnd().split('\n');
const well = (run: Run): Run => {
  expect(run.stderr).not.toMatch(/: stop |a fault of this program/);
  expect(run.status).toBe(0);
  return run;
};
const DAY = ['--date', '2026-11-20'];

describe('the help', () => {
  const examples = (): string[] =>
    (/^examples\n([\s\S]*?)\n\n/m.exec(fleet.run('record', '--help').stdout)?.[1] ?? '')
      .split('\n')
      .map((line) => line.trim().replace(/^bedledger /, ''));
  it('every example works as it stands', () => {
    expect(examples().length).toBeGreaterThan(8);
    for (const example of examples()) {
      const words = [...example.matchAll(/"([^"]*)"|(\S+)/g)].map((m) => m[1] ?? (m[2] as string));
      // A day is typed where the example leaves it to the clock.
      const run = fleet.run(...words, ...(words.includes('--date') ? [] : DAY));
      expect(run.stderr, example).not.toMatch(/: stop |^bedledger: /m);
      expect(run.status, example).toBe(0);
      for (const id of MACHINES)
        cpSync(join(ROOT, 'machines', id, 'ledger.yaml'), join(fleet.root, 'machines', id, 'ledger.yaml'));
    }
  }, 120_000);
});

describe('a fact that the next command would refuse', () => {
  it('181 mm of board after a skim: refused with the words that every later command would say', () => {
    const before = ledger('heron');
    const refused = fleet.run('record', 'heron', 'skim', '--commanded', '0.4', '--thickness', '181', ...DAY);
    expect(refused.status).toBe(2);
    expect(ledger('heron')).toBe(before);
    const words = /stop ledger\/\S+: [^\n]+/.exec(refused.stderr)?.[0] as string;
    expect(words).toContain('181');
    fleet.write(
      'machines/heron/ledger.yaml',
      `${before}  - { fact: skim, date: 2026-11-20, commanded: 0.4, thickness: [181] }\n`,
    );
    expect(fleet.run('status', 'heron').stderr).toContain(words);
  });

  it('a board that is too thick for its stock is refused by what the shared file says', () => {
    const before = ledger('heron');
    const run = fleet.run('record', 'heron', 'board', '--thickness', '181', ...DAY);
    expect(run.status).toBe(2);
    expect(run.stderr).toMatch(/ledger\/not-plausible.*181/);
    expect(ledger('heron')).toBe(before);
  });

  it('a stop of the plan: a new board under a fixing that fits no insert; --anyway records what is so', () => {
    fleet.edit('machines/plover/machine.yaml', /use: m6-hex-nylon/, 'use: quarter-hex-nylon');
    const before = ledger('plover');
    const call = ['record', 'plover', 'board', '--stock', 'mdf-19', '--thickness', '19.02', ...DAY];
    const refused = fleet.run(...call);
    expect(refused.status).toBe(2);
    expect(refused.stderr).toMatch(/stop stack\/thread-differs/);
    expect(refused.stderr).toMatch(/^help: .*--anyway/m);
    expect(ledger('plover')).toBe(before);
    expect(fleet.run(...call, '--anyway').status).toBe(0);
    expect(added('plover', before)).toHaveLength(1);
  });
});

describe('days', () => {
  it('a day that nobody typed is not put before the last fact', () => {
    const before = `${ledger('egret')}  - { fact: note, date: 2199-01-01, text: later }\n`;
    fleet.write('machines/egret/ledger.yaml', before);
    const run = fleet.run('record', 'egret', 'note', '--text', 'x');
    expect(run.status).toBe(2);
    expect(run.stderr).toMatch(/2199-01-01/);
    expect(run.stderr).toMatch(/^help: .*--date/m);
    expect(ledger('egret')).toBe(before);
    const typed = well(fleet.run('record', 'egret', 'note', '--text', 'x', '--date', '2198-12-31'));
    expect(typed.stderr).toMatch(/warn ledger\/date-order/);
    expect(typed.stderr).toMatch(/warn ledger\/future/);
  });
});

describe('what follows', () => {
  it('pockets and screws: programs come and go with their reasons, and --dry-run writes nothing', () => {
    const before = ledger('heron');
    const dry = well(fleet.run('record', 'heron', 'pocket', ...DAY, '--dry-run'));
    expect(dry.stdout).toMatch(/would record pocket/);
    expect(dry.stdout).toMatch(/^note +board 2: /m);
    expect(dry.stdout).toMatch(/^gone +no longer issued: .*socket-pockets/m);
    expect(dry.stdout).toMatch(/^withheld +surface: .*bedledger record heron screws/m);
    expect(dry.stdout).toContain('Nothing was written');
    expect(ledger('heron')).toBe(before);
    well(fleet.run('record', 'heron', 'pocket', ...DAY));
    const driven = well(fleet.run('record', 'heron', 'screws', ...DAY));
    expect(driven.stdout).toMatch(/^new +issued now: surface/m);
    const { object } = fleet.json('record', 'heron', 'note', '--text', 'x', ...DAY);
    expect(object.follows).toMatchObject({ board: { ordinal: 2, pocketed: true }, nowIssued: [] });
  });

  it('the floor that the program’s header prints, recorded as measured, stops nothing', () => {
    const header = fleet.read('machines/heron/issued/programs/socket-pockets.ngc');
    const floor = /DEEPEST BOARD: ([\d.]+)/.exec(header)?.[1] as string;
    const before = ledger('heron');
    well(fleet.run('record', 'heron', 'pocket', '--pocket-floor', floor, ...DAY));
    expect(added('heron', before)[0]).toMatch(
      new RegExp(`pocket_floor: ${Number(floor)}, floor_from: measured`),
    );
    well(fleet.run('record', 'heron', 'screws', ...DAY));
    expect(well(fleet.run('regenerate', 'heron')).stdout).not.toMatch(/^stop/m);
  }, 60_000);

  it('a depth at two sites: from the mean thickness to a floor; the other sites stay planned', () => {
    const before = ledger('heron');
    const readings = [...(before.match(/.*fact: board.*/g)?.at(-1) ?? '').matchAll(/value: ([\d.]+)/g)];
    const mean = readings.reduce((sum, [, v]) => sum + Number(v), 0) / readings.length;
    well(
      fleet.run(
        'record',
        'heron',
        'pocket',
        '--pocket-depth',
        'A1=12.6',
        '--pocket-depth',
        'C3=12.7',
        ...DAY,
      ),
    );
    const [others, deep] = added('heron', before) as [string, string];
    expect(others).toMatch(/floor_from: planned/);
    expect(others).not.toMatch(/A1|C3/);
    expect(deep).toMatch(/sites: \[A1, C3\].*floor_from: measured/);
    const floors = [...deep.matchAll(/(A1|C3): ([\d.]+)/g)].slice(0, 2).map((m) => Number(m[2]));
    // A floor is as far above the bed as the board is thick, less the depth.
    expect(floors[0]).toBeCloseTo(mean - 12.6, 3);
    expect(floors[1]).toBeCloseTo(mean - 12.7, 3);
  });
});

describe('screws', () => {
  it('as the fixing has them, and what was measured instead; a second driving is refused', () => {
    well(fleet.run('record', 'heron', 'pocket', ...DAY));
    const before = ledger('heron');
    well(fleet.run('record', 'heron', 'screws', '--head-height', '4.12', ...DAY));
    // ISO 4017 M6: across corners and flats as in the fixing; the reading is as good as the house's thickness readings.
    expect(added('heron', before)[0]).toMatch(
      /how: driven, fixing: m6-hex-nylon, thread: M6, length: 16, material: pa66, head: \{ form: iso4017-hex, height: \{ value: 4\.12, within: 0\.05 \}/,
    );
    const again = fleet.run('record', 'heron', 'screws', ...DAY);
    expect(again.status).toBe(2);
    expect(again.stderr).toMatch(/stand in the board.*\n.*--swapped/);
    well(fleet.run('record', 'heron', 'screws', 'B2', '--swapped', '--fixing', 'm6-cap-nylon', ...DAY));
    expect(added('heron', before)[1]).toMatch(/how: swapped, sites: \[B2\], fixing: m6-cap-nylon/);
  });

  it('a length that no pocket tells must be measured', () => {
    const run = fleet.run('record', 'heron', 'screws', ...DAY);
    expect(run.status).toBe(2);
    expect(run.stderr).toMatch(/--length/);
  });
});

describe('a withdrawal', () => {
  it('names kind and day of the fact, and the bed is as it was', () => {
    const state = (): unknown =>
      (fleet.json('status', 'heron').object.machines as { board: unknown }[])[0]?.board;
    const was = state();
    well(fleet.run('record', 'heron', 'board', '--thickness', '18.1', ...DAY));
    expect(state()).not.toEqual(was);
    const number = (ledger('heron').match(/^ *- \{ fact:/gm) as string[]).length;
    const before = ledger('heron');
    well(fleet.run('record', 'heron', 'withdraw', String(number), '--reason', 'it is the old one', ...DAY));
    expect(added('heron', before)[0]).toContain(`of: ${number}, kind: board, day: 2026-11-20`);
    expect(state()).toEqual(was);
    for (const [args, words] of [
      [['withdraw'], /number of one fact/],
      [['withdraw', '9999', '--reason', 'x'], /no fact 9999/],
      [['withdraw', String(number), '--reason', 'x'], /withdrawn already/],
      [['withdraw', String(number + 1), '--reason', 'x'], /a withdrawal is withdrawn/],
    ] as const) {
      const run = fleet.run('record', 'heron', ...args, ...DAY);
      expect(run.status).toBe(2);
      expect(run.stderr).toMatch(words);
    }
  }, 60_000);
});

it('the owner vouches for a drawing in the units of the ledger', () => {
  const before = ledger('egret');
  well(
    fleet.run(
      'record',
      'egret',
      'vouch',
      '--deviation',
      '1/64 in',
      '--by',
      'the owner',
      '--reason',
      'own work',
      ...DAY,
    ),
  );
  expect(added('egret', before)[0]).toMatch(
    /fact: vouch, .*deviation: 1\/64 in, by: the owner, reason: own work/,
  );
});

describe('many facts at once, all or none', () => {
  const file = (name: string, text: string): string => {
    fleet.write(name, text);
    return join(fleet.root, name);
  };

  it('a list of facts, as a ledger or alone', () => {
    const before = ledger('heron');
    const list =
      '  - { fact: note, date: 2026-11-20, text: a }\n  - { fact: moisture, date: 2026-11-20, percent: 7 }\n';
    well(fleet.run('record', 'heron', '--file', file('facts.yaml', `units: mm\nfacts:\n${list}`)));
    well(fleet.run('record', 'heron', '--file', file('list.yaml', list)));
    expect(added('heron', before)).toHaveLength(4);
  });

  it.each([
    [
      'a wrong fact',
      'units: mm\nfacts:\n  - { fact: note, date: 2026-11-20, text: a }\n  - { fact: skim, date: 2026-11-20, commanded: deep, thickness: [17] }\n',
      /facts\.yaml:4:\d+: stop ledger\/wrong-quantity/,
    ],
    [
      'a fact that cannot be',
      'units: mm\nfacts:\n  - { fact: note, date: 2026-11-20, text: a }\n  - { fact: fill, date: 2026-11-20, site: Z9, reason: x }\n',
      /stop ledger\/impossible-order/,
    ],
    [
      'another unit',
      'units: in\nfacts:\n  - { fact: note, date: 2026-11-20, text: a }\n',
      /facts\.yaml:1:\d+: stop ledger\/other-units/,
    ],
    ['no list', 'units: mm\n', /facts\.yaml:1:\d+: stop ledger\/missing-key/],
  ] as const)('%s: nothing is written', (_, text, words) => {
    const before = ledger('heron');
    const run = fleet.run('record', 'heron', '--file', file('facts.yaml', text));
    expect(run.stderr).toMatch(words);
    expect(run.status).toBe(2);
    expect(ledger('heron')).toBe(before);
  });

  it('a table of bores: measured places and depths; an empty cell is as planned, and says so', () => {
    const before = ledger('egret');
    const table = '# units: mm\nsite,x,y,depth,diameter\nA1,32.91,13.48,15.3,\nA2,,,,\n';
    well(fleet.run('record', 'egret', '--file', file('bores.csv', table), ...DAY));
    const [a, b] = added('egret', before) as [string, string];
    expect(a).toMatch(
      /site: A1, at: \[32\.91 mm, 13\.48 mm\], at_from: measured.*depth: 15\.3 mm, depth_from: measured/,
    );
    expect(b).toMatch(/site: A2, .*at_from: planned, .*depth_from: planned/);
    expect(well(fleet.run('status', 'egret')).stdout).toContain('egret');
  });

  it.each([
    ['site,x,y,depth,diameter\nA1,1,1,1,1\n', /bores\.csv:1:1: stop csv\/no-units/],
    ['site,x_in,y_mm,depth_in,diameter_in\nA1,1,1,1,1\n', /bores\.csv:1:11: stop csv\/unknown-column/],
    ['site,x_mm,y_mm,depth_mm,diameter_mm\nA1,1,,1,1\n', /bores\.csv:2:6: stop csv\/wrong-cell/],
    ['site,x_mm,y_mm,depth_mm,diameter_mm\nA1,1,1,-1,1\n', /bores\.csv:2:8: stop csv\/wrong-cell/],
    ['site,x_mm,y_mm,depth_mm,diameter_mm\nA1,,,,\nA1,,,,\n', /bores\.csv:3:1: stop csv\/repeated-row/],
    [
      'site,x_mm,y_mm,depth_mm,diameter_mm\na1,,,,\n',
      /bores\.csv:2:1: stop csv\/wrong-cell[\s\S]*write `A1`/,
    ],
    ['site,x_mm,y_mm,depth_mm,diameter_mm\nZ99,,,,\n', /no site `Z99`/],
    ['site,x_mm,y_mm,depth_mm,diameter_mm\nA1,9000,9000,15,10\n', /stop ledger\/outside-bed/],
  ] as const)('a wrong table is refused at its place: %j', (table, words) => {
    const before = ledger('egret');
    const run = fleet.run('record', 'egret', '--file', file('bores.csv', table), ...DAY);
    expect(run.stderr).toMatch(words);
    expect(run.status).toBe(2);
    expect(ledger('egret')).toBe(before);
  });
});
