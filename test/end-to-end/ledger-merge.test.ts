import { spawnSync } from 'node:child_process';
import { copyFileSync, cpSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { loadFleet, recordFacts } from '@bedledger/fleet';
import fc from 'fast-check';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { parse } from 'yaml';
import { bedledger, ROOT } from '../support/command.ts';
import { git as gitIn } from '../support/git.ts';

// Real repositories, merged by the installed git with the .gitattributes of this one.

const LEDGER = 'machines/teal/ledger.yaml';
const PROFILE = 'machines/teal/machine.yaml';
const FACTS = 'units: mm\nfacts:\n';

let root: string;
beforeEach(() => {
  root = mkdtempSync(join(tmpdir(), 'bedledger-merge-'));
  cpSync(join(ROOT, 'test/fixtures/fleets/desktop'), root, { recursive: true });
  copyFileSync(join(ROOT, '.gitattributes'), join(root, '.gitattributes'));
  git('init', '-q', '-b', 'main');
  commit('a fleet');
});
afterEach(() => rmSync(root, { recursive: true, force: true }));

const git = (...args: string[]): string => gitIn(root, ...args);

function commit(text: string): void {
  git('add', '-A');
  git('commit', '-q', '-m', text);
}

const read = (path: string): string => readFileSync(join(root, path), 'utf8');
const write = (path: string, text: string): void => writeFileSync(join(root, path), text);

/** Two branches from here, one change each; both committed, and the second merged into the first. Whether git managed alone. */
function mergeOf(ours: () => void, theirs: () => void): boolean {
  git('checkout', '-q', '-b', 'theirs');
  theirs();
  commit('theirs');
  git('checkout', '-q', 'main');
  ours();
  commit('ours');
  const who = ['-c', 'user.name=somebody', '-c', 'user.email=somebody@example.org'];
  return spawnSync('git', [...who, 'merge', '-q', '--no-edit', 'theirs'], { cwd: root }).status === 0;
}

function note(text: string, date: string): void {
  expect(recordFacts(root, 'teal', [{ fact: 'note', date, text }])).toEqual([]);
}

const load = () => loadFleet(root, { only: ['teal'] });
const ledgerCodes = (): string[] =>
  load()
    .diagnostics.filter((d) => d.place?.file === LEDGER)
    .map((d) => `${d.severity} ${d.code}`);
const notes = (): string[] =>
  (parse(read(LEDGER)) as { facts: { fact: string; text?: string }[] }).facts
    .filter((f) => f.fact === 'note')
    .map((f) => f.text!);

describe('two branches that each record a fact', () => {
  it.each([
    ['the last of a list', undefined],
    ['the first of an empty list', 'units: mm\nfacts: []\n'],
    ['after a last line without its end', `${FACTS}  - { fact: note, date: 2026-12-01, text: before }`],
  ])('merge alone, and the ledger has both facts: %s', (_, text) => {
    if (text !== undefined) {
      write(LEDGER, text);
      commit('another ledger');
    }
    const [before, codes] = [notes(), ledgerCodes()];
    expect(
      mergeOf(
        () => note('ours', '2026-12-30'),
        () => note('theirs', '2026-12-31'),
      ),
    ).toBe(true);
    expect(notes()).toEqual([...before, 'ours', 'theirs']);
    expect(ledgerCodes()).toEqual(codes);
    expect(load().machines[0]!.record).not.toBeNull();
  });

  it('in the other order of days: merged alone, and the order is told with its remedy', () => {
    const codes = ledgerCodes();
    expect(
      mergeOf(
        () => note('ours', '2026-12-31'),
        () => note('theirs', '2026-12-30'),
      ),
    ).toBe(true);
    expect(notes()).toEqual(['ours', 'theirs']);
    expect(ledgerCodes()).toEqual([...codes, 'warn ledger/date-order']);
    expect(load().diagnostics.find((d) => d.code === 'ledger/date-order')?.help).toMatch(
      /move the entry to its place/,
    );
  });

  it('the same fact on both: it is there once', () => {
    expect(
      mergeOf(
        () => note('both', '2026-12-30'),
        () => note('both', '2026-12-30'),
      ),
    ).toBe(true);
    expect(notes()).toEqual(['both']);
  });

  it('survive a rebase as well', () => {
    git('checkout', '-q', '-b', 'theirs');
    note('theirs', '2026-12-30');
    commit('theirs');
    git('checkout', '-q', 'main');
    note('ours', '2026-12-31');
    commit('ours');
    git('rebase', '-q', 'theirs');
    expect(notes().sort()).toEqual(['ours', 'theirs']);
  });
});

/** What `merge=union` does to one file: git merge-file with the same algorithm, without a repository. */
function union(base: string, ours: string, theirs: string): string {
  for (const [name, text] of Object.entries({ base, ours, theirs })) write(name, text);
  const run = spawnSync('git', ['merge-file', '-p', '--union', 'ours', 'base', 'theirs'], {
    cwd: root,
    encoding: 'utf8',
  });
  expect(run.status).toBe(0);
  return run.stdout;
}

it('lines added on both sides, whatever they are: every entry arrives whole, none is made up, and none more often than recorded', () => {
  const line = fc
    .constantFrom('a', 'b', 'c', 'd', 'e')
    .chain((text) =>
      fc
        .constantFrom('2026-03-01', '2026-03-02')
        .map((date) => `  - { fact: note, date: ${date}, text: ${text} }\n`),
    );
  const lines = fc.array(line, { maxLength: 4 });
  const count = (list: readonly string[], one: string): number => list.filter((l) => l === one).length;
  fc.assert(
    fc.property(lines, lines, lines, (base, ours, theirs) => {
      const [a, b] = [
        [...base, ...ours],
        [...base, ...theirs],
      ];
      const merged = union(FACTS + base.join(''), FACTS + a.join(''), FACTS + b.join(''));
      expect(merged.startsWith(FACTS)).toBe(true);
      const found = merged
        .slice(FACTS.length)
        .split(/(?<=\n)/)
        .filter((l) => l !== '');
      for (const one of new Set([...a, ...b, ...found])) {
        const least = Math.max(count(a, one), count(b, one));
        expect(count(found, one)).toBeGreaterThanOrEqual(least);
        expect(count(found, one)).toBeLessThanOrEqual(
          count(base, one) + count(ours, one) + count(theirs, one),
        );
      }
    }),
    { seed: 19, numRuns: 150 },
  );
});

describe('what a merge of lines cannot do right is told', () => {
  const BOARD =
    '  - { fact: board, date: 2026-03-01, stock: mdf-12, thickness: [12], skimmed: none, pocketed: false }\n';
  const SKIM = '  - { fact: skim, date: 2026-03-02, commanded: 0.4, thickness: [11.6] }\n';
  it.each([
    ['a board', BOARD, '[12]', ['[12.04]', '[12.02]'], ['warn ledger/repeated-entry']],
    ['a skim', BOARD + SKIM, '[11.6]', ['[11.62]', '[11.58]'], ['warn ledger/repeated-entry']],
  ])('%s that both branches corrected stands there twice', (_, facts, what, [ours, theirs], codes) => {
    write(LEDGER, FACTS + facts);
    commit('a ledger');
    const change = (to: string) => () => write(LEDGER, read(LEDGER).replace(what, to));
    expect(mergeOf(change(ours!), change(theirs!))).toBe(true);
    expect(read(LEDGER)).toContain(ours);
    expect(read(LEDGER)).toContain(theirs);
    expect(ledgerCodes().filter((c) => c.includes('repeated'))).toEqual(codes);
  });

  it('entries on several lines: lines of one end up in another, so they are told before', () => {
    const block = (zone: string): string =>
      `  - fact: vacuum\n${zone}    date: 2026-03-01\n    covered: 60 kPa\n`;
    // The fault itself: of two readings one is left, with the zone of the other.
    const merged = union(FACTS, FACTS + block(''), FACTS + block('    zone: A\n'));
    expect((parse(merged) as { facts: unknown[] }).facts).toHaveLength(1);
    write(LEDGER, FACTS + block(''));
    const found = load().diagnostics.find((d) => d.code === 'ledger/entry-lines');
    expect(found?.place).toMatchObject({ file: LEDGER, line: 3 });
  });

  it.each([
    ['comments and blank lines between entries', '  # by hand\n\n'],
    ['a comment at the end', ''],
  ])('entries of one line are not: %s', (_, between) => {
    write(
      LEDGER,
      `${FACTS}  - { fact: note, date: 2026-03-01, text: a }\n${between}  - { fact: note, date: 2026-03-01, text: b }\n# end\n`,
    );
    expect(ledgerCodes()).toEqual([]);
  });
});

describe('an unfinished merge', () => {
  const conflict = (path: string, pattern: RegExp, ours: string, theirs: string): void => {
    rmSync(join(root, '.gitattributes'));
    commit('no attributes');
    const change = (to: string) => () => write(path, read(path).replace(pattern, to));
    expect(mergeOf(change(ours), change(theirs))).toBe(false);
  };

  it.each([
    ['the profile', PROFILE, /^title: .*$/m, 'title: ours', 'title: theirs'],
    [
      'the ledger',
      LEDGER,
      /$/,
      '  - { fact: note, date: 2026-12-30, text: ours }\n',
      '  - { fact: note, date: 2026-12-30, text: theirs }\n',
    ],
    [
      'the version',
      'machines/teal/package.json',
      /"version": "[^"]*"/,
      '"version": "7.0.0"',
      '"version": "8.0.0"',
    ],
    ['a shared file', 'shared/house.yaml', /^/, '# ours\n', '# theirs\n'],
  ])(
    'in %s is named, with its line and what to do, and nothing else is said of the file',
    (_, path, pattern, ours, theirs) => {
      conflict(path, pattern, ours, theirs);
      const line =
        read(path)
          .split('\n')
          .findIndex((l) => l.startsWith('<<<<<<<')) + 1;
      const found = load().diagnostics.filter((d) => d.place?.file === path);
      expect(found.map((d) => d.code)).toEqual(['file/merge-markers']);
      expect(found[0]!.place!.line).toBe(line);
      const run = bedledger(root, ['regenerate', 'teal']);
      expect(run.status).toBe(2);
      expect(run.stderr).toContain(`${path}:${line}:1: stop file/merge-markers`);
      expect(run.stderr).toContain('remove the marker lines');
      expect(run.stderr).not.toMatch(/fault of this program|damaged/);
    },
  );

  it('in a survey or a height map is named as well', () => {
    const marked = '<<<<<<< ours\nfeature,nominal_x\n=======\nfeature\n>>>>>>> theirs\n';
    write('machines/teal/survey.csv', marked);
    const found = load().diagnostics.filter((d) => d.place?.file === 'machines/teal/survey.csv');
    expect(found.map((d) => [d.code, d.place!.line])).toEqual([['file/merge-markers', 1]]);
  });

  it('in a ledger: no fact is recorded into it, and it stays as it is', () => {
    conflict(
      LEDGER,
      /$/,
      '  - { fact: note, date: 2026-12-30, text: ours }\n',
      '  - { fact: note, date: 2026-12-30, text: theirs }\n',
    );
    const before = read(LEDGER);
    const found = recordFacts(root, 'teal', [{ fact: 'note', date: '2026-12-31', text: 'x' }]);
    expect(found.map((d) => d.code)).toEqual(['file/merge-markers']);
    expect(read(LEDGER)).toBe(before);
  });

  it('is not seen where a text only speaks of one', () => {
    write(PROFILE, read(PROFILE).replace(/^title: .*$/m, 'title: "a <<<<<<< b"'));
    expect(load().diagnostics.map((d) => d.code)).not.toContain('file/merge-markers');
  });
});
