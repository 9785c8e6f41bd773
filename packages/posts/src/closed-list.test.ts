import { expect, test } from 'vitest';
import { entryOf } from './closed-list.ts';

type Fruit = 'apple' | 'pear';
const pear = 'pear' as Fruit;

test('a list without an entry for a member does not compile, and throws', () => {
  expect(entryOf({ apple: 1, pear: 2 }, pear, 'fruit')).toBe(2);
  // @ts-expect-error: the list has no entry for `pear`
  expect(() => entryOf({ apple: 1 }, pear, 'fruit')).toThrow(new RangeError('unknown fruit "pear"'));
});

test('what every object inherits is no entry', () => {
  expect(() => entryOf({ apple: 1, pear: 2 }, 'toString' as Fruit, 'fruit')).toThrow(RangeError);
});
