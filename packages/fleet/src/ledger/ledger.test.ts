import { cpSync, mkdirSync, mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { InputError } from '@bedledger/diagnostics';
import { listMachines, readMachineFiles } from '@bedledger/fleet';
import fc from 'fast-check';
import { afterEach, beforeEach, describe, expect, test } from 'vitest';
import { parse } from 'yaml';
import { demoMachine, ROOT } from '../../../../test/support/demo-fleet.ts';
import { whileMachineIsOurs } from '../durable/machine-lock.ts';
import { writeFileAtomic } from '../durable/write-file.ts';
import { recordFacts } from '../load/record-fact.ts';
import type { Fact } from '../model/ledger.ts';
import type { FactWritten } from '../written/ledger.ts';
import { appendFact, tryAppendFact } from './append.ts';
import { bedState, foldLedger } from './fold.ts';
import { examineLedger } from './recover.ts';

const note = (text: string): FactWritten => ({ fact: 'note', date: '2026-12-01', text });

describe('appending', () => {
  const layouts: [string, string][] = [
    ['empty list', 'units: mm\nfacts: []\n'],
    ['empty list with a comment', 'units: mm\nfacts: [] # none yet\n# end\n'],
    ['empty list without a last line break', 'units: mm\nfacts: []'],
    [
      'block list',
      'units: mm\nfacts:\n  - { fact: note, date: 2026-01-01, text: a } # why\n  # last words\n',
    ],
    ['list at the left', 'units: mm\nfacts:\n- fact: note\n  date: 2026-01-01\n  text: a\n'],
    ['flow list', 'units: mm\nfacts: [{ fact: note, date: 2026-01-01, text: a }]\n'],
    ['flow list over lines', 'units: mm\nfacts: [\n  { fact: note, date: 2026-01-01, text: a }, # why\n]\n'],
    [
      'list before another key',
      'facts:\n  - { fact: note, date: 2026-01-01, text: a }\nunits: mm # at the end\n',
    ],
    ['without a last line break', 'units: mm\nfacts:\n  - { fact: note, date: 2026-01-01, text: a }'],
    [
      'line breaks of another system',
      'units: mm\r\nfacts:\r\n  - { fact: note, date: 2026-01-01, text: a }\r\n',
    ],
    [
      'text over lines',
      'units: mm\nfacts:\n  - fact: note\n    date: 2026-01-01\n    text: >-\n      a longer\n      note\n',
    ],
  ];

  test.each(layouts)('%s: what is there stays, byte for byte', (_, before) => {
    const after = appendFact(before, note('b'));
    const data = parse(after) as { facts: FactWritten[] };
    const old = parse(before) as { facts: FactWritten[] };
    expect(data.facts).toEqual([...old.facts, note('b')]);
    // Taking the added characters out again gives the old text (but for the brackets of an empty list).
    let k = 0;
    for (const c of after) if (c === before[k]) k += 1;
    if (!before.includes('[]')) expect(k).toBe(before.length);
    for (const comment of before.match(/#.*/g) ?? []) expect(after).toContain(comment);
    if (before.includes('\r\n')) expect(after.replace(/\r\n/g, '')).not.toContain('\n');
  });

  test('every kind of fact, one after the other, reads back as it was given', () => {
    const facts: FactWritten[] = [
      { fact: 'survey', date: '2026-01-01', file: 'survey.csv' },
      { fact: 'mark', date: '2026-01-02', site: 'A1', at: [40.125, 40] },
      {
        fact: 'bore',
        date: '2026-01-03',
        site: 'A1',
        at: [40.125, 40],
        diameter: '25/64 in',
        depth: '15.5 mm',
      },
      { fact: 'insert', date: '2026-01-04', site: 'A1', at: [40.125, 40], insert: 'brass: "M6" #3, {odd}' },
      {
        fact: 'board',
        date: '2026-01-05',
        stock: 'mdf-18',
        thickness: [18.04, { at: [1, 2], value: '17.98 mm' }],
        skimmed: 'both',
        pocketed: false,
      },
      { fact: 'pocket', date: '2026-01-05', screw_length: 16, pocket_floor: 5.05 },
      { fact: 'skim', date: '2026-01-06', commanded: 0.4, thickness: [17.6], heights: 'heights/a.csv' },
      { fact: 'heights', date: '2026-01-07', file: 'heights/2026-01-07.csv' },
      { fact: 'vacuum', date: '2026-01-08', zone: 'A', covered: '24 inHg', uncovered: '0.6 bar' },
      { fact: 'moisture', date: '2026-01-09', percent: 7.5 },
      { fact: 'time', date: '2026-01-10', operation: 'surface', minutes: 31, predicted: 29.5 },
      { fact: 'fill', date: '2026-01-11', site: 'A1', reason: 'turned: yes' },
      { fact: 'note', date: '2026-01-12', text: 'true' },
    ];
    let text = 'units: mm\nfacts: []\n';
    for (const f of facts) text = appendFact(text, f);
    expect((parse(text) as { facts: unknown }).facts).toEqual(facts);
  });

  test('any one-line text survives', () => {
    const line = fc.string({ unit: 'grapheme', minLength: 1, maxLength: 60 }).filter((s) => s.trim() !== '');
    fc.assert(
      fc.property(line, (text) => {
        const { text: after } = tryAppendFact('units: mm\nfacts: []\n', note(text));
        if (after !== null) expect((parse(after) as { facts: { text: string }[] }).facts[0]!.text).toBe(text);
      }),
      { seed: 110, numRuns: 300 },
    );
  });

  test.each<[string, FactWritten, string]>([
    ['a day that is none', { ...note('x'), date: '2026-02-30' }, 'ledger/wrong-value'],
    ['a line break', note('a\n- { fact: note }'), 'ledger/wrong-value'],
    [
      'an insert set twice',
      { fact: 'insert', date: '2026-12-01', site: 'A1', at: [46.31, 44.12], insert: 'x' },
      'ledger/impossible-order',
    ],
    [
      'filling what was never there',
      { fact: 'fill', date: '2026-12-01', site: 'Z9', reason: 'x' },
      'ledger/impossible-order',
    ],
    [
      'a board that grows',
      { fact: 'skim', date: '2026-12-01', commanded: 0.4, thickness: [19.5] },
      'ledger/grows',
    ],
  ])('refuses %s and writes nothing', (_, fact, code) => {
    const text = readFileSync(`${ROOT}machines/heron/ledger.yaml`, 'utf8');
    const result = tryAppendFact(text, fact);
    expect(result.text).toBeNull();
    expect(result.diagnostics.map((d) => d.code)).toContain(code);
    expect(() => appendFact(text, fact)).toThrow(InputError);
  });
});

describe('what the facts add up to', () => {
  const at = [10, 10] as const;
  const mark: Fact = { fact: 'mark', date: '2026-01-01', site: 'A1', at };
  const bore: Fact = { fact: 'bore', date: '2026-01-02', site: 'A1', at, diameter: 10, depth: 15.5 };
  const insert: Fact = { fact: 'insert', date: '2026-01-03', site: 'A1', at, insert: 'x' };
  const fill: Fact = { fact: 'fill', date: '2026-01-04', site: 'A1', reason: 'x' };

  test('none, marked, bored, set, filled, and again', () => {
    const steps: [Fact[], string | undefined][] = [
      [[], undefined],
      [[mark], 'marked'],
      [[mark, bore], 'bored'],
      [[mark, bore, insert], 'set'],
      [[mark, bore, insert, fill], 'filled'],
      [[mark, bore, insert, fill, { ...mark, date: '2026-01-05' }], 'marked'],
    ];
    for (const [facts, state] of steps) {
      const found = bedState({ facts });
      expect(found.sites.get('A1')?.state).toBe(state);
      expect(found.inserts).toHaveLength(state === 'set' ? 1 : 0);
      expect(foldLedger({ facts }).diagnostics).toEqual([]);
    }
  });

  test.each<[string, Fact[], string]>([
    ['set without a bore', [mark, insert], 'warn ledger/skipped-step'],
    ['bored without a mark', [bore], 'warn ledger/skipped-step'],
    ['set twice', [mark, bore, insert, { ...insert, date: '2026-02-01' }], 'stop ledger/impossible-order'],
    [
      'marked over an insert',
      [mark, bore, insert, { ...mark, date: '2026-02-01' }],
      'stop ledger/impossible-order',
    ],
    [
      'filled twice',
      [mark, bore, insert, fill, { ...fill, date: '2026-02-01' }],
      'stop ledger/impossible-order',
    ],
    ['a hole that moves', [mark, { ...bore, at: [10.7, 10] }], 'stop ledger/moved'],
    ['an earlier day later on', [bore, mark].map((f) => f), 'warn ledger/date-order'],
    [
      'a skim of no board',
      [{ fact: 'skim', date: '2026-01-01', commanded: 0.4, thickness: [17] }],
      'stop ledger/impossible-order',
    ],
    ['pockets in no board', [{ fact: 'pocket', date: '2026-01-01' }], 'stop ledger/impossible-order'],
    [
      'more vacuum than there is air',
      [{ fact: 'vacuum', date: '2026-01-01', covered: 120_000 }],
      'stop ledger/vacuum-range',
    ],
  ])('%s', (_, facts, expected) => {
    expect(foldLedger({ facts }).diagnostics.map((d) => `${d.severity} ${d.code}`)).toContain(expected);
  });

  test('an insert is in the bed exactly when it was set and never filled since, whatever else happened', () => {
    const step = fc.record({
      kind: fc.constantFrom('mark', 'bore', 'insert', 'fill'),
      site: fc.constantFrom('A1', 'A2'),
    });
    fc.assert(
      fc.property(fc.array(step, { maxLength: 20 }), (steps) => {
        const facts = steps.map(
          ({ kind, site }): Fact =>
            kind === 'mark'
              ? ({ ...mark, site } as Fact)
              : kind === 'bore'
                ? ({ ...bore, site } as Fact)
                : kind === 'insert'
                  ? ({ ...insert, site } as Fact)
                  : ({ ...fill, site } as Fact),
        );
        const inBed = new Set<string>();
        for (const { kind, site } of steps) {
          if (kind === 'insert') inBed.add(site);
          if (kind === 'fill') inBed.delete(site);
        }
        expect(new Set(bedState({ facts }).inserts.map((i) => i.site))).toEqual(inBed);
      }),
      { seed: 111 },
    );
  });

  test('boards: mean and least of the last readings, skims counted, a new board starts anew', () => {
    const facts: Fact[] = [
      {
        fact: 'board',
        date: '2026-01-01',
        stock: 'mdf-18',
        thickness: [18, 18.2],
        skimmed: 'none',
        pocketed: false,
      },
      { fact: 'pocket', date: '2026-01-02', screwLength: 16, pocketFloor: 5 },
      { fact: 'heights', date: '2026-01-03', file: 'heights/a.csv' },
      { fact: 'skim', date: '2026-01-04', commanded: 0.4, thickness: [17.6, 17.8] },
    ];
    const first = bedState({ facts });
    expect(first.board).toMatchObject({
      thickness: expect.closeTo(17.7, 9),
      thinnest: 17.6,
      thicknessWhenFitted: expect.closeTo(18.1, 9),
      skims: 1,
      pocketed: true,
      built: { everywhere: { pocket: { screwLength: 16, pocketFloor: 5 } } },
      ordinal: 1,
    });
    expect(first.board?.history.map((h) => h.date)).toEqual(['2026-01-01', '2026-01-04']);
    // The map was of a surface that has been cut away since.
    expect(first.latestHeights).toBeNull();
    const second = bedState({
      facts: [
        ...facts,
        {
          fact: 'board',
          date: '2026-02-01',
          stock: 'mdf-18',
          thickness: [18],
          skimmed: 'none',
          pocketed: false,
        },
      ],
    });
    expect(second.board).toMatchObject({ skims: 0, pocketed: false, ordinal: 2, thicknessWhenFitted: 18 });
    expect(second.board?.built.everywhere).toEqual({});
  });
});

describe('damage', () => {
  test('wherever a ledger is cut off, it is an error, unless an entry ends there; sound entries are counted', () => {
    const text = readFileSync(`${ROOT}machines/curlew/ledger.yaml`, 'utf8');
    const all = (parse(text) as { facts: unknown[] }).facts.length;
    const { length } = text;
    let damaged = 0;
    for (let cut = text.indexOf('  - '); cut < length; cut += 101) {
      const head = text.slice(0, cut);
      const damage = examineLedger('ledger.yaml', head);
      const { record } = demoMachine('curlew', [], { ledger: head });
      if (damage === null) continue;
      damaged += 1;
      expect(record).toBeNull();
      expect(damage.sound).toBeLessThan(all);
      expect(head.endsWith(damage.rest)).toBe(true);
      expect(damage.diagnostics[0]!.severity).toBe('stop');
    }
    expect(damaged).toBeGreaterThan(8);
  });

  test('a torn entry anywhere in two thousand is found by halving, lists inside entries and all', () => {
    const entries = Array.from(
      { length: 2000 },
      (_, k) => `  - { fact: note, date: 2026-01-01, text: 'entry ${k}: - not one' }\n`,
    );
    for (const torn of [0, 777, 1999]) {
      const written = entries.with(torn, '  - { fact: note, date: 2026-01-0\n');
      const damage = examineLedger('ledger.yaml', `units: mm\nfacts:\n${written.join('')}`)!;
      expect(damage.sound).toBe(torn);
      expect(damage.line).toBe(3 + torn);
    }
  });

  test('says which entry is torn and keeps what is left of it', () => {
    const text =
      'units: mm\nfacts:\n  - { fact: note, date: 2026-01-01, text: a }\n  - { fact: insert, date: 2026-01-0';
    const damage = examineLedger('ledger.yaml', text)!;
    expect(damage.sound).toBe(1);
    expect(damage.line).toBe(4);
    expect(damage.rest).toBe('  - { fact: insert, date: 2026-01-0');
    expect(damage.diagnostics[0]!.message).toContain('1 entry is sound');
    expect(examineLedger('ledger.yaml', 'units: mm\nfacts: []\n')).toBeNull();
    expect(tryAppendFact(text, note('b')).text).toBeNull();
  });
});

describe('on disk', () => {
  let root = '';
  beforeEach(() => {
    root = mkdtempSync(join(tmpdir(), 'ledger-'));
    mkdirSync(join(root, 'machines/heron'), { recursive: true });
    cpSync(`${ROOT}machines/heron/ledger.yaml`, join(root, 'machines/heron/ledger.yaml'));
  });
  afterEach(() => rmSync(root, { recursive: true, force: true }));

  test('a fact is appended, nothing else changes, nothing is left behind', () => {
    const path = join(root, 'machines/heron/ledger.yaml');
    const before = readFileSync(path, 'utf8');
    expect(recordFacts(root, 'heron', [note('b')])).toEqual([]);
    const after = readFileSync(path, 'utf8');
    expect(after.startsWith(before)).toBe(true);
    expect(after.slice(before.length)).toBe('  - { fact: note, date: 2026-12-01, text: b }\n');
    expect(readdirSync(join(root, 'machines/heron'))).toEqual(['ledger.yaml']);
  });

  test('a torn ledger is left exactly as it is', () => {
    const path = join(root, 'machines/heron/ledger.yaml');
    const torn = readFileSync(path, 'utf8').slice(0, -20);
    writeFileSync(path, torn);
    const found = recordFacts(root, 'heron', [note('b')]);
    expect(found[0]!.code).toBe('ledger/damaged');
    expect(readFileSync(path, 'utf8')).toBe(torn);
    expect(readdirSync(join(root, 'machines/heron'))).toEqual(['ledger.yaml']);
  });

  test('a second writer is kept out', () => {
    const found = whileMachineIsOurs(root, 'heron', 'regenerate', () =>
      recordFacts(root, 'heron', [note('b')], undefined, undefined, { patience: 20 }),
    );
    expect('value' in found && found.value[0]!.code).toBe('file/locked');
    expect(recordFacts(root, 'egret', [note('b')])[0]!.severity).toBe('stop');
  });

  test('a file is replaced whole, or not at all', () => {
    const path = join(root, 'machines/heron/ledger.yaml');
    writeFileAtomic(path, 'new\n');
    expect(readFileSync(path, 'utf8')).toBe('new\n');
    mkdirSync(join(root, 'folder.yaml'));
    expect(() => writeFileAtomic(join(root, 'folder.yaml'), 'x')).toThrow();
    expect(readdirSync(root).sort()).toEqual(['folder.yaml', 'machines']);
  });
});

test('the ledgers of the demo fleet have no finding at all', () => {
  for (const id of listMachines(ROOT)) {
    const { files } = readMachineFiles(ROOT, id);
    expect(examineLedger(files.ledger!.path, files.ledger!.text)).toBeNull();
    expect(
      demoMachine(id).diagnostics.filter((d) => d.place?.file.endsWith('ledger.yaml')),
      id,
    ).toEqual([]);
  }
});
