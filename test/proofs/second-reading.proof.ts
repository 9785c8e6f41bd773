import fc from 'fast-check';
import { agreeOn, agreeUnlessStopped, damaged, disguised } from '../support/random-blocks.ts';
import { propertyProof } from './proof.ts';

/** A case is fifty programs of about twenty blocks: a hundred cases are a hundred thousand blocks. */
export const proof = propertyProof(
  'what the reader reads without a stop, a second reading written from the report alone reads alike, whoever wrote it, damaged or not',
  fc.property(disguised, damaged, (whole, broken) => {
    agreeOn(whole);
    agreeUnlessStopped(broken);
  }),
  25,
  { test: 'packages/checker/src/reader/second-reading.test.ts' },
);
