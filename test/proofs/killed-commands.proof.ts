import assert from 'node:assert/strict';
import { killedCommands } from './killed-commands.ts';
import type { Proof } from './proof.ts';

/** A case: every command that writes, each killed once, at the operation of that number. All: at every operation. */
export const proof: Proof = {
  about: 'a command killed while it writes leaves the old files or the new ones, and the next run heals it',
  sample: { test: 'test/end-to-end/killed-commands.test.ts' },
  try: (number) => assert.deepEqual(killedCommands({ at: number + 1 }).wrong, []),
  tryAll: () => assert.deepEqual(killedCommands().wrong, []),
};
