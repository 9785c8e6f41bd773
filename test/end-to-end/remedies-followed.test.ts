import { cpSync, rmSync } from 'node:fs';
import { join } from 'node:path';
import { afterAll, afterEach, beforeAll, describe, expect, it } from 'vitest';
import { ROOT } from '../support/command.ts';
import { type SmallFleet, smallFleet } from './small-fleet.ts';

/*
 * Every remedy that is told with a command or a figure in it is followed to the letter, through the built command: what it was
 * told for is gone, and nothing else stops.
 */

const MACHINES = ['avocet', 'curlew', 'egret'];
let fleet: SmallFleet;
beforeAll(() => {
  fleet = smallFleet(...MACHINES);
});
afterAll(() => rmSync(fleet.root, { recursive: true, force: true }));
afterEach(() => {
  cpSync(join(ROOT, 'shared'), join(fleet.root, 'shared'), { recursive: true });
  for (const id of MACHINES)
    for (const file of ['ledger.yaml', 'machine.yaml'])
      cpSync(join(ROOT, 'machines', id, file), join(fleet.root, 'machines', id, file));
});

interface Found {
  readonly code: string;
  readonly severity: string;
  readonly message: string;
  readonly help: string;
}

function found(machine: string): Found[] {
  const { object } = fleet.json('check', machine);
  return (object.machines as [{ findings: Found[] }])[0].findings;
}

const stops = (list: readonly Found[]): string[] =>
  list.filter((f) => f.severity === 'stop').map((f) => `${f.code}: ${f.message}`);

/** Words of a command line; `"16 mm"` is one. */
function wordsOf(line: string): string[] {
  return [...line.matchAll(/"([^"]*)"|(\S+)/g)].map((m) => m[1] ?? (m[2] as string));
}

/** Runs every `bedledger record …` of a help, with what only a person can measure filled in. */
function record(help: string, measured: Readonly<Record<string, string>> = {}): void {
  const lines = [...help.matchAll(/`bedledger (record [^`]+)`/g)].map((m) => m[1] as string);
  expect(lines.length).toBeGreaterThan(0);
  for (const line of lines) {
    const words = wordsOf(line).map((word) => measured[word] ?? word);
    const run = fleet.run(...words, '--date', '2026-11-20');
    expect(run.stderr, line).not.toMatch(/: stop |^bedledger: /m);
    expect(run.status, line).toBe(0);
  }
}

const ledger = (id: string): string => `machines/${id}/ledger.yaml`;
const profile = (id: string): string => `machines/${id}/machine.yaml`;

interface Case {
  readonly name: string;
  readonly machine: string;
  readonly happens: () => void;
  readonly code: string;
  readonly says: RegExp;
  readonly follow: (help: string) => void;
}

const RECORDED: readonly Case[] = [
  {
    name: 'screws that nobody recorded',
    machine: 'avocet',
    happens: () => fleet.edit(ledger('avocet'), /^.*fact: screws.*\n/m, ''),
    code: 'stack/screws-unknown',
    says: /--fixing m6-hex-nylon --length "16 mm"/,
    follow: (help) => record(help),
  },
  {
    name: 'floors that nobody recorded',
    machine: 'avocet',
    happens: () => fleet.edit(ledger('avocet'), /pocket_floor: 5\.05, floor_from: planned, /, ''),
    code: 'stack/screws-unknown',
    says: /pocket --pocket-depth DEPTH/,
    // 16.91 mm of board over a floor of 5.05 mm.
    follow: (help) => record(help, { DEPTH: '11.86' }),
  },
  {
    name: 'screws that bottom',
    machine: 'avocet',
    happens: () => fleet.edit(ledger('avocet'), /(fact: screws.*?)length: 16/, '$1length: 30'),
    code: 'stack/built-short',
    says: /drive M6 × 16 mm in their place/,
    follow: (help) => record(help),
  },
  {
    name: 'screws that hold by too little thread',
    machine: 'avocet',
    happens: () => fleet.edit(ledger('avocet'), /(fact: screws.*?)length: 16/, '$1length: 8'),
    code: 'stack/built-short',
    says: /drive M6 × 16 mm in their place/,
    follow: (help) => record(help),
  },
  {
    name: 'a pull that no screw of the fixing holds',
    machine: 'curlew',
    happens: () => fleet.edit('shared/house.yaml', /pull: 300 /, 'pull: 900 '),
    code: 'stack/impossible',
    says: /ask a pull of at most \d+ N/,
    follow: (help) =>
      fleet.edit('shared/house.yaml', /pull: 900 /, `pull: ${/at most (\d+) N/.exec(help)?.[1]} `),
  },
];

/** A remedy of the layout, done to the profile. */
const LAYOUT: readonly (readonly [RegExp, (id: string, m: RegExpExecArray) => void])[] = [
  [
    /raise fixing\.layout\.nudge_max to ([\d.]+)/,
    (id, m) => fleet.edit(profile(id), /nudge_max: [\d.]+/, `nudge_max: ${m[1]}`),
  ],
  [
    /raise fixing\.layout\.pitch_max to ([\d.]+)/,
    (id, m) => fleet.edit(profile(id), /pitch_max: [\d.]+/, `pitch_max: ${m[1]}`),
  ],
  [
    /set fixing\.layout\.edge to ([\d.]+) (?:mm|in) … ([\d.]+)/,
    (id, m) => fleet.edit(profile(id), /edge: \[[^\]]*\]/, `edge: [${m[1]}, ${m[2]}]`),
  ],
  [
    /use fixing\.layout\.pattern fewest/,
    (id) => fleet.edit(profile(id), /pattern: aligned/, 'pattern: fewest'),
  ],
];

describe('a remedy works the first time it is followed', () => {
  it.each(RECORDED)(
    '$name',
    ({ machine, happens, code, says, follow }) => {
      happens();
      const before = found(machine);
      const one = before.find((f) => f.code === code);
      expect(one?.help).toMatch(says);
      follow(one!.help);
      const after = found(machine);
      expect(after.map((f) => f.code)).not.toContain(code);
      expect(stops(after)).toEqual([]);
    },
    60_000,
  );

  it.each([
    ['egret', 'pitch_max: 15', 'pitch_max: 5'],
    ['egret', 'edge: [1, 4.25]', 'edge: [9, 9.5]'],
  ])(
    '%s, bare, with %s as %s: every remedy of its layout',
    (id, was, is) => {
      fleet.write(ledger(id), fleet.read(ledger(id)).replace(/^ {2}- \{ fact: (?!vouch).*\n/gm, ''));
      const bare = fleet.read(profile(id));
      fleet.write(profile(id), bare.replace(was, is));
      const wrong = fleet.read(profile(id));
      expect(wrong).not.toBe(bare);
      const stopped = found(id).find((f) => f.severity === 'stop' && f.code.startsWith('layout/'));
      expect(stopped).toBeDefined();
      let followed = 0;
      for (const remedy of stopped!.help.split('; or ')) {
        for (const [pattern, change] of LAYOUT) {
          const match = pattern.exec(remedy);
          if (!match) continue;
          fleet.write(profile(id), wrong);
          change(id, match);
          expect(stops(found(id)), remedy).toEqual([]);
          followed++;
        }
      }
      expect(followed).toBeGreaterThan(0);
    },
    120_000,
  );
});
