import { join } from 'node:path';
import { issuedFleet } from './issued-fleet.ts';
import { factTable, judgeAllFacts } from './other-facts.ts';
import { type OperatorScore, scoreMutants, scoreTable } from './score.ts';

const ROOT = join(import.meta.dirname, '../..');

/**
 * Changes the demo fleet's issued programs with every operator, at every site or at a seeded sample of `sample` sites an
 * operator and program, and prints how many changes the checker finds; then makes the files of each machine from facts that
 * are not so. Returns the score; `survivors` is what remains.
 */
export function runMutants(options: {
  sample?: number;
  seed: number;
  root?: string;
  print?: (text: string) => void;
  progress?: (text: string) => void;
}): { scores: OperatorScore[]; survivors: number } {
  const print = options.print ?? ((text: string) => process.stdout.write(text));
  const fleet = issuedFleet(options.root ?? ROOT);
  const scores = scoreMutants(fleet, {
    seed: options.seed,
    ...(options.sample === undefined ? {} : { sample: options.sample }),
    ...(options.progress ? { progress: options.progress } : {}),
  });
  print(scoreTable(scores));
  const facts = judgeAllFacts(fleet.map(({ record }) => record));
  print(`${factTable(facts)}\n`);
  const believed = facts.filter(({ outcome }) => outcome === 'survived').length;
  return { scores, survivors: scores.reduce((n, s) => n + s.survivors.length, believed) };
}
