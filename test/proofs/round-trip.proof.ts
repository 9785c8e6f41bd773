import { roundTrip } from '../../packages/posts/src/testing/round-trip.ts';
import { propertyProof } from './proof.ts';

export const proof = propertyProof(
  'any motions, posted for any controller, are the same motions to a naive reader written from the standard',
  roundTrip,
  200,
  { test: 'packages/posts/src/round-trip.test.ts' },
);
