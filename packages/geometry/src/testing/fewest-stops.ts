/** What {@link fewestStops} is asked. All in one unit, usually mm. */
export interface StopsProblem {
  readonly from: number;
  readonly to: number;
  /** Window of the first stop, measured from `from`. */
  readonly firstMin: number;
  readonly firstMax: number;
  /** Window of the last stop, measured back from `to`. */
  readonly lastMin: number;
  readonly lastMax: number;
  /** Greatest gap between neighbouring stops. */
  readonly pitchMax: number;
  /** Places where a stop may be; everywhere when left out. */
  readonly allowed?: readonly (readonly [number, number])[];
  /** Cost of a stop at x; among the fewest stops the least total cost wins. */
  readonly prefer?: (x: number) => number;
  /** Stops that are there already and stay, wherever they are. */
  readonly fixed?: readonly number[];
}

export type StopsResult =
  | { readonly stops: number[]; readonly lowerBound: number }
  | { readonly impossible: string; readonly at: number };

type Interval = readonly [number, number];

/** Slack of comparisons, so that a chain of exact pitches is not lost to rounding. */
const SLACK = 1e-9;
/** Candidate places for each stop at most, apart from the exact ends of intervals. */
const CANDIDATES = 160;

/**
 * An oracle of how sites are spaced along a line: the fewest stops so that the first and last lie in their windows and no gap exceeds the pitch.
 *
 * The number is exact: always going on to the farthest allowed place reaches as far as any chain of that many
 * stops. Among chains of that number a dynamic programme over the places that lie on some such chain (every
 * end of an interval, evenly divided chains, a fine raster) takes the least total `prefer`, then the most even
 * one, measured by ∫(distance to the nearest stop)² dx, then a symmetric one where it is as good.
 * Fixed stops are exempt from `allowed` and from the minimum edge distances.
 * @returns the stops in increasing order with the lower bound (equal to their number), or why there is no
 *   such chain and where it breaks
 * @throws RangeError for numbers that are not finite, windows turned round, or a pitch that is not positive
 */
export function fewestStops(problem: StopsProblem): StopsResult {
  check(problem);
  const { from, to, pitchMax } = problem;
  const low = from + problem.firstMin;
  const high = to - problem.lastMin;
  const places = usable(problem.allowed ?? [[low, high]], low, high);
  const fixed = [...new Set(problem.fixed ?? [])].sort((a, b) => a - b);
  for (const x of fixed) {
    if (x < from - SLACK || x > to + SLACK) {
      return { impossible: `the fixed stop at ${x} lies outside ${from} to ${to}`, at: x };
    }
  }

  // Fixed stops split the line into independent segments.
  const stops: number[] = [];
  const knots: (number | null)[] = [null, ...fixed, null];
  for (let i = 0; i + 1 < knots.length; i++) {
    const left = knots[i]!;
    const right = knots[i + 1]!;
    const starts: Interval = left === null ? [low, from + problem.firstMax] : [left, left + pitchMax];
    const ends: Interval = right === null ? [to - problem.lastMax, high] : [right - pitchMax, right];
    const reached =
      left === null && right !== null
        ? right <= from + problem.firstMax + SLACK
        : left !== null && right === null
          ? left >= to - problem.lastMax - SLACK
          : left !== null && right !== null && right - left <= pitchMax + SLACK;
    if (!reached) {
      const inside = places
        .map(([a, b]): Interval => [Math.max(a, left ?? a), Math.min(b, right ?? b)])
        .filter(([a, b]) => a <= b);
      const chain = solveStretch(problem, inside, starts, ends, left, right);
      if ('impossible' in chain) return chain;
      stops.push(...chain.stops);
    }
    if (right !== null) stops.push(right);
  }
  return { stops, lowerBound: stops.length };
}

function check(problem: StopsProblem): void {
  for (const key of ['from', 'to', 'firstMin', 'firstMax', 'lastMin', 'lastMax', 'pitchMax'] as const) {
    if (!Number.isFinite(problem[key]))
      throw new RangeError(`${key} ${problem[key]}: expected a finite number`);
  }
  const { from, to, firstMin, firstMax, lastMin, lastMax, pitchMax } = problem;
  if (!(from < to)) throw new RangeError(`line from ${from} to ${to}: expected an increasing range`);
  if (firstMin > firstMax)
    throw new RangeError(`first stop from ${firstMin} to ${firstMax}: the window is turned round`);
  if (lastMin > lastMax)
    throw new RangeError(`last stop from ${lastMin} to ${lastMax}: the window is turned round`);
  if (!(pitchMax > 0)) throw new RangeError(`greatest pitch ${pitchMax}: expected more than 0`);
  for (const [a, b] of problem.allowed ?? []) {
    if (!Number.isFinite(a) || !Number.isFinite(b) || a > b) {
      throw new RangeError(`allowed interval from ${a} to ${b}: expected two finite numbers in order`);
    }
  }
  for (const x of problem.fixed ?? []) {
    if (!Number.isFinite(x)) throw new RangeError(`fixed stop at ${x}: expected a finite number`);
  }
}

/** Allowed intervals clipped to the range, joined where they touch, in order. */
function usable(allowed: readonly Interval[], low: number, high: number): Interval[] {
  const clipped = allowed
    .map(([a, b]): Interval => [Math.max(a, low), Math.min(b, high)])
    .filter(([a, b]) => a <= b)
    .sort((p, q) => p[0] - q[0] || p[1] - q[1]);
  const joined: [number, number][] = [];
  for (const [a, b] of clipped) {
    const last = joined[joined.length - 1];
    if (last !== undefined && a <= last[1]) last[1] = Math.max(last[1], b);
    else joined.push([a, b]);
  }
  return joined;
}

/** A chain of stops with the first in `starts` and the last in `ends`, between two knots or edges. */
function solveStretch(
  problem: StopsProblem,
  places: readonly Interval[],
  starts: Interval,
  ends: Interval,
  left: number | null,
  right: number | null,
): { stops: number[] } | { impossible: string; at: number } {
  const { pitchMax } = problem;
  const first = clip(places, starts);
  if (first.length === 0) {
    return {
      impossible: `no allowed place for ${left === null ? 'the first stop' : `a stop after ${left}`} from ${starts[0]} to ${starts[1]}`,
      at: starts[0],
    };
  }
  if (clip(places, ends).length === 0) {
    return {
      impossible: `no allowed place for ${right === null ? 'the last stop' : `a stop before ${right}`} from ${ends[0]} to ${ends[1]}`,
      at: ends[0],
    };
  }
  // Forward: where the k-th stop can be.
  const forward: Interval[][] = [first];
  while (clip(forward[forward.length - 1]!, ends).length === 0) {
    const now = forward[forward.length - 1]!;
    const farthest = now[now.length - 1]![1];
    const next = reachable(places, now, pitchMax, 1);
    const reach = next.length === 0 ? -Infinity : next[next.length - 1]![1];
    if (!(reach > farthest + SLACK)) {
      return {
        impossible: `no allowed place within ${pitchMax} after ${farthest}`,
        at: farthest,
      };
    }
    forward.push(next);
  }
  // Backward: which of these places a chain of this many stops can use.
  const count = forward.length;
  const usableAt: Interval[][] = new Array(count);
  usableAt[count - 1] = clip(forward[count - 1]!, ends);
  for (let k = count - 2; k >= 0; k--) {
    usableAt[k] = reachable(forward[k]!, usableAt[k + 1]!, pitchMax, -1);
  }
  const candidates = gather(problem, usableAt, left, right);
  return { stops: polish(problem, choose(problem, candidates, left, right), usableAt, left, right) };
}

function clip(places: readonly Interval[], window: Interval): Interval[] {
  const out: Interval[] = [];
  for (const [a, b] of places) {
    const low = Math.max(a, window[0]);
    const high = Math.min(b, window[1]);
    if (low <= high) out.push([low, high]);
    else if (low <= high + SLACK) out.push([a > window[1] ? a : b, a > window[1] ? a : b]);
  }
  return out;
}

/** Parts of `places` within `pitch` ahead (sign 1) or behind (−1) of some place in `now`. */
function reachable(
  places: readonly Interval[],
  now: readonly Interval[],
  pitch: number,
  sign: 1 | -1,
): Interval[] {
  const spans = now.map(([a, b]): Interval => (sign === 1 ? [a, b + pitch] : [a - pitch, b]));
  return usable(
    spans.flatMap((span) => clip(places, span)),
    -Infinity,
    Infinity,
  );
}

/** Places worth trying for each stop. */
function gather(
  problem: StopsProblem,
  usableAt: readonly (readonly Interval[])[],
  left: number | null,
  right: number | null,
): number[][] {
  const count = usableAt.length;
  const sets = usableAt.map(() => new Set<number>());
  const offer = (k: number, x: number): void => {
    for (const [a, b] of usableAt[k]!) {
      if (x >= a && x <= b) sets[k]!.add(x);
      else if (x >= a - SLACK && x <= b + SLACK) sets[k]!.add(x < a ? a : b);
    }
  };
  for (let k = 0; k < count; k++) {
    const length = usableAt[k]!.reduce((sum, [a, b]) => sum + b - a, 0);
    const step = niceStep(length / CANDIDATES);
    for (const [a, b] of usableAt[k]!) {
      sets[k]!.add(a);
      sets[k]!.add(b);
      sets[k]!.add((a + b) / 2);
      if (step === 0) continue;
      // The raster counts from the nearer end, so that a mirrored problem has mirrored candidates.
      const middle = (problem.from + problem.to) / 2;
      for (
        let i = Math.ceil((a - problem.from) / step);
        problem.from + i * step <= Math.min(b, middle);
        i++
      ) {
        sets[k]!.add(problem.from + i * step);
      }
      for (let i = Math.ceil((problem.to - b) / step); problem.to - i * step >= Math.max(a, middle); i++) {
        sets[k]!.add(problem.to - i * step);
      }
    }
  }
  // Evenly divided chains between the ends of the first and the last stop's places.
  const [head, tail] = [left ?? problem.from, right ?? problem.to];
  const freeEnds = (left === null ? 0.5 : 1) + (right === null ? 0.5 : 1);
  // Unhindered, ∫distance² is least where an edge stretch is half a gap; hindered by the pitch, at full pitches.
  const ideal = (tail - head) / (count - 1 + freeEnds);
  const rest = tail - head - problem.pitchMax * (count - 1);
  const overhangs = [ideal / 2, left === null && right === null ? rest / 2 : rest - problem.pitchMax];
  const within = (k: number, xs: readonly number[]): number[] =>
    xs.filter((x) => usableAt[k]!.some(([a, b]) => x >= a - SLACK && x <= b + SLACK));
  const heads =
    left === null
      ? [
          ...endsOf(usableAt[0]!),
          ...within(
            0,
            overhangs.map((e) => head + e),
          ),
        ]
      : [left];
  const tails =
    right === null
      ? [
          ...endsOf(usableAt[count - 1]!),
          ...within(
            count - 1,
            overhangs.map((e) => tail - e),
          ),
        ]
      : [right];
  const offHead = left === null ? 0 : 1;
  const gaps = count - 1 + offHead + (right === null ? 0 : 1);
  if (gaps > 0) {
    for (const h of heads) {
      for (const t of tails) {
        for (let k = 0; k < count; k++) offer(k, h + ((t - h) * (k + offHead)) / gaps);
      }
    }
  }
  return sets.map((set) => [...set].sort((a, b) => a - b));
}

function endsOf(intervals: readonly Interval[]): number[] {
  return intervals.flatMap(([a, b]) => [a, (a + b) / 2, b]);
}

/** The least of 1, 2, 5 × 10ⁿ that is not below the wanted step; 0 for none. */
function niceStep(wanted: number): number {
  if (!(wanted > 1e-6)) return 0;
  let unit = 1;
  while (unit > wanted) unit /= 10;
  while (unit * 10 <= wanted) unit *= 10;
  for (const factor of [1, 2, 5, 10]) if (unit * factor >= wanted) return unit * factor;
  return unit * 10;
}

/** ∫x² over a stretch with a stop at one end (edge) or both ends (gap). */
const edgeCost = (length: number): number => (length * length * length) / 3;
const gapCost = (length: number): number => (length * length * length) / 12;

/** Least (prefer, unevenness) over chains of candidates; both add up, so the order of pairs is kept. */
function choose(
  problem: StopsProblem,
  candidates: readonly (readonly number[])[],
  left: number | null,
  right: number | null,
): number[] {
  const { pitchMax } = problem;
  const prefer = candidates.map((xs) => xs.map((x) => preferAt(problem, x)));
  let costs: { p: number; e: number }[] = candidates[0]!.map((x, i) => ({
    p: prefer[0]![i]!,
    e: left === null ? edgeCost(x - problem.from) : gapCost(x - left),
  }));
  const back: Int32Array[] = [];
  for (let k = 1; k < candidates.length; k++) {
    const xs = candidates[k]!;
    const before = candidates[k - 1]!;
    const link = new Int32Array(xs.length).fill(-1);
    const next: { p: number; e: number }[] = [];
    let low = 0;
    xs.forEach((x, j) => {
      while (low < before.length && before[low]! < x - pitchMax - SLACK) low++;
      let p = Infinity;
      let e = Infinity;
      for (let i = low; i < before.length && before[i]! < x; i++) {
        const c = costs[i]!;
        if (c.p > p) continue;
        const even = c.e + gapCost(x - before[i]!);
        if (c.p < p || even < e) {
          p = c.p;
          e = even;
          link[j] = i;
        }
      }
      next.push({ p: p + prefer[k]![j]!, e });
    });
    costs = next;
    back.push(link);
  }
  const xs = candidates[candidates.length - 1]!;
  let best = -1;
  let least = { p: Infinity, e: Infinity };
  xs.forEach((x, i) => {
    const c = costs[i]!;
    const e = c.e + (right === null ? edgeCost(problem.to - x) : gapCost(right - x));
    if (c.p < least.p || (c.p === least.p && e < least.e)) {
      best = i;
      least = { p: c.p, e };
    }
  });
  const stops: number[] = [];
  for (let k = candidates.length - 1; k >= 0; k--) {
    stops.push(candidates[k]![best]!);
    if (k > 0) best = back[k - 1]![best]!;
  }
  return stops.reverse();
}

/** Whole millionths, so that sums compare exactly. */
function preferAt(problem: StopsProblem, x: number): number {
  if (problem.prefer === undefined) return 0;
  const cost = problem.prefer(x);
  if (!Number.isFinite(cost)) throw new RangeError(`preference at ${x} is ${cost}: expected a finite number`);
  return Math.round(cost * 1e6);
}

/** Takes the mean of a chain and its mirror image where that is allowed and no worse: it is symmetric. */
function polish(
  problem: StopsProblem,
  stops: number[],
  usableAt: readonly (readonly Interval[])[],
  left: number | null,
  right: number | null,
): number[] {
  if ((left === null) !== (right === null)) return stops;
  const sum = left === null || right === null ? problem.from + problem.to : left + right;
  const even = stops.map((x, k) => (x + sum - stops[stops.length - 1 - k]!) / 2);
  const allowed = even.every((x, k) => usableAt[k]!.some(([a, b]) => x >= a && x <= b));
  const close = even.every((x, k) => k === 0 || x - even[k - 1]! <= problem.pitchMax + SLACK);
  const ends =
    (left === null || even[0]! - left <= problem.pitchMax + SLACK) &&
    (right === null || right - even[even.length - 1]! <= problem.pitchMax + SLACK);
  const total = (xs: readonly number[]): number => xs.reduce((s, x) => s + preferAt(problem, x), 0);
  return allowed && close && ends && total(even) <= total(stops) ? even : stops;
}
