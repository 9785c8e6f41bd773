import { buildCatalogue, catalogue } from './catalogue/catalogue.ts';
import { TABLES } from './catalogue/tables.ts';
import { solveStack } from './stack/solve.ts';
import { INPUT } from './testing/sample.ts';

/** One measured figure: `limit` is the promise, `reference` where it comes from. */
export interface Figure {
  readonly name: string;
  readonly value: number;
  readonly unit: string;
  readonly limit: number | null;
  readonly reference: string | null;
}

/** Median of several rounds, so that one pause of the collector does not decide. */
function median(rounds: number, measure: () => number): number {
  const values = Array.from({ length: rounds }, measure).sort((a, b) => a - b);
  return values[rounds >> 1] ?? Number.NaN;
}

/** Time of one stack, feasible and not, and of loading the catalogue. Inputs are those of the tests. */
export async function figures(): Promise<Figure[]> {
  const thin = { ...INPUT, thickness: 12 };
  let sink = 0;
  for (let i = 0; i < 20_000; i++) sink += solveStack(INPUT).feasible ? 1 : 0;
  const each = (count: number, run: (i: number) => void) => () => {
    const start = performance.now();
    for (let i = 0; i < count; i++) run(i);
    return (performance.now() - start) / count;
  };
  // a different reach each time, so that nothing can be kept from the round before
  const stack = median(
    9,
    each(5000, (i) => {
      sink += solveStack({ ...INPUT, reach: i % 300 }).feasible ? 1 : 0;
    }),
  );
  const infeasible = median(
    5,
    each(50, () => {
      sink += solveStack(thin).feasible ? 1 : 0;
    }),
  );
  const load = median(
    9,
    each(1, () => {
      sink += buildCatalogue(structuredClone(TABLES)).drills.length;
    }),
  );
  if (!(sink > 0) || catalogue().drills.length === 0) throw new Error('nothing was measured');
  return [
    { name: 'stack of one site', value: stack * 1000, unit: 'µs', limit: 50, reference: null },
    {
      name: 'infeasible stack with its remedies tried',
      value: infeasible,
      unit: 'ms',
      limit: null,
      reference: null,
    },
    { name: 'catalogue loaded', value: load, unit: 'ms', limit: 10, reference: null },
  ];
}
