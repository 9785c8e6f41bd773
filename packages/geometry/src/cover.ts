import { coverMatrix, reduceCover } from './cover-matrix.ts';
import { CoverProver } from './cover-proof.ts';
import { CoverSearch } from './cover-search.ts';

export interface CoverInstance {
  /** Number of columns, numbered from 0. */
  readonly columns: number;
  /** For every row the columns that cover it. */
  readonly rows: readonly (readonly number[])[];
  /** Cost of each column, more than 0; 1 each when left out. */
  readonly cost?: readonly number[];
  /** Columns that are chosen in any case. */
  readonly fixed?: readonly number[];
}

export interface CoverOptions {
  /** Exchanges tried by the local search; by default as many as a fixed amount of work allows. */
  readonly steps?: number;
  readonly seed?: number;
  /** Columns to start from, for instance the answer to a slightly smaller instance. */
  readonly start?: readonly number[];
  /** Elementary operations spent on the lower bound and the proof; 0 leaves both out. Default 150 million. */
  readonly proof?: number;
}

export interface Cover {
  /** Chosen columns in increasing order, fixed ones included. */
  readonly chosen: number[];
  readonly cost: number;
  /** No cover costs less. */
  readonly lowerBound: number;
  /** True only when the lower bound equals the cost. */
  readonly provenOptimal: boolean;
}

const DEFAULT_PROOF = 1.5e8;
/** Local search by default: this much work, but no fewer steps than the second figure. */
const DEFAULT_SEARCH = 2.5e8;
const LEAST_STEPS = 40_000;
/** With equal costs a bound this many columns below the cover has never been closed by branching: left alone. */
const HOPELESS_GAP = 3;

/**
 * A cheapest choice of columns so that every row is covered: reductions, greedy start, local search with row
 * weights, Lagrangian lower bound, and branch and bound where it is small enough. Deterministic; limited by
 * steps, never by time.
 * @throws RangeError for a row that no column covers (named in the message), an index out of range, or a
 *   cost that is not positive and finite
 */
export function coverSet(instance: CoverInstance, options: CoverOptions = {}): Cover {
  check(instance, options);
  const cost = instance.cost ?? new Array<number>(instance.columns).fill(1);
  const whole = coverMatrix(instance.columns, instance.rows, cost);
  const fixed = [...new Set(instance.fixed ?? [])];
  const { matrix, original, forced } = reduceCover(whole, fixed);
  const base = sumOf(forced, cost);
  const answer = (inner: readonly number[], innerBound: number, innerCost: number): Cover => {
    const chosen = [...forced, ...inner.map((j) => original[j]!)].sort((a, b) => a - b);
    const total = sumOf(chosen, cost);
    // With equality inside, the sum is the same; written so that rounding cannot make the two differ.
    const provenOptimal = innerBound >= innerCost;
    return { chosen, cost: total, lowerBound: provenOptimal ? total : base + innerBound, provenOptimal };
  };
  if (matrix.rows === 0) return answer([], 0, 0);

  const search = new CoverSearch(matrix, options.seed ?? 1);
  const place = new Map(Array.from(original, (j, k) => [j, k] as const));
  search.start((options.start ?? []).flatMap((j) => place.get(j) ?? []));
  const proof = options.proof ?? DEFAULT_PROOF;
  const perStep = 40 + (4 * matrix.rowColumns.length) / Math.max(1, matrix.columns);
  const steps = options.steps ?? Math.max(LEAST_STEPS, Math.ceil(DEFAULT_SEARCH / perStep / 8));
  if (proof <= 0) {
    search.run(steps, cheapest(matrix.cost));
    return answer(search.best, cheapest(matrix.cost), search.bestCost);
  }

  // A short search first: with a good cover at hand the relaxation converges faster and fixes more columns.
  const opening = Math.ceil(steps / 20);
  search.run(opening, cheapest(matrix.cost));
  const prover = new CoverProver(matrix, search.bestCost, proof / 2);
  let lowerBound = prover.bound(Math.min(600, Math.ceil(proof / 4 / (matrix.rowColumns.length + 1))));
  const equal = matrix.cost.every((c) => c === matrix.cost[0]);
  const hopeless = (): boolean =>
    equal && matrix.columns > 100 && search.bestCost - lowerBound > (HOPELESS_GAP - 0.5) * matrix.cost[0]!;

  // Branching before the long search: where it finishes there is nothing left to search for.
  let best: readonly number[] = search.best;
  let bestCost = search.bestCost;
  const branch = (): void => {
    if (bestCost <= lowerBound || hopeless()) return;
    prover.improve(bestCost);
    const outcome = prover.close();
    lowerBound = Math.max(lowerBound, outcome.lowerBound);
    const cost = outcome.better === null ? Infinity : sumOf(outcome.better, matrix.cost);
    if (outcome.better !== null && cost < bestCost) {
      best = outcome.better;
      bestCost = cost;
    }
  };
  branch();
  if (bestCost > lowerBound) {
    search.run(steps - opening, lowerBound);
    if (search.bestCost < bestCost) {
      best = search.best;
      bestCost = search.bestCost;
      prover.allow(proof / 2);
      branch();
    }
  }
  return answer(best, lowerBound, bestCost);
}

function check(instance: CoverInstance, options: CoverOptions): void {
  const { columns, rows, cost, fixed } = instance;
  if (!Number.isInteger(columns) || columns < 0)
    throw new RangeError(`${columns} columns: expected a whole number`);
  const inRange = (j: number, where: string): void => {
    if (!(Number.isInteger(j) && j >= 0 && j < columns)) {
      throw new RangeError(`column ${j} ${where}: expected a whole number from 0 to ${columns - 1}`);
    }
  };
  rows.forEach((row, r) => {
    if (row.length === 0) throw new RangeError(`row ${r} has no column that covers it: there is no cover`);
    for (const j of row) inRange(j, `of row ${r}`);
  });
  for (const j of fixed ?? []) inRange(j, 'among the fixed ones');
  for (const j of options.start ?? []) inRange(j, 'to start from');
  if (cost !== undefined && cost.length !== columns) {
    throw new RangeError(`${cost.length} costs for ${columns} columns: expected one for each`);
  }
  cost?.forEach((c, j) => {
    if (!(c > 0 && c < Infinity))
      throw new RangeError(`column ${j} costs ${c}: expected a finite number above 0`);
  });
}

function sumOf(columns: readonly number[], cost: ArrayLike<number>): number {
  let sum = 0;
  for (const j of columns) sum += cost[j]!;
  return sum;
}

function cheapest(cost: Float64Array): number {
  let least = Infinity;
  for (const c of cost) least = Math.min(least, c);
  return least;
}
