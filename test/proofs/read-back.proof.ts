import { propertyProof } from './proof.ts';
import { readBack } from './read-back.ts';

export const proof = propertyProof(
  'any program, posted for any controller, reads back by the checker as the same motions',
  readBack(),
  200,
  { test: 'test/any-post-read-back.test.ts' },
);
