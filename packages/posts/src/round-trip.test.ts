import fc from 'fast-check';
import { test } from 'vitest';
import { roundTrip } from './testing/round-trip.ts';

test('any motions on any controller, read back by a naive reader, are the same motions', () => {
  fc.assert(roundTrip, { seed: 20090715, numRuns: 1500 });
});
