import { anyMutation } from '../../packages/fleet/src/testing/schema-mutations.ts';
import { propertyProof } from './proof.ts';

export const proof = propertyProof(
  'an independent validator on the published schemas accepts and refuses what the product accepts and refuses',
  anyMutation(),
  500,
  { test: 'packages/fleet/src/schema/json-schemas.test.ts' },
);
