import { type Layout, planLayout } from '@bedledger/bedwork';
import type { MachineRecord } from '@bedledger/fleet';
import { describe, expect, test } from 'vitest';
import { awkwardBed, shuffled, withPattern } from './awkward-beds.ts';
import { brokenAdvice, brokenPromises } from './judge.ts';

const BEDS = 40;
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
    'a stop is told with changes that were tried, or with the word that none was found',
    () => {
      for (const { seed } of beds) {
        for (const pattern of ['aligned', 'fewest'] as const) {
          const l = layout(seed, pattern);
          const none = l.findings.filter(
            (f) => f.severity === 'stop' && f.help?.startsWith('no single change'),
          );
          if (stops(l).length > 0) expect(l.remedies.length > 0 || none.length > 0).toBe(true);
        }
      }
    },
    PATIENCE,
  );
});
