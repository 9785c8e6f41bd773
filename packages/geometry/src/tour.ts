import { seededRandom } from './numbers.ts';
import type { Point } from './types.ts';

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
const NEIGHBOURS = 8;
/** Width of the search at each depth of a chain of exchanges. */
const BREADTH: readonly number[] = [5, 3];
/** Longest stretch a perturbation moves. */
const SEGMENT = 50;

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
    ? search(count, matrix, options)
    : openOrder(search(count + 1, withDummy(count, matrix, start, end), options), count, start, end);
  return finish(closed ? turnTo(order, start ?? 0) : order, false);
}

/** {@link shortestTour} over points with the straight distance as cost. */
export function tourFromPoints(points: readonly Point[], options: TourOptions = {}): Tour {
  return shortestTour(
    points.length,
    (i, j) => {
      const dx = points[i]![0] - points[j]![0];
      const dy = points[i]![1] - points[j]![1];
      return Math.sqrt(dx * dx + dy * dy);
    },
    options,
  );
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

/** Nearest neighbour, then chains of exchanges from every place, then perturbation and repair. */
function search(n: number, d: Float64Array, options: TourOptions): number[] {
  const width = Math.min(NEIGHBOURS, n - 1);
  const near = nearestPlaces(n, d, width);
  const tour = nearestNeighbour(n, d);
  const pos = new Int32Array(n);
  for (let i = 0; i < n; i++) pos[tour[i]!] = i;
  // The array may be read backwards; reversing the shorter side of a flip then keeps its meaning.
  let backwards = false;
  const next = (a: number): number => {
    const p = pos[a]!;
    if (backwards) return tour[p === 0 ? n - 1 : p - 1]!;
    return tour[p === n - 1 ? 0 : p + 1]!;
  };
  const previous = (a: number): number => {
    const p = pos[a]!;
    if (backwards) return tour[p === n - 1 ? 0 : p + 1]!;
    return tour[p === 0 ? n - 1 : p - 1]!;
  };
  /** Flips done, as (a, b, direction of reading), so that they can be taken back. */
  const log: number[] = [];
  let reading = 0;
  /** Turns the path from a to b (in reading direction) round. */
  const flip = (a: number, b: number): void => {
    let i = backwards ? pos[b]! : pos[a]!;
    let j = backwards ? pos[a]! : pos[b]!;
    let inner = j - i + 1;
    if (inner <= 0) inner += n;
    if (2 * inner > n) {
      const k = i;
      i = j + 1 === n ? 0 : j + 1;
      j = k === 0 ? n - 1 : k - 1;
      inner = n - inner;
      backwards = !backwards;
    }
    for (let m = inner >> 1; m > 0; m--) {
      const x = tour[i]!;
      const y = tour[j]!;
      tour[i] = y;
      pos[y] = i;
      tour[j] = x;
      pos[x] = j;
      if (++i === n) i = 0;
      if (--j < 0) j = n - 1;
    }
  };
  const step = (a: number, b: number): void => {
    flip(a, b);
    log.push(a, b, reading);
  };
  const undoTo = (length: number): void => {
    while (log.length > length) {
      const direction = log.pop()!;
      const b = log.pop()!;
      const a = log.pop()!;
      // The stretch now reads b…a, or a…b when it has since come to be read the other way.
      if (direction === reading) flip(b, a);
      else flip(a, b);
    }
  };

  const queue: number[] = [];
  const queued = new Uint8Array(n);
  const touch = (a: number): void => {
    if (queued[a] === 0) {
      queued[a] = 1;
      queue.push(a);
    }
  };
  const EPS = 1e-9;

  /** Extends a chain: t1 keeps its place, the edge (t1, t2) is gone with `gain` in hand. Returns what was gained. */
  const extend = (t1: number, t2: number, gain: number, depth: number): number => {
    const breadth = BREADTH[depth] ?? 0;
    if (breadth === 0) return 0;
    // The best few continuations by what they leave in hand.
    const after = next(t2);
    const picks: number[] = [];
    const values: number[] = [];
    for (let k = 0; k < width; k++) {
      const t3 = near[t2 * width + k]!;
      const open = gain - d[t2 * n + t3]!;
      if (open <= EPS) break;
      if (t3 === t1 || t3 === after) continue;
      const t4 = previous(t3);
      const value = open + d[t3 * n + t4]!;
      let at = picks.length;
      while (at > 0 && values[at - 1]! < value) at--;
      if (at >= breadth) continue;
      picks.splice(at, 0, t3);
      values.splice(at, 0, value);
      if (picks.length > breadth) {
        picks.pop();
        values.pop();
      }
    }
    for (let k = 0; k < picks.length; k++) {
      const t3 = picks[k]!;
      const t4 = previous(t3);
      const mark = log.length;
      const closing = values[k]! - d[t4 * n + t1]!;
      // At the last depth there is nothing to look for behind an exchange that does not gain.
      if (closing <= EPS && depth + 1 >= BREADTH.length) continue;
      step(t2, t4);
      if (closing > EPS) {
        // Take what there is unless the chain can gain still more.
        touch(t1);
        touch(t2);
        touch(t3);
        touch(t4);
        const here = log.length;
        const more = extend(t1, t4, values[k]!, depth + 1);
        if (more > closing) return more;
        undoTo(here);
        return closing;
      }
      const more = extend(t1, t4, values[k]!, depth + 1);
      if (more > 0) {
        touch(t2);
        touch(t3);
        touch(t4);
        return more;
      }
      undoTo(mark);
    }
    return 0;
  };

  /** Moves a run of up to three places that begins at `a` between two neighbours elsewhere. */
  const moveRun = (a: number): number => {
    let b = a;
    for (let length = 1; length <= 3; length++) {
      if (length > 1) b = next(b);
      const before = previous(a);
      const behind = next(b);
      if (before === b || behind === a || before === behind) return 0;
      const freed = d[before * n + a]! + d[b * n + behind]! - d[before * n + behind]!;
      if (freed <= EPS) continue;
      for (let end = 0; end < 2; end++) {
        const head = end === 0 ? a : b;
        const tail = end === 0 ? b : a;
        for (let k = 0; k < width; k++) {
          const c = near[head * width + k]!;
          const direct = d[head * n + c]!;
          if (direct >= freed - EPS) break;
          if (inRun(a, b, length, c)) continue;
          for (let side = 0; side < 2; side++) {
            const e = side === 0 ? next(c) : previous(c);
            if (inRun(a, b, length, e)) continue;
            const gain = freed + d[c * n + e]! - direct - d[tail * n + e]!;
            if (gain <= EPS) continue;
            // Between c and e, `head` beside c. In reading order the place holds (c,e) or (e,c).
            const first = side === 0 ? c : e;
            const second = side === 0 ? e : c;
            const leading = side === 0 ? head : tail;
            relocate(a, b, before, behind, first, second, leading);
            for (const place of [a, b, before, behind, c, e]) touch(place);
            return gain;
          }
        }
      }
    }
    return 0;
  };
  const inRun = (a: number, b: number, length: number, c: number): boolean =>
    c === a || c === b || (length === 3 && c === next(a));

  /** Puts the run a…b between first and second (adjacent, in reading order), `leading` beside first. */
  const relocate = (
    a: number,
    b: number,
    before: number,
    behind: number,
    first: number,
    second: number,
    leading: number,
  ): void => {
    // Turning run and the stretch to its new place round together moves the run; turning the stretch back leaves
    // the run reversed; a third turn restores its direction. The stretch lies behind or before the run.
    const ahead = forwardGap(b, first) <= forwardGap(second, a);
    if (ahead) {
      step(a, first); // before first … behind b … a second
      step(first, behind); // before behind … first b … a second
      if (leading === a) step(b, a);
    } else {
      step(second, b); // first b … a before … second behind
      step(before, second); // first b … a second … before behind
      if (leading === a) step(b, a);
    }
  };
  const forwardGap = (a: number, b: number): number => {
    const gap = backwards ? pos[a]! - pos[b]! : pos[b]! - pos[a]!;
    return gap < 0 ? gap + n : gap;
  };

  /** Works the queue off; returns the total gain. */
  const repair = (): number => {
    let total = 0;
    for (let at = 0; at < queue.length; at++) {
      const a = queue[at]!;
      queued[a] = 0;
      for (let found = true; found; ) {
        found = false;
        for (let side = 0; side < 2 && !found; side++) {
          const mark = log.length;
          const b = next(a);
          const gain = extend(a, b, d[a * n + b]!, 0);
          if (gain > 0) {
            touch(b);
            total += gain;
            found = true;
          } else {
            undoTo(mark);
          }
          // Reading the array the other way gives the other edge of `a` the same treatment.
          backwards = !backwards;
          reading = 1 - reading;
          if (found) break;
          const moved = moveRun(a);
          if (moved > 0) {
            total += moved;
            found = true;
          }
        }
      }
      if (at > 4096 && at * 2 > queue.length) {
        queue.splice(0, at + 1);
        at = -1;
      }
    }
    queue.length = 0;
    return total;
  };

  for (let i = 0; i < n; i++) touch(tour[i]!);
  repair();
  log.length = 0;

  const random = seededRandom(options.seed ?? 1);
  const steps = options.steps ?? Math.max(2000, 25 * n);
  const reach = Math.max(1, Math.min(SEGMENT, Math.floor((n - 2) / 3)));
  for (let k = 0; k < steps; k++) {
    // Exchange two neighbouring stretches: p [a…b] [c…e] q becomes p [c…e] [a…b] q.
    const at = Math.floor(random() * n);
    const la = 1 + Math.floor(random() * reach);
    const lc = 1 + Math.floor(random() * reach);
    const place = (i: number): number => tour[(at + i) % n]!;
    backwards = false;
    const p = place(0);
    const a = place(1);
    const b = place(la);
    const c = place(la + 1);
    const e = place(la + lc);
    const q = place(la + lc + 1);
    const worse =
      d[p * n + c]! + d[e * n + a]! + d[b * n + q]! - d[p * n + a]! - d[b * n + c]! - d[e * n + q]!;
    step(a, e);
    step(e, c);
    step(b, a);
    for (const place of [p, a, b, c, e, q]) touch(place);
    if (repair() < worse - EPS) undoTo(0);
    log.length = 0;
  }
  const order = Array.from(tour);
  return backwards ? order.reverse() : order;
}

function nearestPlaces(n: number, d: Float64Array, width: number): Int32Array {
  const near = new Int32Array(n * width);
  for (let i = 0; i < n; i++) {
    // Insertion into a short sorted list; ties keep the lower number first.
    let filled = 0;
    const base = i * width;
    for (let j = 0; j < n; j++) {
      if (j === i) continue;
      const value = d[i * n + j]!;
      if (filled === width && value >= d[i * n + near[base + width - 1]!]!) continue;
      let at = filled < width ? filled++ : width - 1;
      while (at > 0 && d[i * n + near[base + at - 1]!]! > value) {
        near[base + at] = near[base + at - 1]!;
        at--;
      }
      near[base + at] = j;
    }
  }
  return near;
}

function nearestNeighbour(n: number, d: Float64Array): Int32Array {
  const tour = new Int32Array(n);
  const used = new Uint8Array(n);
  used[0] = 1;
  for (let k = 1; k < n; k++) {
    const from = tour[k - 1]!;
    let best = -1;
    for (let j = 0; j < n; j++) {
      if (used[j] === 0 && (best < 0 || d[from * n + j]! < d[from * n + best]!)) best = j;
    }
    tour[k] = best;
    used[best] = 1;
  }
  return tour;
}
