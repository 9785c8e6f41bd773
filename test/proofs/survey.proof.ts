import assert from 'node:assert/strict';
import { cells, simulate } from '../survey/simulated.ts';
import type { Proof } from './proof.ts';

const SURVEYS = 2000;
const CELLS = cells();

/** A case: one kind of bed, surveyed two thousand times. */
export const proof: Proof = {
  about: 'the stated uncertainty of a survey holds in 95 of 100 places, and good marks are not accused',
  sample: { test: 'test/survey/simulated.test.ts' },
  try: (number) => judged(number % CELLS.length, number),
  tryAll: () => {
    for (let i = 0; i < CELLS.length; i++) judged(i, i);
  },
};

function judged(index: number, seed: number): void {
  const cell = CELLS[index]!;
  const { places, within, accused, surveys } = simulate(cell, SURVEYS, seed);
  const said = JSON.stringify({ ...cell, within: within / places, accused: accused / surveys });
  assert.ok(within / places >= 0.95, said);
  // One survey in a hundred is bad by chance; two thousand of them scatter by a quarter of that (1σ 0.22 %, four of them).
  assert.ok(accused / surveys <= 0.01 + 4 * 0.0022, said);
}
