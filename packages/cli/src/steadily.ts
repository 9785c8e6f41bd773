import { InputError } from '@bedledger/diagnostics';
import { inputHash } from '@bedledger/fleet';
import { report } from './report.ts';

/** So often a machine's files may change while something is made of them. */
const TRIES = 3;

/**
 * What `make` makes of a machine's files as they stood at one time: when one of them changed meanwhile, it is made again.
 *
 * @throws InputError when they never stood still
 */
export function steadily<T>(root: string, id: string, make: () => T): T {
  for (let tries = 0; tries < TRIES; tries++) {
    const before = inputHash(root, id);
    const made = make();
    if (inputHash(root, id) === before) return made;
  }
  throw new InputError([
    report({
      code: 'file/changing',
      message: `the files of ${id} changed each of the ${TRIES} times that they were read`,
      place: { file: `machines/${id}` },
    }),
  ]);
}
