import { readdirSync, readFileSync, rmSync, statSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { RULES } from '../../packages/cli/src/rules/index.ts';
import { bedledger, ROOT } from '../support/command.ts';
import { git } from '../support/git.ts';
import { type SmallFleet, smallFleet } from './small-fleet.ts';

/*
 * Whatever a command or an issued file says about a machine is in that machine's units: a person who reads millimetres and
 * thinks inches drills a hole in the wrong place. What speaks of no machine (help, rules) names both units or none.
 */

const METRIC =
  /\b(?:mm|cm|mm\/min|mm\/s|kPa|kN|kg|MPa|GPa|hPa|mbar)\b|\bc?m[²³]|\bmm[²³]|\d (?:m|N|Pa|bar|l|g|°C)(?![\w’'])|N·m|\bNm\b|N\/mm|m³\/h|\bm\/(?:s|min)\b|\bmetres?\b|\bmillimet/i;
const INCH =
  /\d in(?=[.,;:)\s]|$)(?! (?:the|all|a|an|every|each|one|two|four|several|rows|zone|this|it|place|force|shared)\b)|\bin\/(?:min|s)\b|\bin[²³]|`# units: in`|\b(?:inch|inches|feet|foot|inHg|lbf|lb|psi|cfm|thou)\b|\d ft\b|ft\/min/i;

/** Names under which things are sold, whatever the units of the machine. Each is taken out before a text is looked at. */
const SOLD: readonly (readonly [pattern: RegExp, why: string])[] = [
  [/\bM\d+(?:\.\d+)? ?[×x] ?\d+(?:\.\d+)?(?: mm)?/gi, 'a metric screw is asked for by thread and length'],
  [/(?:#\d+|\d\/\d+)-\d+ ?[×x] ?[\d.]+ in\b/g, 'an inch screw is asked for by thread and length'],
  [
    /\b\d+(?:\.\d+)? mm \(0\.\d+ in\)/g,
    'a metric hand drill is named by its diameter; the inch size is beside it',
  ],
];

/** The source of a bound, in brackets at the end of its line, quotes a formula or a custom as it was published. */
const SOURCE = / \[[^\]]*\]$/;

/** Lists of what may be written into a field: a quantity may carry a unit of either system. */
const MAY_BE_WRITTEN = /expected a \w+ such as .*$|\bUnit: .*\bone of\b.*$/gm;

/** Titles that the fleet's own people wrote, by file. */
function titles(fleet: SmallFleet): string[] {
  const written = ['cutters', 'boards', 'fixings']
    .map((name) => fleet.read(`shared/${name}.yaml`))
    .join('\n');
  return [...written.matchAll(/\btitle: *(?:'([^']*)'|"([^"]*)"|([^,}\n#]*))/g)]
    .map((m) => (m[1] ?? m[2] ?? m[3] ?? '').trim())
    .filter((t) => t !== '');
}

/** Lines that name a quantity in a foreign unit. */
function foreignLines(text: string, foreign: RegExp, own: readonly string[]): string[] {
  return text.split('\n').filter((line) => {
    let bare = line.replace(SOURCE, '').replaceAll(MAY_BE_WRITTEN, '«may be written»');
    for (const title of own) {
      bare = bare.replaceAll(title, '«title»');
      bare = bare.replaceAll(title.toUpperCase(), '«title»');
    }
    for (const [pattern] of SOLD) bare = bare.replaceAll(pattern, '«sold»');
    return foreign.test(bare);
  });
}

/** What people read of an issued file: comments of programs, text of pages and drawings, cells of tables. */
function readable(path: string, text: string): string {
  if (/\.(html|svg)$/.test(path))
    return text
      .replace(/<(style|script)[\s\S]*?<\/\1>/g, '')
      .replace(/<[^>]*>/g, '\n')
      .replace(/&#?\w+;/g, ' ');
  if (path.startsWith('programs/'))
    return [...text.matchAll(/\(([^)]*)\)|;(.*)/g)].map((m) => m[1] ?? m[2]).join('\n');
  return text;
}

interface Case {
  readonly id: string;
  readonly foreign: RegExp;
  /** A job of this machine's own people, in its units. */
  readonly job: string;
  readonly depth: string;
  /** Changes to the profile that move sites, or change stacks and screws. */
  readonly changes: readonly (readonly [RegExp, string])[];
  /** Facts that are refused, or found odd. */
  readonly refused: readonly (readonly string[])[];
  readonly recorded: readonly (readonly string[])[];
}

const CASES: readonly Case[] = [
  {
    id: 'egret',
    foreign: METRIC,
    job: 'G20 G17 G40 G49 G80 G90 G94 G54\nG0 Z3\nS12000 M3\nG0 X12 Y12\nG1 Z0.1 F40\nG1 X60 F80\nG0 Z3\nM5\nM2\n',
    depth: '0.02',
    changes: [
      [/pitch_max: 15/, 'pitch_max: 13'],
      [/least_thickness: 3\/8 in/, 'least_thickness: 1/2 in'],
      [/use: quarter-hex-nylon/, 'use: m6-hex-nylon'],
    ],
    refused: [
      ['mark', 'A2', '--at', '9000,9000'],
      ['bore', 'A1', '--depth', '20'],
      ['board', '--thickness', '0.74', '--thickness', '0.9'],
      ['skim', '--commanded', '0.02', '--thickness', '0.9'],
      ['vacuum', '--covered', '24'],
      ['datum', '--mark', '0.2,0.1', '--second', '50,0'],
    ],
    recorded: [
      ['mark', '--all'],
      ['bore', '--all'],
      ['board', '--thickness', '0.74', '--thickness', '0.75'],
      ['vacuum', '--covered', '23 inHg', '--uncovered', '17 inHg'],
    ],
  },
  {
    id: 'heron',
    foreign: INCH,
    job: 'G21 G17 G40 G49 G80 G90 G94 G54\nG0 Z60\nS12000 M3\nG0 X300 Y300\nG1 Z2 F1000\nG1 X1500 F2000\nG0 Z60\nM5\nM2\n',
    depth: '0.5',
    changes: [[/use: m6-hex-nylon/, 'use: m6-cap-nylon']],
    refused: [
      ['mark', 'A2', '--at', '9000,9000'],
      ['bore', 'A1', '--depth', '500'],
      ['board', '--thickness', '18', '--thickness', '22'],
      ['skim', '--commanded', '0.4', '--thickness', '30'],
      ['skim', '--commanded', '5', '--thickness', '17.3'],
      ['vacuum', '--covered', '24'],
      ['datum', '--mark', '4,2', '--second', '1000,0'],
    ],
    recorded: [
      ['skim', '--commanded', '0.4', '--thickness', '17.3', '--thickness', '17.4'],
      ['board', '--thickness', '18.01'],
      ['vacuum', '--covered', '78 kPa', '--uncovered', '60 kPa'],
    ],
  },
];

describe.each(CASES)('$id', ({ id, foreign, job, depth, changes, refused, recorded }) => {
  let fleet: SmallFleet;
  let own: string[];
  beforeAll(() => {
    fleet = smallFleet(id);
    own = titles(fleet);
    writeFileSync(join(fleet.root, 'job.ngc'), job);
    git(fleet.root, 'init', '-q', '-b', 'main');
    git(fleet.root, 'add', '-A');
    git(fleet.root, 'commit', '-q', '-m', 'base');
  });
  afterAll(() => rmSync(fleet.root, { recursive: true, force: true }));

  /** Everything a call says. */
  const said = (...args: string[]): string => {
    const run = fleet.run(...args);
    const text = `${run.stdout}\n${run.stderr}`;
    expect(text).not.toMatch(/fault of this program/);
    expect(text.trim().length, args.join(' ')).toBeGreaterThan(10);
    return text;
  };
  const nothingForeign = (text: string, what: string): void =>
    expect(foreignLines(text, foreign, own), what).toEqual([]);

  it.each([
    ['status'],
    ['survey', id],
    ['explain', id],
    ['explain', id, 'A1'],
    ['guard', id, 'job.ngc'],
    ['guard', id, 'job.ngc', '--cutter', depth, '--depth', depth],
    ['guard', id, 'job.ngc', '--depth', 'deep'],
    ['guard', id, 'job.ngc', '--cutter', 'upcut-7'],
  ])('%s %s %s %s %s %s %s', (...args) => {
    nothingForeign(said(...args.filter((a) => a !== undefined)), args.join(' '));
  });

  it('what a change of the profile does', () => {
    const path = `machines/${id}/machine.yaml`;
    const before = fleet.read(path);
    for (const [pattern, replacement] of changes) fleet.edit(path, pattern, replacement);
    const text = said('diff', 'main');
    expect(text).toMatch(/ value +/);
    nothingForeign(text, 'diff');
    fleet.write(path, before);
  });

  it('what is refused, or odd', () => {
    for (const args of refused) {
      const ledger = fleet.read(`machines/${id}/ledger.yaml`);
      nothingForeign(said('record', id, ...args, '--date', '2026-12-01'), args.join(' '));
      fleet.write(`machines/${id}/ledger.yaml`, ledger);
    }
  });

  it('what is recorded, what it changes, what is issued then, and what the check finds in it', () => {
    for (const args of recorded)
      nothingForeign(said('record', id, ...args, '--date', '2026-12-01'), args.join(' '));
    nothingForeign(said('regenerate'), 'regenerate');
    nothingForeign(said('diff', 'main'), 'diff');
    nothingForeign(said('status'), 'status');
    const issued = join(fleet.root, `machines/${id}/issued`);
    for (const path of readdirSync(issued, { recursive: true, encoding: 'utf8' })) {
      if (statSync(join(issued, path)).isDirectory()) continue;
      nothingForeign(readable(path, readFileSync(join(issued, path), 'latin1')), path);
    }
    // Every figure of every program is off: the checker has something to say about each.
    for (const name of readdirSync(join(issued, 'programs'))) {
      const text = readFileSync(join(issued, 'programs', name), 'latin1');
      writeFileSync(join(issued, 'programs', name), text.replace(/([XYZF])(-?\d)/g, '$13$2'), 'latin1');
    }
    nothingForeign(said('check'), 'check');
  });
});

describe('what speaks of no machine names both units or none', () => {
  const both = (text: string): void => {
    if (METRIC.test(text) || INCH.test(text))
      expect([text, METRIC.test(text), INCH.test(text)]).toEqual([text, true, true]);
  };

  it.each(Object.entries(RULES))('%s', (_, rule) => {
    both([rule.title, rule.why, rule.remedy, ...(rule.also ?? []).map((o) => o.when)].join('\n'));
  });

  it('help of every option', () => {
    const commands = [...bedledger(ROOT, ['--help']).stdout.matchAll(/^ {2}(\w+) (?=[<[ ])/gm)].map(
      (m) => m[1] as string,
    );
    expect(commands.length).toBeGreaterThan(8);
    for (const name of new Set(commands)) {
      const help = bedledger(ROOT, [name, '--help']).stdout;
      // `--units mm|in` chooses between them.
      for (const option of help.split(/\n(?= {2}--)/).slice(1))
        if (!option.startsWith('  --units ')) both(option.replace(/\s+/g, ' '));
    }
  });
});
