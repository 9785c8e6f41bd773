import assert from 'node:assert/strict';
import type { Proof } from './proof.ts';
import { threeWriters, whatMustNotBe } from './three-writers.ts';

async function rounds(count: number, seed: number): Promise<void> {
  const score = await threeWriters({ count, seed });
  assert.deepEqual(whatMustNotBe(score), {}, JSON.stringify(score));
}

/** A case: ten rounds. All: a thousand. */
export const proof: Proof = {
  about:
    'three writers of one machine with readers among them never make a mixture, and never say a false ok',
  sample: { test: 'test/end-to-end/three-writers.test.ts' },
  try: (number) => rounds(10, number),
  tryAll: () => rounds(1000, 1),
};
