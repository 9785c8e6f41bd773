import { afterEach, describe, expect, it } from 'vitest';
import { forgetAnswers, offset, type Region, seededRandom, shortestTour, union } from './index.ts';
import { Remembered } from './remembered.ts';
import { swissCheese } from './testing/shapes.ts';

afterEach(forgetAnswers);

describe('answers that are remembered', () => {
  const squares = () => {
    let asked = 0;
    const known = new Remembered<number, { readonly square: number }>(2, (a, b) => a === b);
    return {
      ask: (n: number) =>
        known.answer(n, (of) => {
          asked++;
          return { square: of * of };
        }),
      asked: () => asked,
    };
  };

  it('are found once, each for its own question', () => {
    const { ask, asked } = squares();
    expect([ask(3), ask(4), ask(3), ask(4)].map((a) => a.square)).toEqual([9, 16, 9, 16]);
    expect(ask(3)).toBe(ask(3));
    expect(asked()).toBe(2);
  });

  it('are no more than there is room for: the one that was not asked for the longest goes', () => {
    const { ask, asked } = squares();
    for (const n of [1, 2, 1, 3, 1]) ask(n);
    expect(asked()).toBe(3);
    ask(2);
    expect(asked()).toBe(4);
  });

  it('a question that fails is asked again', () => {
    const known = new Remembered<number, number>(2, (a, b) => a === b);
    const fails = (): number => {
      throw new Error('no answer');
    };
    expect(() => known.answer(1, fails)).toThrow('no answer');
    expect(known.answer(1, () => 7)).toBe(7);
  });
});

describe('clippings and tours', () => {
  const cheese = (): Region => swissCheese(seededRandom(31), 300, 200, 12);
  const places = Array.from({ length: 40 }, (_, i) => [(i * 37) % 101, (i * 61) % 89] as const);
  const tour = (stretch: number): readonly number[] =>
    shortestTour(
      places.length,
      (i, j) => {
        const [dx, dy] = [places[i]![0] - places[j]![0], stretch * (places[i]![1] - places[j]![1])];
        return Math.sqrt(dx * dx + dy * dy);
      },
      { start: 0 },
    ).order;

  it('come out the same remembered and anew', () => {
    const ask = (): unknown => [
      offset(cheese(), -2),
      offset(cheese(), 3),
      union(cheese(), cheese()),
      tour(1),
    ];
    const [first, remembered] = [ask(), ask()];
    forgetAnswers();
    expect(remembered).toEqual(first);
    expect(ask()).toEqual(first);
  });

  it('are told apart by a corner that is elsewhere by the least, by the distance, by the kind, by one cost', () => {
    const region = cheese();
    const [x, y] = region[0]!.outer[0]!;
    const nudged: Region = [
      { ...region[0]!, outer: [[x - 0.0001, y], ...region[0]!.outer.slice(1)] },
      ...region.slice(1),
    ];
    for (const other of [
      () => offset(nudged, -2),
      () => offset(region, -2.0001),
      () => offset(region, 2),
      () => union(region),
    ]) {
      const plain = offset(region, -2);
      const answer = other();
      expect(answer).not.toEqual(plain);
      forgetAnswers();
      expect(other()).toEqual(answer);
    }
    const [a, b] = [tour(1), tour(4)];
    forgetAnswers();
    expect(tour(4)).toEqual(b);
    expect(b).not.toEqual(a);
  });

  it('what is given out does not change what is remembered', () => {
    const order = tour(1) as number[];
    const kept = [...order];
    order.reverse();
    expect(tour(1)).toEqual(kept);
  });
});
