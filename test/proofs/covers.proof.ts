import { coverAgainstSolver } from '../../packages/geometry/src/testing/against-solver.ts';
import type { Proof } from './proof.ts';

/** A case: one instance of 60 to 170 columns, with costs or without. */
export const proof: Proof = {
  about: 'covers of middle size are as cheap as a mixed-integer solver makes them',
  sample: { test: 'packages/geometry/src/cover.test.ts' },
  try: coverAgainstSolver,
};
