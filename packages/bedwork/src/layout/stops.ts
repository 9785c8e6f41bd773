import { type Interval, type Intervals, intersect, stepLeft, stepRight } from '../lands/intervals.ts';

/** Lines (rows or columns) across a board from `from` to `to`, all in millimetres along one axis. */
export interface StopRules {
  readonly from: number;
  readonly to: number;
  /** Distance of the first line from `from`, and of the last from `to`: least and greatest. */
  readonly first: Interval;
  readonly last: Interval;
  /** Greatest gap between inner lines, and of the first and the last gap. */
  readonly pitch: number;
  readonly outerPitch: number;
  readonly leastGap: number;
  /** Where a line may be at all. */
  readonly allowed: Intervals;
}

export interface StopCost {
  /** What a line at `x` costs by itself: lands, dividers, nudges. */
  readonly at: (x: number) => number;
  /** Values worth trying. They are clipped to the allowed intervals. */
  readonly candidates: readonly number[];
  /** How much the deflection of a whole set of full gaps counts. */
  readonly evenness: number;
}

const FAR = Number.POSITIVE_INFINITY;
const MOST = 400;

/**
 * The least number of lines that obeys the rules, by exact propagation of the reachable intervals; null when no number
 * does. Any layout has at least this many rows (or columns), whatever the lands force on top.
 */
export function fewestLines(rules: StopRules): number | null {
  const last = lastIntervals(rules);
  let reach = firstIntervals(rules);
  if (intersect(reach, last).length > 0) return 1;
  for (let n = 2; n <= MOST && reach.length > 0; n++) {
    const outer = Math.min(rules.pitch, rules.outerPitch);
    const ending = intersect(stepRight(reach, rules.leastGap, outer), last);
    if (ending.length > 0) return n;
    reach = intersect(stepRight(reach, rules.leastGap, n === 2 ? outer : rules.pitch), rules.allowed);
  }
  return null;
}

/** Intervals that the k-th of n lines can have, k from 0, looking from the front and from the back; null when n lines cannot do. */
export function lineIntervals(rules: StopRules, n: number): Intervals[] | null {
  const forward: Intervals[] = [firstIntervals(rules)];
  for (let k = 1; k < n; k++) {
    forward.push(
      intersect(stepRight(forward[k - 1] as Intervals, rules.leastGap, gapLimit(rules, k, n)), rules.allowed),
    );
  }
  let behind = intersect(forward[n - 1] as Intervals, lastIntervals(rules));
  const out: Intervals[] = [];
  for (let k = n - 1; k >= 0; k--) {
    if (behind.length === 0) return null;
    out[k] = behind;
    if (k > 0) {
      behind = intersect(
        stepLeft(behind, rules.leastGap, gapLimit(rules, k, n)),
        forward[k - 1] as Intervals,
      );
    }
  }
  return out;
}

/** Limit of the gap before line `k` (1 … n−1) of `n`. */
export function gapLimit(rules: StopRules, k: number, n: number): number {
  return k === 1 || k === n - 1 ? Math.min(rules.pitch, rules.outerPitch) : rules.pitch;
}

/**
 * The best `n` lines: least total cost, where a gap costs as the plate's deflection does (fourth power, outer gaps
 * counted against the shorter span that a corner panel can bear). Symmetric about the middle when that costs no
 * more than `symmetryWorth`. Null when `n` lines cannot obey the rules.
 */
export function placeLines(
  rules: StopRules,
  n: number,
  cost: StopCost,
  outerShare: number,
  symmetryWorth: number,
): { readonly lines: readonly number[]; readonly cost: number; readonly symmetric: boolean } | null {
  const windows = lineIntervals(rules, n);
  if (windows === null) return null;
  const once = { ...cost, at: remembered(cost.at), candidates: ascending(cost.candidates) };
  const free = search(rules, n, once, outerShare, windows);
  const even = symmetricSearch(rules, n, once, outerShare, windows);
  if (even !== null && (free === null || even.cost <= free.cost + symmetryWorth)) {
    return { ...even, symmetric: true };
  }
  return free === null ? null : { ...free, symmetric: false };
}

function ascending(values: readonly number[]): readonly number[] {
  const sorted = Float64Array.from(values).sort();
  const out: number[] = [];
  let last = Number.NEGATIVE_INFINITY;
  for (let i = 0; i < sorted.length; i++) {
    const v = sorted[i] as number;
    if (v > last && v < FAR) {
      out.push(v);
      last = v;
    }
  }
  return out;
}

function remembered(at: (x: number) => number): (x: number) => number {
  const known = new Map<number, number>();
  return (x) => {
    let v = known.get(x);
    if (v === undefined) {
      v = at(x);
      known.set(x, v);
    }
    return v;
  };
}

/** The gap before line `k` that counts as full: an outer panel bears a shorter one. */
function gapSpan(rules: StopRules, k: number, n: number, share: number): number {
  return k === 1 || k === n - 1 ? rules.pitch * share : rules.pitch;
}

function gapCost(rules: StopRules, gap: number, k: number, n: number, weight: number, share: number): number {
  const r = gap / gapSpan(rules, k, n, share);
  return (weight * r * r * r * r) / n;
}

function search(
  rules: StopRules,
  n: number,
  cost: StopCost,
  share: number,
  windows: readonly Intervals[],
): { lines: number[]; cost: number } | null {
  const chain = oneChain(rules, n, windows);
  const places = windows.map((w, k) => clip(cost.candidates, w, chain[k]));
  const { at } = cost;
  let best: number[] = (places[0] as number[]).map(at);
  const back: number[][] = [];
  for (let k = 1; k < n; k++) {
    const here = places[k] as number[];
    const before = places[k - 1] as number[];
    const limit = gapLimit(rules, k, n) + 1e-9;
    const span = gapSpan(rules, k, n, share);
    const next: number[] = [];
    const from: number[] = [];
    let low = 0;
    for (const x of here) {
      while (low < before.length && x - (before[low] as number) > limit) low++;
      let least = FAR;
      let which = -1;
      for (let i = low; i < before.length; i++) {
        const gap = x - (before[i] as number);
        if (gap < rules.leastGap - 1e-9) break;
        // A gap never costs less than nothing.
        if ((best[i] as number) >= least) continue;
        const ratio = gap / span;
        const total = (best[i] as number) + (cost.evenness * ratio * ratio * ratio * ratio) / n;
        if (total < least - 1e-9) {
          least = total;
          which = i;
        }
      }
      next.push(which < 0 ? FAR : least + at(x));
      from.push(which);
    }
    best = next;
    back.push(from);
  }
  let end = -1;
  let total = FAR;
  for (const [i, v] of best.entries()) {
    if (v < total - 1e-9) {
      total = v;
      end = i;
    }
  }
  if (end < 0) return null;
  const lines: number[] = [];
  for (let k = n - 1; k >= 0; k--) {
    lines.unshift((places[k] as number[])[end] as number);
    if (k > 0) end = (back[k - 1] as number[])[end] as number;
  }
  return { lines, cost: total };
}

/** One set of lines that certainly obeys the rules, so that the search never misses what the intervals promise. */
function oneChain(rules: StopRules, n: number, windows: readonly Intervals[]): number[] {
  const out: number[] = [];
  let limit = FAR;
  let floor = -FAR;
  for (let k = n - 1; k >= 0; k--) {
    let pick = Number.NaN;
    for (const [a, b] of windows[k] as Intervals) {
      const top = Math.min(b, limit);
      if (top >= a - 1e-9 && top >= floor - 1e-9) pick = Math.max(a, top);
    }
    out[k] = pick;
    if (k > 0) {
      limit = pick - rules.leastGap;
      floor = pick - gapLimit(rules, k, n);
    }
  }
  return out;
}

/** Half of the lines decided, the other half mirrored. */
function symmetricSearch(
  rules: StopRules,
  n: number,
  cost: StopCost,
  share: number,
  windows: readonly Intervals[],
): { lines: number[]; cost: number } | null {
  const middle = (rules.from + rules.to) / 2;
  const half = Math.floor(n / 2);
  const odd = n % 2 === 1;
  const mirror = (x: number): number => rules.from + rules.to - x;
  if (odd && !inside(windows[half] as Intervals, middle)) return null;
  if (half === 0) return { lines: [middle], cost: cost.at(middle) };
  const places: number[][] = [];
  for (let k = 0; k < half; k++) {
    const own = windows[k] as Intervals;
    const other = windows[n - 1 - k] as Intervals;
    const mirrored = other.map(([a, b]) => [mirror(b), mirror(a)] as const).reverse();
    places.push(clip(cost.candidates, intersect(own, mirrored)).filter((x) => x < middle));
  }
  const pair = (x: number): number => cost.at(x) + cost.at(mirror(x));
  let best = (places[0] as number[]).map(pair);
  const back: number[][] = [];
  for (let k = 1; k < half; k++) {
    const here = places[k] as number[];
    const before = places[k - 1] as number[];
    const limit = gapLimit(rules, k, n) + 1e-9;
    const next: number[] = [];
    const from: number[] = [];
    for (const x of here) {
      let least = FAR;
      let which = -1;
      for (let i = 0; i < before.length; i++) {
        if ((best[i] as number) >= least) continue;
        const gap = x - (before[i] as number);
        if (gap > limit || gap < rules.leastGap - 1e-9) continue;
        const total = (best[i] as number) + 2 * gapCost(rules, gap, k, n, cost.evenness, share);
        if (total < least - 1e-9) {
          least = total;
          which = i;
        }
      }
      next.push(which < 0 ? FAR : least + pair(x));
      from.push(which);
    }
    best = next;
    back.push(from);
  }
  const limit = gapLimit(rules, half, n) + 1e-9;
  let end = -1;
  let total = FAR;
  for (const [i, x] of (places[half - 1] as number[]).entries()) {
    const gap = odd ? middle - x : 2 * (middle - x);
    if (gap > limit || gap < rules.leastGap - 1e-9) continue;
    const add = gapCost(rules, gap, half, n, cost.evenness, share) * (odd ? 2 : 1);
    const v = (best[i] as number) + add + (odd ? cost.at(middle) : 0);
    if (v < total - 1e-9) {
      total = v;
      end = i;
    }
  }
  if (end < 0) return null;
  const left: number[] = [];
  for (let k = half - 1; k >= 0; k--) {
    left.unshift((places[k] as number[])[end] as number);
    if (k > 0) end = (back[k - 1] as number[])[end] as number;
  }
  const right = left.map(mirror).reverse();
  return { lines: [...left, ...(odd ? [middle] : []), ...right], cost: total };
}

/** Candidates (ascending) inside the window, with the window's own ends and middles, ascending. */
function clip(candidates: readonly number[], window: Intervals, extra?: number): number[] {
  const out: number[] = [];
  for (const [a, b] of window) {
    out.push(a, b, (a + b) / 2);
    if (extra !== undefined && extra > a && extra < b) out.push(extra);
    let low = 0;
    let high = candidates.length;
    while (low < high) {
      const mid = (low + high) >> 1;
      if ((candidates[mid] as number) > a) high = mid;
      else low = mid + 1;
    }
    for (let i = low; i < candidates.length && (candidates[i] as number) < b; i++)
      out.push(candidates[i] as number);
  }
  const sorted = Float64Array.from(out).sort();
  const apart: number[] = [];
  for (let i = 0; i < sorted.length; i++) {
    const x = sorted[i] as number;
    if (i === 0 || x - (sorted[i - 1] as number) > 1e-7) apart.push(x);
  }
  return apart;
}

function inside(window: Intervals, x: number): boolean {
  return window.some(([a, b]) => x >= a - 1e-9 && x <= b + 1e-9);
}

function firstIntervals(rules: StopRules): Intervals {
  return intersect(rules.allowed, [[rules.from + rules.first[0], rules.from + rules.first[1]]]);
}

function lastIntervals(rules: StopRules): Intervals {
  return intersect(rules.allowed, [[rules.to - rules.last[1], rules.to - rules.last[0]]]);
}
