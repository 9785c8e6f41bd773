import type { CoverMatrix } from './cover-matrix.ts';

/** Outcome of a proof attempt. */
export interface CoverProof {
  /** No cover costs less. */
  readonly lowerBound: number;
  /** A cover better than the one given, when one turned up. */
  readonly better: number[] | null;
}

/**
 * Lower bound by Lagrangian relaxation (Beasley 1990) with subgradient steps, columns fixed by their reduced
 * costs, then branch and bound with the same bound at every node while the work allowed lasts.
 *
 * The relaxation gives every row a price; a column whose price for its rows exceeds its cost is taken. For
 * any prices Σ price + Σ min(0, reduced cost) is a lower bound, so rounding and early stops never hurt it.
 */
export class CoverProver {
  readonly #m: CoverMatrix;
  readonly #whole: boolean;
  readonly #free: Uint8Array;
  readonly #covered: Int32Array;
  #chosen: number[] = [];
  #spent = 0;
  #upper: number;
  #best: number[] | null = null;
  #work: number;
  readonly #trail: number[] = [];
  /** Scratch for the relaxation. */
  readonly #reduced: Float64Array;
  readonly #slack: Int32Array;

  /** @param upper cost of a known cover; @param work rough number of elementary operations allowed */
  constructor(matrix: CoverMatrix, upper: number, work: number) {
    this.#m = matrix;
    this.#whole = matrix.cost.every(Number.isInteger);
    this.#free = new Uint8Array(matrix.columns).fill(1);
    this.#covered = new Int32Array(matrix.rows);
    this.#upper = upper;
    this.#work = work;
    this.#reduced = new Float64Array(matrix.columns);
    this.#slack = new Int32Array(matrix.rows);
  }

  /** Bound of the whole instance after `rounds` subgradient steps; keeps its prices for {@link close}. */
  bound(rounds: number): number {
    const prices = this.#firstPrices();
    const bound = this.#relax(prices, rounds, 1);
    this.#root = { prices, bound };
    return this.#roundUp(bound);
  }

  #root: { prices: Float64Array; bound: number } | null = null;

  /** A better cover became known. */
  improve(upper: number): void {
    this.#upper = Math.min(this.#upper, upper);
  }

  /** Allows as much work again. */
  allow(work: number): void {
    this.#work = Math.max(0, this.#work) + work;
  }

  /** Branches until the bound is proven or the work is used up. */
  close(): CoverProof {
    const root = this.#root;
    if (root === null) throw new Error('the bound has to be computed first');
    const atRoot = this.#roundUp(root.bound);
    const finished = this.#explore(root.prices, root.bound);
    const lowerBound = finished ? this.#upper : Math.min(atRoot, this.#upper);
    return { lowerBound, better: this.#best };
  }

  #roundUp(bound: number): number {
    return this.#whole ? Math.ceil(bound - 1e-6) : bound;
  }

  /** Whether nothing below this bound can be better than the best known cover. */
  #hopeless(bound: number): boolean {
    return this.#whole ? this.#roundUp(bound) >= this.#upper : bound >= this.#upper - 1e-9 * this.#upper;
  }

  #firstPrices(): Float64Array {
    const { rows, cost, rowStart, rowColumns, columnStart } = this.#m;
    const prices = new Float64Array(rows);
    for (let r = 0; r < rows; r++) {
      let least = Infinity;
      for (let k = rowStart[r]!; k < rowStart[r + 1]!; k++) {
        const j = rowColumns[k]!;
        least = Math.min(least, cost[j]! / (columnStart[j + 1]! - columnStart[j]!));
      }
      prices[r] = least;
    }
    return prices;
  }

  /**
   * Improves the prices of the uncovered rows; returns the bound (with what is already spent) and leaves the
   * reduced costs that belong to the returned prices in #reduced.
   */
  #relax(prices: Float64Array, rounds: number, stride: number): number {
    const { rows, columns, cost, columnStart, columnRows } = this.#m;
    const current = prices.slice();
    let best = -Infinity;
    let factor = stride;
    let stale = 0;
    const evaluate = (at: Float64Array): number => {
      let sum = this.#spent;
      for (let r = 0; r < rows; r++) {
        if (this.#covered[r] === 0) {
          sum += at[r]!;
          this.#slack[r] = 1;
        }
      }
      for (let j = 0; j < columns; j++) {
        if (this.#free[j] === 0) continue;
        const first = columnStart[j]!;
        const last = columnStart[j + 1]!;
        let reduced = cost[j]!;
        for (let k = first; k < last; k++) {
          const r = columnRows[k]!;
          if (this.#covered[r] === 0) reduced -= at[r]!;
        }
        this.#reduced[j] = reduced;
        if (reduced < 0) {
          sum += reduced;
          for (let k = first; k < last; k++) this.#slack[columnRows[k]!]!--;
        }
      }
      this.#work -= this.#m.columnRows.length + rows;
      return sum;
    };
    for (let round = 0; round < rounds; round++) {
      const value = evaluate(current);
      if (value > best + 1e-9) {
        if (value > best + 1e-4 * Math.abs(best)) stale = 0;
        best = value;
        prices.set(current);
      }
      if (this.#hopeless(best)) break;
      if (++stale > 12) {
        stale = 0;
        factor /= 2;
        current.set(prices);
        if (factor < 0.004) break;
        continue;
      }
      let norm = 0;
      for (let r = 0; r < rows; r++) {
        if (this.#covered[r] === 0) norm += this.#slack[r]! * this.#slack[r]!;
      }
      if (norm === 0) break;
      // Aims a little above the best known cover, so that the step does not die before the bound is good.
      const step = (factor * (1.02 * this.#upper - value)) / norm;
      for (let r = 0; r < rows; r++) {
        if (this.#covered[r] === 0) current[r] = Math.max(0, current[r]! + step * this.#slack[r]!);
      }
    }
    const bound = evaluate(prices);
    return bound;
  }

  /** Depth first below the present choice; false when the work ran out. */
  #explore(inherited: Float64Array, known: number | null): boolean {
    const { rows, columns, cost, rowStart, rowColumns, columnStart, columnRows } = this.#m;
    const mark = this.#trail.length;
    const prices = inherited.slice();
    const bound = known ?? 0;
    let open = 0;
    for (let r = 0; r < rows; r++) if (this.#covered[r] === 0) open++;
    if (open === 0) {
      if (this.#spent < this.#upper - 1e-12 * this.#upper) {
        this.#upper = this.#spent;
        this.#best = this.#chosen.slice().sort((a, b) => a - b);
      }
      return true;
    }
    if (this.#work <= 0) return false;
    if (known === null) {
      // Cheapest bound first: the most any free column covers for its cost.
      let rate = 0;
      for (let j = 0; j < columns; j++) {
        if (this.#free[j] === 0) continue;
        let covers = 0;
        for (let k = columnStart[j]!; k < columnStart[j + 1]!; k++)
          if (this.#covered[columnRows[k]!] === 0) covers++;
        rate = Math.max(rate, covers / cost[j]!);
      }
      this.#work -= columnRows.length / 2;
      if (rate === 0 || this.#hopeless(this.#spent + open / rate)) return true;
    }
    const value = Math.max(bound, this.#relax(prices, known === null ? 25 : 1, 0.5));
    if (this.#hopeless(value)) return true;
    // Columns that would lift the bound to the best known cost are of no use below.
    const relaxed = value === bound && known !== null ? bound : value;
    for (let j = 0; j < columns; j++) {
      if (this.#free[j] === 1 && this.#reduced[j]! > 0 && this.#hopeless(relaxed + this.#reduced[j]!)) {
        this.#free[j] = 0;
        this.#trail.push(j);
      }
    }
    // Branch on the row with the fewest ways to cover it.
    let row = -1;
    let ways = Infinity;
    for (let r = 0; r < rows; r++) {
      if (this.#covered[r] !== 0) continue;
      let count = 0;
      for (let k = rowStart[r]!; k < rowStart[r + 1]!; k++) count += this.#free[rowColumns[k]!]!;
      if (count < ways || (count === ways && prices[r]! > prices[row]!)) {
        row = r;
        ways = count;
      }
    }
    this.#work -= columnRows.length;
    let finished = true;
    if (ways > 0) {
      const choices: number[] = [];
      for (let k = rowStart[row]!; k < rowStart[row + 1]!; k++) {
        if (this.#free[rowColumns[k]!] === 1) choices.push(rowColumns[k]!);
      }
      const reduced = new Map(choices.map((j) => [j, this.#reduced[j]!]));
      choices.sort((a, b) => reduced.get(a)! - reduced.get(b)! || a - b);
      for (const j of choices) {
        this.#free[j] = 0;
        this.#trail.push(j);
        this.#take(j, 1);
        finished = this.#explore(prices, null);
        this.#take(j, -1);
        if (!finished) break;
      }
    }
    while (this.#trail.length > mark) this.#free[this.#trail.pop()!] = 1;
    return finished;
  }

  #take(j: number, sign: 1 | -1): void {
    const { cost, columnStart, columnRows } = this.#m;
    for (let k = columnStart[j]!; k < columnStart[j + 1]!; k++) this.#covered[columnRows[k]!]! += sign;
    this.#spent += sign * cost[j]!;
    if (sign === 1) this.#chosen.push(j);
    else this.#chosen.pop();
  }
}
