import { describe, expect, it } from 'vitest';
import { AMOUNTS, type Counts, cells, DEVIATIONS, KINDS, MARKS, simulate } from './simulated.ts';

const share = ({ within, places }: Counts): number => within / places;

/** Sums of cells, so that the scatter of a simulation is small against what is claimed. */
function sum(counts: readonly Counts[]): Counts {
  const of = (pick: (c: Counts) => number): number => counts.reduce((total, c) => total + pick(c), 0);
  return {
    surveys: of((c) => c.surveys),
    places: of((c) => c.places),
    within: of((c) => c.within),
    accused: of((c) => c.accused),
    width: of((c) => c.width) / counts.length,
  };
}

const SURVEYS = 60;
const counted = cells().map((cell, i) => ({ cell, counts: simulate(cell, SURVEYS, 7000 + i) }));

describe('what a survey states of itself holds (k = 2: 95 %)', () => {
  it.each(KINDS.flatMap((kind) => MARKS.map((marks) => ({ kind, marks }))))(
    '$kind beds, $marks marks',
    ({ kind, marks }) => {
      const some = counted.filter(({ cell }) => cell.kind === kind && cell.marks === marks);
      expect(share(sum(some.map((s) => s.counts)))).toBeGreaterThan(0.95);
    },
  );

  it.each(DEVIATIONS.flatMap((deviation) => [0, ...AMOUNTS].map((amount) => ({ deviation, amount }))))(
    'readings to $deviation mm, beds off by $amount',
    ({ deviation, amount }) => {
      const some = counted.filter(({ cell }) => cell.deviation === deviation && cell.amount === amount);
      expect(share(sum(some.map((s) => s.counts)))).toBeGreaterThan(0.95);
    },
  );

  it('without being wide: at most twice what the readings of four marks can tell', () => {
    // derived: four corner marks tell an affine map to k = 2 within 2σ√1.5 = 2.45σ at a corner
    for (const { cell, counts } of counted)
      if (cell.amount <= 0.001) expect(counts.width).toBeLessThan(2 * 2.45);
  });
});

describe('no good mark is called misread', () => {
  it('on clean beds of any shape: in one survey of a hundred at most', () => {
    const { accused, surveys } = sum(counted.map((c) => c.counts));
    expect(accused / surveys).toBeLessThan(0.01);
  });

  it('when the deviation is stated too small, with marks enough to tell: in one of fifty at most', () => {
    for (const times of [1.5, 2, 3, 6]) {
      const some = [5, 6, 8, 14].map((marks, i) =>
        simulate({ kind: 'rigid', amount: 0, marks, deviation: 0.15 * times }, 250, 90 + i, 0.15),
      );
      const { accused, surveys } = sum(some);
      expect(accused / surveys, `${times} times`).toBeLessThan(0.02);
    }
  });
});
