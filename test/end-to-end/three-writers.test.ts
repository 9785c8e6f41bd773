import { expect, it } from 'vitest';
import { threeWriters } from '../proofs/three-writers.ts';

// A sample of the proof with the same name; `npm run prove` runs a thousand rounds.
it('three writers of one machine with readers among them: never a mixture, never a false ok, no fact lost', async () => {
  const score = await threeWriters({ count: 6, seed: 1 });
  const { rounds, saidDone, checks, readings, ...mustBeNone } = score;
  expect(mustBeNone).toEqual({
    refusedAloud: 0,
    mixtures: 0,
    incomplete: 0,
    falseOk: 0,
    lostFacts: 0,
    leftovers: 0,
    faults: 0,
  });
  // Two regenerates and the one after the record, each round; the readers did read.
  expect([rounds, saidDone]).toEqual([6, 18]);
  expect(Math.min(checks, readings)).toBeGreaterThan(6);
});
