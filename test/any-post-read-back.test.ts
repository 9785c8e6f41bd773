import fc from 'fast-check';
import { expect, it } from 'vitest';
import { readBack } from './proofs/read-back.ts';

it('any program on any controller reads back as the same motions', () => {
  let motions = 0;
  fc.assert(
    readBack((n) => {
      motions += n;
    }),
    { seed: 66, numRuns: 1500 },
  );
  expect(motions).toBeGreaterThan(10_000);
});
