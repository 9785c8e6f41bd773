import assert from 'node:assert/strict';
import { cpSync, mkdtempSync, readdirSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { bedledger, ROOT } from '../support/command.ts';
import type { Proof } from './proof.ts';

const FIXTURES = join(ROOT, 'test/fixtures/fleets');

function regeneratedAndChecked(name: string): void {
  const root = mkdtempSync(join(tmpdir(), 'bedledger-proof-'));
  try {
    cpSync(join(FIXTURES, name), root, { recursive: true });
    for (const command of ['regenerate', 'check']) {
      const run = bedledger(root, [command]);
      assert.equal(run.status, 0, `${name}: ${command}\n${run.stdout}${run.stderr}`);
    }
  } finally {
    rmSync(root, { recursive: true });
  }
}

/** A case: one fleet of test/fixtures/fleets. */
export const proof: Proof = {
  about: 'what regenerate writes for fleets unlike the demo fleet, check finds right from nothing',
  sample: { test: 'test/end-to-end/other-fleets.test.ts' },
  try: (number) => {
    const names = readdirSync(FIXTURES).sort();
    regeneratedAndChecked(names[number % names.length]!);
  },
  tryAll: () => {
    for (const name of readdirSync(FIXTURES).sort()) regeneratedAndChecked(name);
  },
};
