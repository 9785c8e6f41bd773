import { spawn } from 'node:child_process';
import { rmSync } from 'node:fs';
import { join } from 'node:path';
import { afterAll, beforeEach, describe, expect, it } from 'vitest';
import { bedledger, ROOT } from '../support/command.ts';
import { type SmallFleet, smallFleet } from './small-fleet.ts';

const fleets: SmallFleet[] = [];
let fleet: SmallFleet;
beforeEach(() => {
  if (fleets.length === 0) fleets.push(smallFleet('heron', 'egret'));
  fleet = fleets[0] as SmallFleet;
});
afterAll(() => {
  for (const { root } of fleets) rmSync(root, { recursive: true, force: true });
});

const ledgerOf = (id: string): string => fleet.read(`machines/${id}/ledger.yaml`);

/** Facts of every kind, and what must stand in the ledger afterwards. */
const KINDS: readonly (readonly [readonly string[], RegExp])[] = [
  [['egret', 'mark', 'A1'], /fact: mark, date: 2026-12-01, site: A1, at: \[/],
  [['egret', 'bore', 'A1', '--depth', '0.6 in'], /fact: bore, .*site: A1, .*depth: /],
  [['egret', 'insert', 'A1'], /fact: insert, .*site: A1, .*insert: /],
  [['egret', 'fill', 'A1', '--reason', 'split'], /fact: fill, .*site: A1, reason: split/],
  [
    ['heron', 'skim', '--commanded', '0.4', '--thickness', '17.3', '--thickness', '17.4'],
    /fact: skim, .*commanded: 0\.4, thickness: \[17\.3, 17\.4\]/,
  ],
  [['heron', 'pocket', '--screw-length', '16'], /fact: pocket, .*screw_length: 16/],
  [['heron', 'vacuum', '--zone', 'A', '--covered', '24 inHg'], /fact: vacuum, .*zone: A, covered: "?24 inHg/],
  [['heron', 'moisture', '--percent', '7.5'], /fact: moisture, .*percent: 7\.5/],
  [['heron', 'survey'], /fact: survey, .*file: survey\.csv/],
  [
    ['heron', 'time', '--operation', 'air-pass', '--minutes', '12'],
    /fact: time, .*operation: air-pass, minutes: 12, predicted: [\d.]+/,
  ],
  [['heron', 'note', '--text', 'a # "note": with, [marks] ☃'], /fact: note, .*☃/],
  [
    ['heron', 'board', '--thickness', '18.01', '--skimmed', 'both', '--pocketed'],
    /fact: board, .*skimmed: both.*pocketed: true/,
  ],
];

describe('facts of every kind', () => {
  it.each(KINDS.map(([args, text]) => [args.slice(0, 2).join(' '), args, text] as const))(
    '%s is added at the end, and what stands before it stays byte for byte',
    (_, args, text) => {
      const id = args[0] as string;
      const before = ledgerOf(id);
      const run = bedledger(fleet.root, ['record', ...args, '--date', '2026-12-01']);
      expect(run.stderr).not.toMatch(/stop|fault/);
      expect(run.status).toBe(0);
      expect(run.stdout).toContain(`bedledger regenerate ${id}`);
      const after = ledgerOf(id);
      // An empty list `facts: []` opens up; everything else is only added to.
      const head = before.replace(/facts: \[\]\s*$/, 'facts:\n');
      expect(after.startsWith(head.trimEnd())).toBe(true);
      expect(after.slice(head.trimEnd().length)).toMatch(text);
      expect(after.endsWith('\n')).toBe(true);
      expect(bedledger(fleet.root, ['status', id]).status).toBe(0);
    },
  );

  it('comments, spacing and an old hand’s quoting are kept', () => {
    fleet.edit('machines/heron/ledger.yaml', /^facts:/m, "# kept: 'as it is'   \n\nfacts: # trailing");
    const before = ledgerOf('heron');
    expect(fleet.run('record', 'heron', 'note', '--text', 'x', '--date', '2026-12-01').status).toBe(0);
    expect(ledgerOf('heron').startsWith(before.trimEnd())).toBe(true);
  });

  it('every site that is due at once', () => {
    const run = fleet.json('record', 'egret', 'mark', '--all', '--date', '2026-12-02');
    expect(run.status).toBe(0);
    const written = run.object.written as { fact: string; site: string }[];
    expect(written.length).toBeGreaterThan(30);
    expect(new Set(written.map((w) => w.site)).size).toBe(written.length);
    const again = fleet.run('record', 'egret', 'mark', '--all', '--date', '2026-12-02');
    expect(again.status).toBe(2);
    expect(again.stderr).toMatch(/no site is due/);
  });
});

describe('bad input is refused and nothing is written', () => {
  const BAD: readonly (readonly [readonly string[], RegExp])[] = [
    [['heron', 'insert'], /insert needs a site/],
    [['heron', 'insert', 'Z9'], /no site/],
    [['heron', 'insert', 'A1'], /A1/],
    [['heron', 'mark', '--all', 'A1'], /not both/],
    [['heron', 'fill', 'A1'], /--reason/],
    [['heron', 'fill', '--all'], /fill names its sites/],
    [['heron', 'skim', '--thickness', '17'], /--commanded/],
    [['heron', 'skim', '--commanded', '0.4'], /--thickness/],
    [['heron', 'skim', '--commanded', '0.4', '--thickness', 'thin'], /thickness/],
    [['heron', 'skim', '--commanded', '-1', '--thickness', '17'], /commanded/],
    [['heron', 'skim', '--commanded', '0.4', '--thickness', '0'], /thickness/],
    [['heron', 'board', '--thickness', '18 parsecs'], /thickness|parsecs/],
    [['heron', 'board', '--thickness', '18', '--skimmed', 'sideways'], /skimmed/],
    [['heron', 'board', '--thickness', '18', '--stock', 'granite'], /granite|stock/],
    [['heron', 'vacuum', '--covered', '24'], /inHg|kPa|unit/],
    [['heron', 'vacuum', '--zone', 'Q', '--covered', '24 inHg'], /zone/i],
    [['heron', 'moisture', '--percent', '400'], /percent/],
    [['heron', 'moisture', '--percent', 'damp'], /takes a number/],
    [['heron', 'heights', '--file', 'heights/nowhere.csv'], /nowhere/],
    [['heron', 'heights', '--file', '../../../etc/passwd'], /passwd|folder|file/],
    [['heron', 'survey', '--file', 'survey-2.csv'], /survey\.csv.*no other file/],
    [['heron', 'time', '--operation', 'polish', '--minutes', '5'], /polish/],
    [['heron', 'note'], /--text/],
    [['heron', 'note', '--text', 'x', '--date', '2026-02-30'], /2026-02-30/],
    [['heron', 'note', '--text', 'x', '--date', 'yesterday'], /yesterday/],
    [['heron', 'note', 'A1', '--text', 'x'], /leave the sites out/],
    [['heron', 'mark', 'A1', 'A2', '--at', '1,2'], /one site/],
    [['egret', 'mark', 'A2', '--at', '1;2'], /X,Y/],
    [['egret', 'mark', 'A2', '--at', '9000,9000'], /A2|at|bed/],
  ];
  it.each(BAD.map(([args, text]) => [args.join(' '), args, text] as const))('%s', (_, args, text) => {
    const before = [ledgerOf('heron'), ledgerOf('egret')];
    // The words are the same with and without --json; every command is held to that elsewhere.
    const run = bedledger(fleet.root, ['record', ...args, '--json']);
    expect([ledgerOf('heron'), ledgerOf('egret')]).toEqual(before);
    expect(run.stderr).not.toMatch(/fault of this program/);
    expect(run.status).toBe(2);
    const object = JSON.parse(run.stdout);
    expect(object.schema).toBe(1);
    expect(JSON.stringify(object)).toMatch(text);
  });
});

it('writers at the same time: every fact arrives, or is refused aloud; none is lost', async () => {
  const own = smallFleet('ledgers/rail');
  try {
    const texts = Array.from({ length: 6 }, (_, i) => `writer ${i}`);
    const runs = await Promise.all(
      texts.map(
        (text) =>
          new Promise<number | null>((resolve, reject) => {
            const child = spawn(
              process.execPath,
              [join(ROOT, 'packages/cli/bin/bedledger.js'), 'record', 'rail', 'note', '--text', text],
              { cwd: own.root, stdio: 'ignore' },
            );
            child.on('error', reject);
            child.on('exit', resolve);
          }),
      ),
    );
    const ledger = own.read('machines/rail/ledger.yaml');
    runs.forEach((status, i) => {
      expect(ledger.includes(texts[i] as string), `${texts[i]}: exit ${status}`).toBe(status === 0);
    });
    expect(runs.filter((s) => s === 0).length).toBeGreaterThan(0);
    expect(own.run('status', 'rail').status).toBe(0);
  } finally {
    rmSync(own.root, { recursive: true, force: true });
  }
});
