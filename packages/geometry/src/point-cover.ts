import { seededRandom } from './numbers.ts';
import type { Point } from './types.ts';

/** What a search over points is asked for. */
export interface PointCoverOptions {
  /** Two chosen points are never nearer to each other than this, mm. */
  readonly apart: number;
  readonly seed: number;
}

const EPS = 1e-6;
/** Rows of squares, more than any board has. */
const ROWS = 1e6;
const NONE: readonly number[] = [];

/**
 * Chooses a given number of candidate points so that every demand, a point with a reach of its own, has a chosen point
 * within its reach. Local search with row weights (the idea of Gao, Weise & Li, 2015), like {@link CoverSearch}, but
 * candidates and demands can be added while a choice stands, and chosen points keep their distance from each other.
 * Deterministic for a seed and a number of steps.
 */
export class PointCover {
  readonly #apart: number;
  readonly #random: () => number;
  readonly #xs: number[] = [];
  readonly #ys: number[] = [];
  readonly #halves: number[] = [];
  readonly #demandX: number[] = [];
  readonly #demandY: number[] = [];
  readonly #reach: number[] = [];
  /** Demands that a candidate meets, and candidates that meet a demand. */
  readonly #meets: number[][] = [];
  readonly #metBy: number[][] = [];
  readonly #chosen: number[] = [];
  readonly #placeInChosen: number[] = [];
  readonly #fixed: boolean[] = [];
  readonly #banned: boolean[] = [];
  /** How many chosen points a candidate is too near to. */
  readonly #crowded: number[] = [];
  /** Candidates nearer to each other than chosen points may be, found by squares of that side. */
  readonly #neighbours: number[][] = [];
  readonly #squares = new Map<number, number[]>();
  /** Demands that may be met from a cell, by cells of half the first demand's reach; in increasing order. */
  readonly #nearby = new Map<number, number[]>();
  /** Candidates by the same cells. */
  readonly #standing = new Map<number, number[]>();
  #cell = 0;
  #greatestHalf = 0;
  /** How many chosen points meet a demand, and the sum of their numbers: the number itself where it is one. */
  readonly #count: number[] = [];
  readonly #sum: number[] = [];
  readonly #weight: number[] = [];
  /** Not chosen: weight it would newly meet. Chosen: minus the weight that it alone meets. */
  readonly #score: number[] = [];
  readonly #movedAt: number[] = [];
  readonly #changedAt: number[] = [];
  readonly #open: number[] = [];
  readonly #placeInOpen: number[] = [];
  #clock = 0;
  #work = 0;

  constructor(options: PointCoverOptions) {
    this.#apart = options.apart;
    this.#random = seededRandom(options.seed);
  }

  get candidates(): number {
    return this.#xs.length;
  }

  get demands(): number {
    return this.#reach.length;
  }

  /** Elementary operations spent so far, about. */
  get work(): number {
    return this.#work;
  }

  /** True when every demand is met. */
  get complete(): boolean {
    return this.#open.length === 0;
  }

  point(i: number): Point {
    return [this.#xs[i]!, this.#ys[i]!];
  }

  /** Chosen candidates, in increasing order. */
  chosen(): number[] {
    return [...this.#chosen].sort((a, b) => a - b);
  }

  /** How many chosen candidates meet a demand. */
  count(demand: number): number {
    return this.#count[demand]!;
  }

  /** How long a demand stayed open during the search: the ones that are hard to meet weigh the most. */
  weight(demand: number): number {
    return this.#weight[demand]!;
  }

  /** Candidates that meet a demand. */
  metBy(demand: number): readonly number[] {
    return this.#metBy[demand]!;
  }

  /** Demands that a chosen candidate alone meets. */
  aloneMeets(i: number): number[] {
    return this.#meets[i]!.filter((d) => this.#count[d] === 1);
  }

  /**
   * @param half half the side of a square around the point: it then meets what its nearest point meets
   * @returns its number
   */
  addCandidate(p: Point, half = 0): number {
    const i = this.#xs.length;
    const [x, y] = p;
    const meets: number[] = [];
    let score = 0;
    for (const d of half > 0 ? this.#reach.keys() : this.#demandsAround(x, y)) {
      const dx = Math.max(0, Math.abs(this.#demandX[d]! - x) - half);
      const dy = Math.max(0, Math.abs(this.#demandY[d]! - y) - half);
      const reach = this.#reach[d]! + EPS;
      if (dx * dx + dy * dy > reach * reach) continue;
      meets.push(d);
      this.#metBy[d]!.push(i);
      if (this.#count[d] === 0) score += this.#weight[d]!;
    }
    this.#xs.push(x);
    this.#ys.push(y);
    this.#halves.push(half);
    this.#greatestHalf = Math.max(this.#greatestHalf, half);
    if (this.#cell > 0) this.#enter(i);
    this.#meets.push(meets);
    this.#placeInChosen.push(-1);
    this.#fixed.push(false);
    this.#banned.push(false);
    this.#score.push(score);
    this.#movedAt.push(0);
    this.#findNeighbours(i);
    this.#crowded.push(this.#inConflict(i).length);
    return i;
  }

  /** Adds a point that needs a chosen one within `reach`; its number is the number of demands before. */
  addDemand(p: Point, reach: number): void {
    const d = this.#reach.length;
    const within = (reach + EPS) * (reach + EPS);
    const met: number[] = [];
    let count = 0;
    let sum = 0;
    for (const i of this.#candidatesAround(p, reach + EPS)) {
      const dx = Math.max(0, Math.abs(this.#xs[i]! - p[0]) - this.#halves[i]!);
      const dy = Math.max(0, Math.abs(this.#ys[i]! - p[1]) - this.#halves[i]!);
      if (dx * dx + dy * dy > within) continue;
      met.push(i);
      this.#meets[i]!.push(d);
      if (this.#placeInChosen[i]! >= 0) {
        count++;
        sum += i;
      }
    }
    this.#demandX.push(p[0]);
    this.#demandY.push(p[1]);
    this.#reach.push(reach);
    this.#metBy.push(met);
    this.#count.push(count);
    this.#sum.push(sum);
    this.#weight.push(1);
    this.#changedAt.push(++this.#clock);
    this.#placeInOpen.push(-1);
    this.#enterCells(d);
    if (count === 0) {
      this.#openUp(d);
      for (const i of met) this.#score[i]!++;
    } else if (count === 1) this.#score[sum]!--;
  }

  #cellOf(x: number, y: number): number {
    return Math.floor(x / this.#cell) * ROWS + Math.floor(y / this.#cell);
  }

  #demandsAround(x: number, y: number): readonly number[] {
    return this.#cell === 0 ? NONE : (this.#nearby.get(this.#cellOf(x, y)) ?? NONE);
  }

  /** Candidates that may be within `reach` of a point, in increasing order. The first reach asked for sets the cells. */
  #candidatesAround([x, y]: Point, reach: number): readonly number[] {
    if (this.#cell === 0) {
      this.#cell = Math.max(1, reach / 2);
      for (let i = 0; i < this.#xs.length; i++) this.#enter(i);
    }
    const cell = this.#cell;
    const far = reach + this.#greatestHalf;
    const out: number[] = [];
    for (let i = Math.floor((x - far) / cell); i <= Math.floor((x + far) / cell); i++) {
      for (let j = Math.floor((y - far) / cell); j <= Math.floor((y + far) / cell); j++) {
        for (const k of this.#standing.get(i * ROWS + j) ?? NONE) out.push(k);
      }
    }
    return out.sort((a, b) => a - b);
  }

  #enter(i: number): void {
    const key = this.#cellOf(this.#xs[i]!, this.#ys[i]!);
    const known = this.#standing.get(key);
    if (known === undefined) this.#standing.set(key, [i]);
    else known.push(i);
  }

  /** Enters a demand in every cell that its reach touches. */
  #enterCells(d: number): void {
    const reach = this.#reach[d]! + EPS;
    const cell = this.#cell;
    const [x, y] = [this.#demandX[d]!, this.#demandY[d]!];
    for (let i = Math.floor((x - reach) / cell); i <= Math.floor((x + reach) / cell); i++) {
      for (let j = Math.floor((y - reach) / cell); j <= Math.floor((y + reach) / cell); j++) {
        const key = i * ROWS + j;
        const known = this.#nearby.get(key);
        if (known === undefined) this.#nearby.set(key, [d]);
        else known.push(d);
      }
    }
  }

  /** Chooses a candidate for good. Candidates too near to it are never chosen from now on. */
  fix(i: number): void {
    if (this.#placeInChosen[i]! < 0) this.#add(i);
    this.#fixed[i] = true;
    this.ban(this.#neighbours[i]!, true);
  }

  /** Candidates that the search may not choose, in addition to those too near to a fixed one. */
  ban(candidates: Iterable<number>, banned: boolean): void {
    for (const i of candidates) this.#banned[i] = banned;
  }

  /** Replaces what is chosen, the fixed ones excepted. */
  choose(candidates: readonly number[]): void {
    for (const i of [...this.#chosen]) if (!this.#fixed[i]) this.#remove(i);
    for (const i of candidates) if (this.#placeInChosen[i]! < 0) this.#add(i);
    this.#weight.fill(1);
    this.#rescore();
  }

  /** Adds the candidate that newly meets the most, until every demand is met or no candidate may help. */
  fill(): void {
    while (this.#open.length > 0) {
      let pick = -1;
      for (let i = 0; i < this.#xs.length; i++) {
        if (this.#banned[i] || this.#placeInChosen[i]! >= 0 || !(this.#score[i]! > 0)) continue;
        if ((pick < 0 || this.#score[i]! > this.#score[pick]!) && this.#crowded[i] === 0) pick = i;
      }
      if (pick < 0) return;
      this.#add(pick);
    }
  }

  /** Takes out chosen candidates that meet nothing alone, one by one. */
  thin(): void {
    for (const i of [...this.#chosen].reverse()) {
      if (!this.#fixed[i] && this.#meets[i]!.every((d) => this.#count[d]! > 1)) this.#remove(i);
    }
  }

  /**
   * Looks for a choice of at most `size` candidates, fixed ones included, that meets every demand.
   * @param work elementary operations allowed, about
   * @returns true when it stands; false when the work was used up without one
   */
  search(size: number, work: number): boolean {
    while (this.#chosen.length > size) {
      const out = this.#cheapest(-1);
      if (out < 0) return false;
      this.#remove(out);
    }
    let last = -1;
    const end = this.#work + work;
    while (this.#open.length > 0 && this.#work < end) {
      if (this.#chosen.length >= size) {
        const out = this.#cheapest(last);
        if (out < 0) return false;
        this.#remove(out);
      }
      const demand = this.#open[Math.floor(this.#random() * this.#open.length)]!;
      const pick = this.#best(this.#metBy[demand]!);
      if (pick >= 0) {
        if (this.#crowded[pick]! > 0) for (const j of this.#inConflict(pick)) this.#remove(j);
        this.#add(pick);
        last = pick;
      }
      this.#raise();
    }
    return this.#open.length === 0;
  }

  /** The candidate that is worth most, of those that may be chosen; −1 without any. */
  #best(among: readonly number[]): number {
    let pick = -1;
    let value = Number.NEGATIVE_INFINITY;
    this.#work += 2 * among.length;
    for (const i of among) {
      if (this.#banned[i] || this.#placeInChosen[i]! >= 0 || this.#blocked(i)) continue;
      let gain = this.#score[i]!;
      if (gain < value) continue;
      if (this.#crowded[i]! > 0)
        for (const j of this.#inConflict(i)) gain += this.#fixed[j] ? -1e9 : this.#score[j]!;
      if (gain > value || (gain === value && this.#movedAt[i]! < this.#movedAt[pick]!)) {
        pick = i;
        value = gain;
      }
    }
    return value > -1e8 ? pick : -1;
  }

  /** Taken out before, and nothing around it has changed since. */
  #blocked(i: number): boolean {
    const since = this.#movedAt[i]!;
    if (since === 0) return false;
    for (const d of this.#meets[i]!) if (this.#changedAt[d]! > since) return false;
    return true;
  }

  #inConflict(i: number): number[] {
    const out: number[] = [];
    for (const j of this.#neighbours[i]!) if (this.#placeInChosen[j]! >= 0) out.push(j);
    return out;
  }

  #tooNear(i: number, j: number): boolean {
    const dx = this.#xs[i]! - this.#xs[j]!;
    const dy = this.#ys[i]! - this.#ys[j]!;
    return dx * dx + dy * dy < this.#apart * this.#apart;
  }

  /** Candidates nearer to a new one than chosen points may be, and from now on it to them. */
  #findNeighbours(i: number): void {
    const own: number[] = [];
    this.#neighbours.push(own);
    if (!(this.#apart > 0)) return;
    const column = Math.floor(this.#xs[i]! / this.#apart);
    const row = Math.floor(this.#ys[i]! / this.#apart);
    for (let dx = -1; dx <= 1; dx++) {
      for (let dy = -1; dy <= 1; dy++) {
        for (const j of this.#squares.get((column + dx) * ROWS + row + dy) ?? []) {
          if (!this.#tooNear(i, j)) continue;
          own.push(j);
          this.#neighbours[j]!.push(i);
        }
      }
    }
    const key = column * ROWS + row;
    const square = this.#squares.get(key);
    if (square === undefined) this.#squares.set(key, [i]);
    else square.push(i);
  }

  /** The chosen candidate whose loss hurts least; `kept` and fixed ones stay. */
  #cheapest(kept: number): number {
    let pick = -1;
    let value = Number.NEGATIVE_INFINITY;
    for (const i of this.#chosen) {
      if (this.#fixed[i] || (i === kept && this.#chosen.length > 1)) continue;
      const loss = this.#score[i]!;
      if (loss > value || (loss === value && this.#movedAt[i]! < this.#movedAt[pick]!)) {
        pick = i;
        value = loss;
      }
    }
    return pick;
  }

  #raise(): void {
    for (const d of this.#open) {
      this.#work += this.#metBy[d]!.length;
      this.#weight[d]!++;
      for (const i of this.#metBy[d]!) this.#score[i]!++;
    }
  }

  #add(i: number): void {
    const now = ++this.#clock;
    const own = this.#score[i]!;
    this.#work += this.#meets[i]!.length;
    for (const d of this.#meets[i]!) {
      const count = ++this.#count[d]!;
      if (count === 1) {
        this.#work += this.#metBy[d]!.length;
        const w = this.#weight[d]!;
        for (const j of this.#metBy[d]!) this.#score[j]! -= w;
        this.#close(d);
      } else if (count === 2) this.#score[this.#sum[d]!]! += this.#weight[d]!;
      this.#sum[d]! += i;
      this.#changedAt[d] = now;
    }
    this.#score[i] = -own;
    this.#movedAt[i] = now;
    this.#placeInChosen[i] = this.#chosen.length;
    this.#chosen.push(i);
    for (const j of this.#neighbours[i]!) this.#crowded[j]!++;
  }

  #remove(i: number): void {
    const now = ++this.#clock;
    const own = this.#score[i]!;
    this.#work += this.#meets[i]!.length;
    for (const d of this.#meets[i]!) {
      const count = --this.#count[d]!;
      this.#sum[d]! -= i;
      if (count === 0) {
        this.#work += this.#metBy[d]!.length;
        const w = this.#weight[d]!;
        for (const j of this.#metBy[d]!) this.#score[j]! += w;
        this.#openUp(d);
      } else if (count === 1) this.#score[this.#sum[d]!]! -= this.#weight[d]!;
      this.#changedAt[d] = now;
    }
    this.#score[i] = -own;
    this.#movedAt[i] = now + 0.5;
    const at = this.#placeInChosen[i]!;
    const last = this.#chosen.pop()!;
    if (last !== i) {
      this.#chosen[at] = last;
      this.#placeInChosen[last] = at;
    }
    this.#placeInChosen[i] = -1;
    for (const j of this.#neighbours[i]!) this.#crowded[j]!--;
  }

  #openUp(d: number): void {
    this.#placeInOpen[d] = this.#open.length;
    this.#open.push(d);
  }

  #close(d: number): void {
    const at = this.#placeInOpen[d]!;
    const last = this.#open.pop()!;
    if (last !== d) {
      this.#open[at] = last;
      this.#placeInOpen[last] = at;
    }
    this.#placeInOpen[d] = -1;
  }

  /** Scores from the weights, afresh. */
  #rescore(): void {
    for (let i = 0; i < this.#xs.length; i++) {
      const inside = this.#placeInChosen[i]! >= 0;
      let score = 0;
      for (const d of this.#meets[i]!) {
        if (!inside && this.#count[d] === 0) score += this.#weight[d]!;
        if (inside && this.#count[d] === 1) score -= this.#weight[d]!;
      }
      this.#score[i] = score;
    }
  }
}
