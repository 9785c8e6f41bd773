import { type Layout, planLayout } from '@bedledger/bedwork';
import type { MachineRecord } from '@bedledger/fleet';
import { describe, expect, test } from 'vitest';
import { mirrored } from '../support/demo-records.ts';
import { awkwardBed, shuffled, withPattern } from './awkward-beds.ts';
import { hostileBed } from './hostile-beds.ts';
import { brokenAdvice, brokenPromises } from './judge.ts';

const BEDS = 40;
/** Hostile beds that once broke a promise, and a few of every kind. */
const HOSTILE = [1, 7, 22, 25, 30, 110, 234];
/** Brute force over forty beds takes its time on a busy machine, ms. */
const PATIENCE = 300_000;
const stops = (layout: Layout): string[] =>
  layout.findings.filter((f) => f.severity === 'stop').map((f) => `${f.code}: ${f.message}`);
const judged = (record: MachineRecord, layout: Layout): string[] => [
  ...(stops(layout).length === 0 ? brokenPromises(record, layout) : []),
  ...brokenAdvice(layout),
];

describe('awkward beds, judged by brute force', () => {
  const beds = Array.from({ length: BEDS }, (_, i) => awkwardBed(i + 1));
  const layouts = new Map<string, Layout>();
  const layout = (seed: number, pattern: 'aligned' | 'fewest'): Layout => {
    const key = `${seed} ${pattern}`;
    const hit =
      layouts.get(key) ?? planLayout(withPattern((beds[seed - 1] as (typeof beds)[0]).record, pattern));
    layouts.set(key, hit);
    return hit;
  };

  for (const pattern of ['aligned', 'fewest'] as const) {
    test(
      `${pattern}: what a layout without a stop promises, it keeps`,
      () => {
        const broken = beds.flatMap(({ seed, record }) =>
          judged(withPattern(record, pattern), layout(seed, pattern)).map((b) => `bed ${seed}: ${b}`),
        );
        expect(broken).toEqual([]);
        // The generator makes beds that can be laid out: a judge without work proves nothing.
        const clean = beds.filter(({ seed }) => stops(layout(seed, pattern)).length === 0);
        expect(clean.length).toBeGreaterThan(0.8 * BEDS);
      },
      PATIENCE,
    );
  }

  test(
    'fewest never needs more sites than rows and columns, and never stops where they do not',
    () => {
      for (const { seed } of beds) {
        const aligned = layout(seed, 'aligned');
        if (stops(aligned).length > 0) continue;
        expect({ seed, stops: stops(layout(seed, 'fewest')) }).toEqual({ seed, stops: [] });
        expect(layout(seed, 'fewest').sites.length).toBeLessThanOrEqual(aligned.sites.length);
      }
    },
    PATIENCE,
  );

  test(
    'hostile beds: strips, hand-wide boards, sieves, cut-off travel',
    () => {
      for (const seed of HOSTILE) {
        const { record } = hostileBed(seed);
        const [aligned, fewest] = (['aligned', 'fewest'] as const).map((pattern) => {
          const bed = withPattern(record, pattern);
          const l = planLayout(bed);
          expect({ seed, pattern, broken: judged(bed, l) }).toEqual({ seed, pattern, broken: [] });
          for (const r of l.remedies.slice(0, 1))
            expect({
              seed,
              say: r.say,
              stops: stops(planLayout({ ...record, machine: r.machine })),
            }).toMatchObject({ stops: [] });
          return l;
        }) as [Layout, Layout];
        if (stops(aligned).length > 0) continue;
        expect({ seed, stops: stops(fewest) }).toEqual({ seed, stops: [] });
        expect(fewest.sites.length).toBeLessThanOrEqual(aligned.sites.length);
      }
    },
    PATIENCE,
  );

  test('a board that the spindle reaches at neither end is told how much shorter it must be at both', () => {
    const record = withPattern(hostileBed(25).record, 'fewest');
    const { remedies } = planLayout(record);
    expect(remedies.map((r) => r.say).join()).toMatch(
      /make the board shorter: .* at its right edge, .* at its left edge/,
    );
    expect(stops(planLayout({ ...record, machine: remedies[0]!.machine }))).toEqual([]);
  });

  test('where no place keeps every distance of the pitch, fewest takes rows and columns that do with their nudges', () => {
    const { record } = hostileBed(23);
    const aligned = planLayout(withPattern(record, 'aligned'));
    const fewest = planLayout(withPattern(record, 'fewest'));
    expect(stops(aligned)).toEqual([]);
    expect(stops(fewest)).toEqual([]);
    expect(fewest.sites.length).toBe(aligned.sites.length);
    expect(fewest.bound).toMatchObject({ lower: 0, proven: false });
  });

  test(
    'what a bed is written like is no matter: the order of its parts',
    () => {
      for (const { seed, record } of beds.filter((b) => b.small).slice(0, 6)) {
        for (const pattern of ['aligned', 'fewest'] as const) {
          const again = planLayout(withPattern(shuffled(record), pattern));
          expect({ seed, sites: again.sites.map((s) => s.actual) }).toEqual({
            seed,
            sites: layout(seed, pattern).sites.map((s) => s.actual),
          });
        }
      }
    },
    PATIENCE,
  );

  test(
    'a bed and its mirror image get as many sites',
    () => {
      for (const { seed, record } of beds.filter((b) => b.small && b.record.survey === null).slice(0, 6)) {
        for (const pattern of ['aligned', 'fewest'] as const) {
          const image = planLayout(withPattern(mirrored(record), pattern));
          const plain = layout(seed, pattern);
          expect({ seed, sites: image.sites.length }).toEqual({ seed, sites: plain.sites.length });
        }
      }
    },
    PATIENCE,
  );

  test(
    'a stop is told with changes that make a layout possible, or with the word that none was found',
    () => {
      let tried = 0;
      for (const { seed, record } of beds) {
        for (const pattern of ['aligned', 'fewest'] as const) {
          const l = layout(seed, pattern);
          if (stops(l).length === 0) continue;
          const none = l.findings.some(
            (f) => f.severity === 'stop' && f.help?.startsWith('no single change'),
          );
          expect({ seed, none }).toEqual({ seed, none: l.remedies.length === 0 });
          const [first] = l.remedies;
          if (first === undefined) continue;
          tried++;
          const changed = planLayout({ ...record, machine: first.machine });
          expect({ seed, stops: stops(changed) }).toEqual({ seed, stops: [] });
          expect(l.findings.some((f) => f.severity === 'stop' && f.help?.includes(first.say))).toBe(true);
        }
      }
      expect(tried).toBeGreaterThan(2);
    },
    PATIENCE,
  );

  test(
    'sites written out are accepted where the layout put them',
    () => {
      for (const { seed, record } of beds.filter((b) => b.record.survey === null).slice(0, 8)) {
        const from = layout(seed, 'fewest');
        if (stops(from).length > 0) continue;
        const { fixing } = record.machine;
        const sites = from.sites.map((s) => ({ id: s.id, at: s.nominal }));
        const again = planLayout({
          ...record,
          machine: {
            ...record.machine,
            fixing: { ...fixing, layout: { ...fixing.layout, pattern: 'given', sites } },
          },
        });
        expect({ seed, stops: stops(again) }).toEqual({ seed, stops: [] });
        expect(again.coverage.radius).toBeCloseTo(from.coverage.radius, 6);
      }
    },
    PATIENCE,
  );
});
