import { expect, it } from 'vitest';
import { threeWriters, whatMustNotBe } from '../proofs/three-writers.ts';

// A sample of the proof with the same name; `npm run prove` runs a thousand rounds.
it('three writers of one machine with readers among them: never a mixture, never a false ok, no fact lost', async () => {
  const score = await threeWriters({ count: 6, seed: 1 });
  const { rounds, saidDone, checks, readings } = score;
  expect(whatMustNotBe(score)).toEqual({});
  // Two regenerates and the one after the record, each round; the readers did read.
  expect([rounds, saidDone]).toEqual([6, 18]);
  expect(Math.min(checks, readings)).toBeGreaterThan(6);
});
