import { Remembered } from './remembered.ts';
import { TourSearch } from './tour-search.ts';

/** What a search for a short tour gives back. */
export interface Tour {
  /** Places in the order of the visit. */
  readonly order: number[];
  readonly cost: number;
  /** True only when the order was found by exhaustive dynamic programming or there is nothing to choose. */
  readonly proven: boolean;
}

export interface TourOptions {
  /** Come back to the first place (default false: an open path). */
  readonly closed?: boolean;
  /** Place to begin at; in a closed tour merely the place the order is written from. */
  readonly start?: number;
  /** Place to end at; open paths only. */
  readonly end?: number;
  /** Perturbations tried; default 25 for each place, at least 2000. */
  readonly steps?: number;
  readonly seed?: number;
}

/** Up to this many places the order is exact (Held & Karp 1962: n²·2ⁿ steps). */
const EXACT_UP_TO = 12;

/**
 * A short order to visit `count` places. Exact up to 12 places; beyond, nearest neighbour, then chains of
 * edge exchanges (Lin & Kernighan 1973, with segment moves), then many small perturbations, each kept only
 * when its repair is no longer than before. Deterministic: seeded, and limited by steps instead of time.
 * @param cost of going from place i to place j; must be symmetric, finite and not negative
 * @throws RangeError for a count, start or end out of range, an end in a closed tour, or a cost that is
 *   not finite, negative or not symmetric
 */
export function shortestTour(
  count: number,
  cost: (i: number, j: number) => number,
  options: TourOptions = {},
): Tour {
  const { closed = false, start, end } = options;
  checkRequest(count, options);
  const matrix = readCosts(count, cost);
  const finish = (order: number[], proven: boolean): Tour => {
    let sum = 0;
    for (let i = 1; i < order.length; i++) sum += matrix[order[i - 1]! * count + order[i]!]!;
    if (closed && count > 1) sum += matrix[order[count - 1]! * count + order[0]!]!;
    return { order, cost: sum, proven };
  };
  if (count <= 1) return finish(count === 1 ? [0] : [], true);
  if (count <= EXACT_UP_TO) return finish(heldKarp(count, matrix, closed, start, end), true);
  const order = closed
    ? searchedTour(count, matrix, options)
    : openOrder(searchedTour(count + 1, withDummy(count, matrix, start, end), options), count, start, end);
  return finish(closed ? turnTo(order, start ?? 0) : order, false);
}

interface Search {
  readonly n: number;
  readonly costs: Float64Array;
  readonly steps: number | undefined;
  readonly seed: number | undefined;
}

const searches = new Remembered<Search, readonly number[]>(
  8,
  (a, b) =>
    a.n === b.n && a.steps === b.steps && a.seed === b.seed && a.costs.every((c, i) => c === b.costs[i]),
);

/** A short closed tour by local search. */
function searchedTour(n: number, costs: Float64Array, { steps, seed }: TourOptions): number[] {
  const order = searches.answer({ n, costs, steps, seed }, () => TourSearch.run(n, costs, { steps, seed }));
  return [...order];
}

function checkRequest(count: number, { closed = false, start, end }: TourOptions): void {
  if (!Number.isInteger(count) || count < 0) throw new RangeError(`${count} places: expected a whole number`);
  for (const [name, place] of [['start', start] as const, ['end', end] as const]) {
    if (place !== undefined && !(Number.isInteger(place) && place >= 0 && place < count)) {
      throw new RangeError(`${name} ${place}: expected a place from 0 to ${count - 1}`);
    }
  }
  if (closed && end !== undefined)
    throw new RangeError('a closed tour has no end of its own: leave `end` out');
  if (!closed && start !== undefined && start === end && count > 1) {
    throw new RangeError(`start and end are both ${start}: expected two places, or a closed tour`);
  }
}

function readCosts(count: number, cost: (i: number, j: number) => number): Float64Array {
  const matrix = new Float64Array(count * count);
  for (let i = 0; i < count; i++) {
    for (let j = 0; j < i; j++) {
      const there = cost(i, j);
      const back = cost(j, i);
      if (!(there >= 0 && there < Infinity)) {
        throw new RangeError(`cost from ${i} to ${j} is ${there}: expected a finite number, not negative`);
      }
      if (!(Math.abs(there - back) <= 1e-9 * (1 + there))) {
        throw new RangeError(`cost from ${i} to ${j} is ${there} but back it is ${back}: expected the same`);
      }
      matrix[i * count + j] = there;
      matrix[j * count + i] = there;
    }
  }
  return matrix;
}

/** Dynamic programming over subsets: the best way to have visited a set and stand at one of its places. */
function heldKarp(
  n: number,
  matrix: Float64Array,
  closed: boolean,
  start: number | undefined,
  end: number | undefined,
): number[] {
  const origin = closed ? (start ?? 0) : start;
  const full = (1 << n) - 1;
  const best = new Float64Array(n << n).fill(Infinity);
  const from = new Int8Array(n << n).fill(-1);
  for (let i = 0; i < n; i++) if (origin === undefined || origin === i) best[(1 << i) * n + i] = 0;
  for (let set = 1; set <= full; set++) {
    for (let i = 0; i < n; i++) {
      const sofar = best[set * n + i]!;
      if (sofar === Infinity) continue;
      for (let j = 0; j < n; j++) {
        if (set & (1 << j)) continue;
        const next = (set | (1 << j)) * n + j;
        const sum = sofar + matrix[i * n + j]!;
        if (sum < best[next]!) {
          best[next] = sum;
          from[next] = i;
        }
      }
    }
  }
  let last = -1;
  let least = Infinity;
  for (let i = 0; i < n; i++) {
    if (!closed && end !== undefined && end !== i) continue;
    const sum = best[full * n + i]! + (closed ? matrix[i * n + origin!]! : 0);
    if (sum < least) {
      least = sum;
      last = i;
    }
  }
  const order: number[] = [];
  for (let set = full; last >= 0; ) {
    order.push(last);
    const previous = from[set * n + last]!;
    set &= ~(1 << last);
    last = previous;
  }
  return order.reverse();
}

/** An open path is a closed tour through one more place that costs nothing; wanted ends get a bonus there. */
function withDummy(n: number, matrix: Float64Array, start?: number, end?: number): Float64Array {
  const size = n + 1;
  const wide = new Float64Array(size * size);
  let greatest = 1;
  for (let i = 0; i < n; i++) {
    for (let j = 0; j < n; j++) {
      wide[i * size + j] = matrix[i * n + j]!;
      greatest = Math.max(greatest, matrix[i * n + j]!);
    }
  }
  // No exchange of a few edges can gain as much as one wanted end is worth.
  const bonus = -16 * greatest;
  for (const place of [start, end]) {
    if (place === undefined) continue;
    wide[place * size + n] = bonus;
    wide[n * size + place] = bonus;
  }
  return wide;
}

function openOrder(tour: number[], dummy: number, start?: number, end?: number): number[] {
  const path = turnTo(tour, dummy).slice(1);
  const first = path[0]!;
  const last = path[path.length - 1]!;
  const turned =
    (start !== undefined && last === start) ||
    (end !== undefined && first === end) ||
    (start === undefined && end === undefined && last < first);
  return turned ? path.reverse() : path;
}

function turnTo(tour: number[], place: number): number[] {
  const at = tour.indexOf(place);
  return [...tour.slice(at), ...tour.slice(0, at)];
}
