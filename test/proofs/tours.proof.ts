import { tourAgainstSolver } from '../../packages/geometry/src/testing/against-solver.ts';
import type { Proof } from './proof.ts';

/** A case: 30 to 60 scattered places. */
export const proof: Proof = {
  about: 'tours of up to sixty places are within half a percent of the optimum of a mixed-integer solver',
  sample: { test: 'packages/geometry/src/tour.test.ts' },
  try: (number) => tourAgainstSolver(30 + (number % 31), number, 0.005),
};
