import assert from 'node:assert/strict';
import { cpSync, mkdtempSync, readdirSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { issuedFleet } from '../mutation/issued-fleet.ts';
import { kindOf, OF_THE_MACHINE } from '../mutation/kinds.ts';
import { type Issued, scoreMutants, scoreTable } from '../mutation/score.ts';
import { bedledger, ROOT } from '../support/command.ts';
import type { Proof } from './proof.ts';

const FIXTURES = join(ROOT, 'test/fixtures/fleets');

/** What a fleet of the fixtures is issued. */
function issuedAnew(name: string): Issued[] {
  const root = mkdtempSync(join(tmpdir(), 'bedledger-mutants-'));
  try {
    cpSync(join(FIXTURES, name), root, { recursive: true });
    const run = bedledger(root, ['regenerate']);
    assert.equal(run.status, 0, `${name}: ${run.stdout}${run.stderr}`);
    return issuedFleet(root);
  } finally {
    rmSync(root, { recursive: true });
  }
}

let sets: readonly Issued[] | null = null;

/** Every machine of the demo fleet, and of the fleets unlike it. */
function everyMachine(): readonly Issued[] {
  sets ??= [...issuedFleet(ROOT), ...readdirSync(FIXTURES).sort().flatMap(issuedAnew)];
  return sets;
}

/** Every place of one machine's programs, by every operator that touches tool, length, output, home, offset, height, direction. */
function tried(set: Issued): void {
  const scores = scoreMutants([set], { seed: 1, only: ({ id }) => OF_THE_MACHINE.has(kindOf(id)) });
  const survived = scores.some((s) => s.survivors.length > 0);
  assert.equal(survived, false, scoreTable(scores));
}

/** A case: one machine. */
export const proof: Proof = {
  about:
    'the checker finds every change of tool, length, output, home, offset, height or direction at every place',
  sample: { test: 'test/mutation/mutants.test.ts' },
  try: (number) => {
    const all = everyMachine();
    tried(all[number % all.length]!);
  },
  tryAll: () => {
    for (const set of everyMachine()) tried(set);
  },
};
