import { seededRandom } from './numbers.ts';
import { TwoWayTour } from './two-way-tour.ts';

/** Nearest places that are offered to each place. */
const NEIGHBOURS = 8;
/** Continuations that are tried at each depth of a chain of exchanges. */
const BREADTH: readonly number[] = [5, 3];
/** Longest stretch that a perturbation moves. */
const SEGMENT = 50;
/** What an exchange must gain at least, so that rounding never makes a loop. */
const LEAST_GAIN = 1e-9;
/** Places that are moved together at most. */
const LONGEST_RUN = 3;
/** Perturbations, where the caller names no number. */
const LEAST_STEPS = 2000;
const STEPS_A_PLACE = 25;
/** The list of touched places is cut back when this many of them are done. */
const QUEUE_SLACK = 4096;

/** A run of places a…b to be moved, with its neighbours in the tour. */
interface Run {
  readonly a: number;
  readonly b: number;
  readonly length: number;
  readonly before: number;
  readonly behind: number;
  /** What closing the tour without the run gains. */
  readonly freed: number;
}

/** Local search for a short closed tour over `n` places, `d[i·n + j]` the cost between i and j. */
export class TourSearch {
  readonly #n: number;
  readonly #d: Float64Array;
  readonly #width: number;
  readonly #near: Int32Array;
  readonly #tour: TwoWayTour;
  /** Reversals done, as (a, b, direction of reading), so that they can be taken back. */
  readonly #log: number[] = [];
  #reading = 0;
  /** Places whose neighbourhood changed and must be looked at again. */
  readonly #queue: number[] = [];
  readonly #queued: Uint8Array;
  /** Continuations of the chain at every depth, best first, and what they leave in hand; written over by the next chain. */
  readonly #picks = BREADTH.map((breadth) => new Int32Array(breadth));
  readonly #values = BREADTH.map((breadth) => new Float64Array(breadth));

  /** Nearest neighbour, then chains of exchanges from every place, then perturbation and repair. */
  static run(
    n: number,
    d: Float64Array,
    options: { readonly steps?: number; readonly seed?: number },
  ): number[] {
    const search = new TourSearch(n, d);
    search.#improveAll();
    search.#perturb(options.steps ?? Math.max(LEAST_STEPS, STEPS_A_PLACE * n), options.seed ?? 1);
    return search.#tour.order();
  }

  private constructor(n: number, d: Float64Array) {
    this.#n = n;
    this.#d = d;
    this.#width = Math.min(NEIGHBOURS, n - 1);
    this.#near = nearestPlaces(n, d, this.#width);
    this.#tour = new TwoWayTour(nearestNeighbour(n, d));
    this.#queued = new Uint8Array(n);
  }

  #improveAll(): void {
    for (const place of this.#tour.order()) this.#touch(place);
    this.#repair();
    this.#log.length = 0;
  }

  /** Exchanges two neighbouring stretches at random and repairs; what came out longer is taken back. */
  #perturb(steps: number, seed: number): void {
    const n = this.#n;
    const d = this.#d;
    const random = seededRandom(seed);
    const reach = Math.max(1, Math.min(SEGMENT, Math.floor((n - 2) / 3)));
    for (let k = 0; k < steps; k++) {
      // p [a…b] [c…e] q becomes p [c…e] [a…b] q.
      const at = Math.floor(random() * n);
      const la = 1 + Math.floor(random() * reach);
      const lc = 1 + Math.floor(random() * reach);
      const place = this.#tour.readForwards();
      const p = place(at);
      const a = place(at + 1);
      const b = place(at + la);
      const c = place(at + la + 1);
      const e = place(at + la + lc);
      const q = place(at + la + lc + 1);
      const worse =
        d[p * n + c]! + d[e * n + a]! + d[b * n + q]! - d[p * n + a]! - d[b * n + c]! - d[e * n + q]!;
      this.#reverse(a, e);
      this.#reverse(e, c);
      this.#reverse(b, a);
      for (const place of [p, a, b, c, e, q]) this.#touch(place);
      if (this.#repair() < worse - LEAST_GAIN) this.#undoTo(0);
      this.#log.length = 0;
    }
  }

  #reverse(a: number, b: number): void {
    this.#tour.reverse(a, b);
    this.#log.push(a, b, this.#reading);
  }

  /** Takes reversals back until the log is as long as it was. */
  #undoTo(length: number): void {
    const log = this.#log;
    while (log.length > length) {
      const direction = log.pop()!;
      const b = log.pop()!;
      const a = log.pop()!;
      // The stretch now reads b…a, or a…b when it has since come to be read the other way.
      if (direction === this.#reading) this.#tour.reverse(b, a);
      else this.#tour.reverse(a, b);
    }
  }

  #touch(place: number): void {
    if (this.#queued[place] === 0) {
      this.#queued[place] = 1;
      this.#queue.push(place);
    }
  }

  /** Improves the tour at every touched place until none is left; returns the total gain. */
  #repair(): number {
    const queue = this.#queue;
    let total = 0;
    for (let at = 0; at < queue.length; at++) {
      const a = queue[at]!;
      this.#queued[a] = 0;
      for (let gain = this.#improveAt(a); gain > 0; gain = this.#improveAt(a)) total += gain;
      if (at > QUEUE_SLACK && at * 2 > queue.length) {
        queue.splice(0, at + 1);
        at = -1;
      }
    }
    queue.length = 0;
    return total;
  }

  /** The first improvement that is found at `a`: a chain from one of its two edges, or a run moved elsewhere. 0 for none. */
  #improveAt(a: number): number {
    const n = this.#n;
    for (let side = 0; side < 2; side++) {
      const mark = this.#log.length;
      const b = this.#tour.next(a);
      const gain = this.#extend(a, b, this.#d[a * n + b]!, 0);
      if (gain > 0) this.#touch(b);
      else this.#undoTo(mark);
      // Reading the other way gives the other edge of `a` the same treatment.
      this.#tour.turn();
      this.#reading = 1 - this.#reading;
      if (gain > 0) return gain;
      const moved = this.#moveRun(a);
      if (moved > 0) return moved;
    }
    return 0;
  }

  /** Extends a chain: t1 keeps its place, the edge (t1, t2) is gone with `gain` in hand. Returns what was gained. */
  #extend(t1: number, t2: number, gain: number, depth: number): number {
    const last = depth + 1 >= BREADTH.length;
    const picks = this.#picks[depth]!;
    const values = this.#values[depth]!;
    const count = this.#continuations(t1, t2, gain, picks, values);
    for (let k = 0; k < count; k++) {
      const t3 = picks[k]!;
      const t4 = this.#tour.previous(t3);
      const closing = values[k]! - this.#d[t4 * this.#n + t1]!;
      // At the last depth there is nothing to look for behind an exchange that does not gain.
      if (last && closing <= LEAST_GAIN) continue;
      const mark = this.#log.length;
      this.#reverse(t2, t4);
      if (closing > LEAST_GAIN) {
        this.#touch(t1);
        this.#touch(t2);
        this.#touch(t3);
        this.#touch(t4);
      }
      // Take what there is unless the chain can gain still more.
      const here = this.#log.length;
      const more = last ? 0 : this.#extend(t1, t4, values[k]!, depth + 1);
      if (closing > LEAST_GAIN) {
        if (more > closing) return more;
        this.#undoTo(here);
        return closing;
      }
      if (more > 0) {
        this.#touch(t2);
        this.#touch(t3);
        this.#touch(t4);
        return more;
      }
      this.#undoTo(mark);
    }
    return 0;
  }

  /**
   * The best few places to go on to from t2, by what they leave in hand when the edge before them is opened: as many as
   * `picks` holds, written into it and `values`. Returns their number.
   */
  #continuations(t1: number, t2: number, gain: number, picks: Int32Array, values: Float64Array): number {
    const n = this.#n;
    const d = this.#d;
    const width = this.#width;
    const after = this.#tour.next(t2);
    let count = 0;
    for (let k = 0; k < width; k++) {
      const t3 = this.#near[t2 * width + k]!;
      const open = gain - d[t2 * n + t3]!;
      if (open <= LEAST_GAIN) break;
      if (t3 === t1 || t3 === after) continue;
      const value = open + d[t3 * n + this.#tour.previous(t3)]!;
      if (count === picks.length && values[count - 1]! >= value) continue;
      let at = count < picks.length ? count++ : count - 1;
      for (; at > 0 && values[at - 1]! < value; at--) {
        picks[at] = picks[at - 1]!;
        values[at] = values[at - 1]!;
      }
      picks[at] = t3;
      values[at] = value;
    }
    return count;
  }

  /** Moves a run of up to three places that begins at `a` between two neighbours elsewhere. Returns what was gained. */
  #moveRun(a: number): number {
    const n = this.#n;
    const d = this.#d;
    let b = a;
    for (let length = 1; length <= LONGEST_RUN; length++) {
      if (length > 1) b = this.#tour.next(b);
      const before = this.#tour.previous(a);
      const behind = this.#tour.next(b);
      if (before === b || behind === a || before === behind) return 0;
      const freed = d[before * n + a]! + d[b * n + behind]! - d[before * n + behind]!;
      if (freed <= LEAST_GAIN) continue;
      const run = { a, b, length, before, behind, freed };
      const gain = this.#placeRun(run, a, b) || this.#placeRun(run, b, a);
      if (gain > 0) return gain;
    }
    return 0;
  }

  /** Puts a run with its end `head` beside one of the nearest places of `head`, where that gains. */
  #placeRun(run: Run, head: number, tail: number): number {
    const n = this.#n;
    const d = this.#d;
    const width = this.#width;
    for (let k = 0; k < width; k++) {
      const c = this.#near[head * width + k]!;
      const direct = d[head * n + c]!;
      if (direct >= run.freed - LEAST_GAIN) break;
      if (this.#isInRun(run, c)) continue;
      for (let side = 0; side < 2; side++) {
        const e = side === 0 ? this.#tour.next(c) : this.#tour.previous(c);
        if (this.#isInRun(run, e)) continue;
        const gain = run.freed + d[c * n + e]! - direct - d[tail * n + e]!;
        if (gain <= LEAST_GAIN) continue;
        // Between c and e, `head` beside c. In reading order the place holds (c, e) or (e, c).
        if (side === 0) this.#relocate(run, c, e, head);
        else this.#relocate(run, e, c, tail);
        for (const place of [run.a, run.b, run.before, run.behind, c, e]) this.#touch(place);
        return gain;
      }
    }
    return 0;
  }

  #isInRun({ a, b, length }: Run, c: number): boolean {
    return c === a || c === b || (length === LONGEST_RUN && c === this.#tour.next(a));
  }

  /** Puts the run a…b between first and second (adjacent, in reading order), `leading` beside first. */
  #relocate({ a, b, before, behind }: Run, first: number, second: number, leading: number): void {
    // Reversing run and the stretch to its new place together moves the run; reversing the stretch again leaves
    // the run reversed; a third reversal restores its direction. The stretch lies behind or before the run.
    if (this.#tour.gap(b, first) <= this.#tour.gap(second, a)) {
      this.#reverse(a, first); // before first … behind b … a second
      this.#reverse(first, behind); // before behind … first b … a second
    } else {
      this.#reverse(second, b); // first b … a before … second behind
      this.#reverse(before, second); // first b … a second … before behind
    }
    if (leading === a) this.#reverse(b, a);
  }
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
