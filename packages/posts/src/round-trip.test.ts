import fc from 'fast-check';
import { expect, test } from 'vitest';
import { post } from './index.ts';
import { anyController, anyProgram } from './testing/arbitrary.ts';
import { naiveRead } from './testing/naive-reader.ts';
import { difference } from './testing/same-path.ts';

test('any motions on any controller, read back by a naive reader, are the same motions', () => {
  fc.assert(
    fc.property(anyProgram, anyController, (program, controller) => {
      const [file] = post(program, controller);
      const read = naiveRead(file!.text, controller, program.header.zeroHeight);
      const wrong = difference(program, controller, read.motions);
      expect(wrong === null ? '' : `${wrong}\n${JSON.stringify(program.moves)}\n${file!.text}`).toBe('');
      expect(read.ended).toBe(true);
    }),
    { seed: 20090715, numRuns: Number(process.env.POSTS_RUNS ?? 1500) },
  );
});
