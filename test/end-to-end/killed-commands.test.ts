import { expect, it } from 'vitest';
import { killedCommands } from '../proofs/killed-commands.ts';

// A sample of the proof with the same name, which kills at every operation. The same without processes, and at every
// operation: packages/fleet/src/durable.
it('regenerate, record, schema and new killed while they write: old or new, never a mixture, and the next run heals it', () => {
  const { commands, wrong } = killedCommands({ at: 19 });
  expect(wrong).toEqual([]);
  expect(Object.keys(commands)).toEqual([
    'regenerate',
    'regenerate, nothing issued before',
    'record',
    'schema',
    'new',
  ]);
  for (const { operations } of Object.values(commands)) expect(operations).toBeGreaterThan(5);
});
