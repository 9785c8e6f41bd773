import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { didYouMean, editDistance, suggest } from './suggest.ts';

/** Textbook recurrence without any shortcut (optimal string alignment), derived. */
function naive(a: string, b: string): number {
  const d = Array.from({ length: a.length + 1 }, (_, i) =>
    Array.from({ length: b.length + 1 }, (_, j) => (i === 0 ? j : j === 0 ? i : 0)),
  );
  for (let i = 1; i <= a.length; i++) {
    for (let j = 1; j <= b.length; j++) {
      let least = Math.min(
        d[i - 1]![j]! + 1,
        d[i]![j - 1]! + 1,
        d[i - 1]![j - 1]! + (a[i - 1] === b[j - 1] ? 0 : 1),
      );
      if (i > 1 && j > 1 && a[i - 1] === b[j - 2] && a[i - 2] === b[j - 1]) {
        least = Math.min(least, d[i - 2]![j - 2]! + 1);
      }
      d[i]![j] = least;
    }
  }
  return d[a.length]![b.length]!;
}

describe('edit distance', () => {
  test('classical pairs (Wagner and Fischer; Damerau)', () => {
    expect(editDistance('kitten', 'sitting')).toBe(3);
    expect(editDistance('saturday', 'sunday')).toBe(3);
    expect(editDistance('ca', 'ac')).toBe(1);
    expect(editDistance('', 'abc')).toBe(3);
  });

  test('agrees with the plain recurrence, and with it cut off at a limit', () => {
    const word = fc.string({ unit: fc.constantFrom('a', 'b', 'c'), maxLength: 9 });
    fc.assert(
      fc.property(word, word, fc.integer({ min: 0, max: 4 }), (a, b, limit) => {
        const exact = naive(a, b);
        expect(editDistance(a, b)).toBe(exact);
        expect(editDistance(a, b, limit)).toBe(exact <= limit ? exact : limit + 1);
      }),
      { seed: 104 },
    );
  });
});

describe('suggestions', () => {
  const keys = ['acceleration', 'altitude', 'at', 'comments', 'corner', 'depth', 'diameter', 'width'];

  test.each([
    ['acelleration', ['acceleration']],
    ['diamter', ['diameter']],
    ['widht', ['width']],
    ['Comments', ['comments']],
    ['dep_th', ['depth']],
    ['zone', []],
    ['', []],
    ['xyz'.repeat(40), []],
  ])('%s', (word, expected) => {
    expect(suggest(word, keys)).toEqual(expected);
  });

  test('short words need to be within one edit, so that a hint is no noise', () => {
    expect(suggest('wdth', keys)).toEqual(['width']);
    expect(suggest('wdh', keys)).toEqual([]);
    expect(suggest('y', ['x', 'z'])).toEqual([]);
  });

  test('four at most, nearest first, then by name', () => {
    expect(suggest('site1', ['site5', 'site4', 'site3', 'site2', 'site6', 'site1'])).toEqual([
      'site1',
      'site2',
      'site3',
      'site4',
    ]);
  });

  test('as a sentence', () => {
    expect(didYouMean('widht', keys)).toBe('did you mean `width`?');
    expect(didYouMean('nothing-like-it', keys)).toBeNull();
  });
});
