import { join } from 'node:path';
import { issuedFleet } from './issued-fleet.ts';
import { type OperatorScore, scoreMutants, scoreTable } from './score.ts';

const ROOT = join(import.meta.dirname, '../..');

/**
 * Changes the demo fleet's issued programs with every operator, at every site or at a seeded sample of `sample` sites an
 * operator and program, and prints how many changes the checker finds. Returns the score; `survivors` is what remains.
 */
export function runMutants(options: {
  sample?: number;
  seed: number;
  root?: string;
  print?: (text: string) => void;
  progress?: (text: string) => void;
}): { scores: OperatorScore[]; survivors: number } {
  const print = options.print ?? ((text: string) => process.stdout.write(text));
  const scores = scoreMutants(issuedFleet(options.root ?? ROOT), {
    seed: options.seed,
    ...(options.sample === undefined ? {} : { sample: options.sample }),
    ...(options.progress ? { progress: options.progress } : {}),
  });
  print(scoreTable(scores));
  return { scores, survivors: scores.reduce((n, s) => n + s.survivors.length, 0) };
}
