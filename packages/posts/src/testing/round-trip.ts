import assert from 'node:assert/strict';
import fc from 'fast-check';
import { post } from '../index.ts';
import { anyController, anyProgram } from './arbitrary.ts';
import { naiveRead } from './naive-reader.ts';
import { difference } from './same-path.ts';

/** Any motions, posted for any controller and read back by the naive reader, are the same motions, and the program ends. */
export const roundTrip = fc.property(anyProgram, anyController, (program, controller) => {
  const [file] = post(program, controller);
  const read = naiveRead(file!.text, controller, program.header.zeroHeight);
  const wrong = difference(program, controller, read.motions);
  assert.equal(wrong === null ? '' : `${wrong}\n${JSON.stringify(program.moves)}\n${file!.text}`, '');
  assert.equal(read.ended, true);
});
