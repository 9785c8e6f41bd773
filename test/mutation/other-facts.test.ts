import { describe, expect, it } from 'vitest';
import { staged } from '../support/staged-machine.ts';
import { FACT_OPERATORS } from './operators/other-facts.ts';
import { factTable, judgeAllFacts, judgeOtherFacts } from './other-facts.ts';

/** A board on its screws, skimmed twice; and one that is pocketed over its bores, no insert set. */
const skimmed = staged('skimmed');
const outcomes = judgeAllFacts([skimmed, staged('pocketed')]);

describe('files that were made from other facts than those that are so', () => {
  it('none passes the checker, which has the facts', () => {
    expect(
      outcomes.filter(({ outcome }) => outcome === 'survived').map(({ operator }) => operator.title),
    ).toEqual([]);
  });

  it.each(FACT_OPERATORS.map((operator) => [operator.title, operator] as const))('%s', (_, operator) => {
    const of = outcomes.filter((o) => o.operator === operator);
    // each is tried, and found wherever it makes any difference
    expect(
      of.some(({ outcome }) => outcome === 'found'),
      factTable(outcomes),
    ).toBe(true);
  });

  it('nothing is found of files that were made from what is so', () => {
    const same = judgeOtherFacts(skimmed, {
      id: '',
      title: 'the facts as they are',
      worlds: (record) => ({ so: record, believed: record }),
    });
    expect(same.outcome).toBe('same-files');
  });
});
