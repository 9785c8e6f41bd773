import { type Diagnostic, renderDiagnosticsText, type Units } from '@bedledger/diagnostics';
import { fileText, loadShared, readMachineFiles } from '@bedledger/fleet';
import { describe, expect, test } from 'vitest';
import { parse, stringify } from 'yaml';
import { ROOT } from '../../../../test/support/demo-fleet.ts';
import { parseMachine } from './parse-machine.ts';

type Path = (string | number)[];

const shared = loadShared(ROOT);

/** Quantities of the other system, as a figure with its unit or as a unit on its own. */
const FOREIGN: Readonly<Record<Units, RegExp>> = {
  mm: /\d ?(?:in|ft)\b|Unit: in\b|in\/min|ft\/min|inHg|\bpsi\b|\bcfm\b|\blbf\b/,
  in: /\bmm\b|\bcm\b|\bkPa\b|\bmbar\b|\bm3\/h\b|m³|\bm\/min\b|\d m\b|N·m|\bum\b/,
};

/** Every place in the data that is not a map or a list, of lists the first entry; without those that name a unit. */
function leaves(data: unknown, path: Path = []): Path[] {
  if (Array.isArray(data)) return data.slice(0, 1).flatMap((v, i) => leaves(v, [...path, i]));
  if (typeof data === 'object' && data !== null)
    return Object.entries(data).flatMap(([k, v]) => leaves(v, [...path, k]));
  return String(path.at(-1)).startsWith('units') ? [] : [path];
}

function at(data: unknown, path: Path): unknown {
  return path.reduce((v, step) => (v as Record<string | number, unknown>)[step], data);
}

function replaced(data: unknown, path: Path, value: unknown): unknown {
  const copy = structuredClone(data);
  const holder = at(copy, path.slice(0, -1)) as Record<string | number, unknown>;
  holder[path.at(-1)!] = value;
  return copy;
}

/** The line that a finding quotes is the person's own and may be in any unit. */
function said(found: readonly Diagnostic[]): string {
  return renderDiagnosticsText(found.map(({ excerpt: _, ...d }) => d)).replace(/\(.*?\)/g, '');
}

/** Wrong values of every sort in place of a right one. */
function wrong(value: unknown): unknown[] {
  const others: unknown[] = ['x', '7 parsec', { odd: 1 }, -1e7];
  if (typeof value === 'number') others.push(value * 1000, value / 1000, -value);
  return others;
}

const BARE = fileText('ledger.yaml', 'units: mm\nfacts: []\n');

const LEDGER = (length: (mm: number) => number) => ({
  facts: [
    { fact: 'skim', date: '2026-01-01', commanded: length(0.4), thickness: [length(18)] },
    { fact: 'heights', date: '2026-01-01', file: 'heights/none.csv' },
    { fact: 'bore', date: '2025-01-01', site: 'A1', at: [length(1e5), 0], diameter: 1, depth: length(90) },
    { fact: 'insert', date: '2026-01-01', site: 'A1', at: [0, 0], insert: 'bush' },
    { fact: 'insert', date: '2026-01-01', site: 'B1', at: [length(100), length(100)], insert: 'bush' },
    {
      fact: 'board',
      date: '2026-01-02',
      stock: 'none',
      thickness: [length(18), length(25), length(400)],
      skimmed: 'none',
      pocketed: false,
    },
    { fact: 'skim', date: '2026-01-03', commanded: length(0.4), thickness: [length(500)] },
    { fact: 'skim', date: '2026-01-03', commanded: length(0.4), thickness: [length(5)] },
    { fact: 'vacuum', date: '2026-01-04', zone: 'Z', covered: '2 bar', uncovered: '3 bar' },
    { fact: 'datum', date: '2026-01-05', mark: [0, 0], second: [length(3), 0] },
  ],
});

describe.each(['heron', 'egret'])('%s is told everything in its own units', (id) => {
  const { files } = readMachineFiles(ROOT, id);
  const profile = parse(files.profile!.text) as { units: Units };
  const { units } = profile;

  test('whatever is wrong with a field of its profile', () => {
    let count = 0;
    for (const path of leaves(profile)) {
      for (const value of wrong(at(profile, path))) {
        const text = stringify(replaced(profile, path, value));
        const { diagnostics } = parseMachine(
          { ...files, heights: [], survey: null, ledger: BARE, profile: fileText(files.profile!.path, text) },
          shared,
        );
        count += diagnostics.length;
        expect(said(diagnostics), `${path.join('.')}: ${JSON.stringify(value)}`).not.toMatch(FOREIGN[units]);
      }
    }
    expect(count).toBeGreaterThan(300);
  });

  test('whatever cannot be in its ledger', () => {
    const ledger = { units, ...LEDGER((mm) => (units === 'mm' ? mm : mm / 25.4)) };
    const text = stringify(ledger);
    const { diagnostics } = parseMachine({ ...files, ledger: fileText(files.ledger!.path, text) }, shared);
    const found = diagnostics.filter((d) => d.place?.file === files.ledger!.path);
    for (const code of ['moved', 'bore-depth', 'spread', 'grows', 'vacuum-range', 'datum-distance'])
      expect(found.map((d) => d.code)).toContain(`ledger/${code}`);
    expect(said(found)).not.toMatch(FOREIGN[units]);
    const every = ledger.facts.flatMap((fact, i) => leaves(fact, ['facts', i]));
    for (const path of every) {
      for (const value of ['x', '7 parsec', { odd: 1 }, -1e7]) {
        const spoilt = fileText(files.ledger!.path, stringify(replaced(ledger, path, value)));
        const { diagnostics: all } = parseMachine(
          { ...files, heights: [], survey: null, ledger: spoilt },
          shared,
        );
        expect(said(all), `${path.join('.')}: ${JSON.stringify(value)}`).not.toMatch(FOREIGN[units]);
      }
    }
  });
});
