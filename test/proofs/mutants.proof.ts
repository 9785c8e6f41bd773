import assert from 'node:assert/strict';
import { issuedFleet } from '../mutation/issued-fleet.ts';
import { type Issued, scoreMutants, scoreTable } from '../mutation/score.ts';
import { ROOT } from '../support/command.ts';
import type { Proof } from './proof.ts';

let sets: readonly Issued[] | null = null;

function demo(): readonly Issued[] {
  sets ??= issuedFleet(ROOT);
  return sets;
}

function tried(scores: ReturnType<typeof scoreMutants>): void {
  assert.equal(
    scores.some((s) => s.survivors.length > 0),
    false,
    scoreTable(scores),
  );
}

/** A case: twenty changes in every program of one demo machine. All: every change in every program, a night's work. */
export const proof: Proof = {
  about: 'the checker finds every change of an issued program that means something',
  sample: { test: 'test/mutation/mutants.test.ts' },
  try: (number) => {
    const set = demo()[number % demo().length]!;
    tried(scoreMutants([set], { seed: number, perProgram: 20 }));
  },
  tryAll: () => {
    for (const set of demo()) tried(scoreMutants([set], { seed: 1 }));
  },
};
