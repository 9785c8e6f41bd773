import type { CoverMatrix } from './cover-matrix.ts';
import { seededRandom } from './numbers.ts';

/**
 * Local search with row weights (the idea of Gao, Weise & Li, "An efficient local search heuristic with row
 * weighting for the unicost set covering problem", 2015): a cover loses a column, then columns are exchanged
 * one by one until everything is covered again, and rows that stay uncovered for long grow heavier. Works for
 * any positive costs by gain per cost. Deterministic for a seed and a number of steps.
 */
export class CoverSearch {
  readonly #m: CoverMatrix;
  readonly #unicost: boolean;
  readonly #random: () => number;
  readonly #inside: Uint8Array;
  readonly #covered: Int32Array;
  /** Exclusive-or of the chosen columns that cover a row: the column itself where there is only one. */
  readonly #coverers: Int32Array;
  readonly #weight: Float64Array;
  /** Outside: weight a column would newly cover. Inside: minus the weight only it covers. */
  readonly #score: Float64Array;
  readonly #movedAt: Float64Array;
  readonly #rowChangedAt: Float64Array;
  readonly #blocked: Uint8Array;
  readonly #uncovered: Int32Array;
  readonly #uncoveredAt: Int32Array;
  #open: number;
  readonly #members: Int32Array;
  readonly #memberAt: Int32Array;
  #size = 0;
  #total = 0;
  #clock = 0;
  #tabu: number[] = [];
  best: number[] = [];
  bestCost = Infinity;

  constructor(matrix: CoverMatrix, seed: number) {
    const { rows, columns } = matrix;
    this.#m = matrix;
    this.#unicost = matrix.cost.every((c) => c === matrix.cost[0]);
    this.#random = seededRandom(seed);
    this.#inside = new Uint8Array(columns);
    this.#covered = new Int32Array(rows);
    this.#coverers = new Int32Array(rows);
    this.#weight = new Float64Array(rows).fill(1);
    this.#score = new Float64Array(columns);
    for (let j = 0; j < columns; j++) this.#score[j] = matrix.columnStart[j + 1]! - matrix.columnStart[j]!;
    this.#movedAt = new Float64Array(columns);
    this.#rowChangedAt = new Float64Array(rows);
    this.#blocked = new Uint8Array(columns);
    this.#uncovered = Int32Array.from({ length: rows }, (_, r) => r);
    this.#uncoveredAt = Int32Array.from({ length: rows }, (_, r) => r);
    this.#open = rows;
    this.#members = new Int32Array(columns);
    this.#memberAt = new Int32Array(columns);
  }

  /** Starts from some columns, completed greedily (gain per cost, Chvátal 1979) and freed of what is not needed. */
  start(columns: readonly number[]): void {
    for (const j of columns) if (this.#inside[j] === 0) this.#add(j);
    while (this.#open > 0) {
      let pick = -1;
      let value = 0;
      for (let j = 0; j < this.#m.columns; j++) {
        if (this.#inside[j] === 1) continue;
        const gain = this.#score[j]! / this.#m.cost[j]!;
        if (gain > value) {
          pick = j;
          value = gain;
        }
      }
      if (pick < 0) throw new Error('a row without columns reached the search');
      this.#add(pick);
    }
    this.#keep();
  }

  /** Searches for at most `steps` exchanges, or until the best cost is not above `target`. */
  run(steps: number, target: number): void {
    const { cost, rowStart, rowColumns } = this.#m;
    for (let step = 0; step < steps; step++) {
      if (this.bestCost <= target) return;
      while (this.#open === 0) {
        this.#keep();
        if (this.bestCost <= target || this.#size === 0) return;
        this.#remove(this.#cheapestLoss(false));
      }
      if (this.#size > 0) this.#remove(this.#cheapestLoss(true));
      this.#tabu.length = 0;
      while (this.#open > 0) {
        const r = this.#uncovered[Math.floor(this.#random() * this.#open)]!;
        let pick = -1;
        let value = -Infinity;
        for (let k = rowStart[r]!; k < rowStart[r + 1]!; k++) {
          const j = rowColumns[k]!;
          if (this.#blocked[j] === 1 && !this.#released(j)) continue;
          if (this.#total + cost[j]! >= this.bestCost) continue;
          const gain = this.#unicost ? this.#score[j]! : this.#score[j]! / cost[j]!;
          if (gain > value || (gain === value && this.#movedAt[j]! < this.#movedAt[pick]!)) {
            pick = j;
            value = gain;
          }
        }
        if (pick >= 0) {
          this.#add(pick);
          this.#tabu.push(pick);
        }
        this.#raise();
        if (pick < 0 || this.#unicost) break;
      }
    }
    if (this.#open === 0) this.#keep();
  }

  /** Uncovered rows grow heavier, and with them whatever would cover them. */
  #raise(): void {
    const { rowStart, rowColumns } = this.#m;
    for (let i = 0; i < this.#open; i++) {
      const r = this.#uncovered[i]!;
      this.#weight[r]!++;
      for (let k = rowStart[r]!; k < rowStart[r + 1]!; k++) this.#score[rowColumns[k]!]!++;
    }
  }

  /** A column that was taken out may come back only when something around it has changed since. */
  #released(j: number): boolean {
    const { columnStart, columnRows } = this.#m;
    for (let k = columnStart[j]!; k < columnStart[j + 1]!; k++) {
      if (this.#rowChangedAt[columnRows[k]!]! > this.#movedAt[j]!) {
        this.#blocked[j] = 0;
        return true;
      }
    }
    return false;
  }

  #cheapestLoss(respectTabu: boolean): number {
    const { cost } = this.#m;
    let pick = -1;
    let value = -Infinity;
    for (let i = 0; i < this.#size; i++) {
      const j = this.#members[i]!;
      const loss = this.#unicost ? this.#score[j]! : this.#score[j]! / cost[j]!;
      if (loss < value) continue;
      if (respectTabu && this.#size > this.#tabu.length && this.#tabu.includes(j)) continue;
      if (loss > value || this.#movedAt[j]! < this.#movedAt[pick]!) {
        pick = j;
        value = loss;
      }
    }
    return pick;
  }

  #add(j: number): void {
    const { cost, columnStart, columnRows, rowStart, rowColumns } = this.#m;
    const now = ++this.#clock;
    const own = this.#score[j]!;
    for (let k = columnStart[j]!; k < columnStart[j + 1]!; k++) {
      const r = columnRows[k]!;
      const count = ++this.#covered[r]!;
      if (count === 1) {
        const w = this.#weight[r]!;
        for (let i = rowStart[r]!; i < rowStart[r + 1]!; i++) this.#score[rowColumns[i]!]! -= w;
        this.#close(r);
      } else if (count === 2) {
        this.#score[this.#coverers[r]!]! += this.#weight[r]!;
      }
      this.#coverers[r]! ^= j;
      this.#rowChangedAt[r] = now;
    }
    this.#score[j] = -own;
    this.#movedAt[j] = now;
    this.#inside[j] = 1;
    this.#memberAt[j] = this.#size;
    this.#members[this.#size++] = j;
    this.#total += cost[j]!;
  }

  #remove(j: number): void {
    const { cost, columnStart, columnRows, rowStart, rowColumns } = this.#m;
    const now = ++this.#clock;
    const own = this.#score[j]!;
    for (let k = columnStart[j]!; k < columnStart[j + 1]!; k++) {
      const r = columnRows[k]!;
      const count = --this.#covered[r]!;
      this.#coverers[r]! ^= j;
      if (count === 0) {
        const w = this.#weight[r]!;
        for (let i = rowStart[r]!; i < rowStart[r + 1]!; i++) this.#score[rowColumns[i]!]! += w;
        this.#uncoveredAt[r] = this.#open;
        this.#uncovered[this.#open++] = r;
      } else if (count === 1) {
        this.#score[this.#coverers[r]!]! -= this.#weight[r]!;
      }
      this.#rowChangedAt[r] = now;
    }
    this.#score[j] = -own;
    this.#movedAt[j] = now;
    this.#blocked[j] = 1;
    this.#inside[j] = 0;
    const at = this.#memberAt[j]!;
    const last = this.#members[--this.#size]!;
    this.#members[at] = last;
    this.#memberAt[last] = at;
    this.#total -= cost[j]!;
  }

  #close(r: number): void {
    const at = this.#uncoveredAt[r]!;
    const last = this.#uncovered[--this.#open]!;
    this.#uncovered[at] = last;
    this.#uncoveredAt[last] = at;
  }

  /** Everything is covered: takes out what covers nothing alone, dearest first, and remembers the rest. */
  #keep(): void {
    const { cost } = this.#m;
    for (;;) {
      let pick = -1;
      for (let i = 0; i < this.#size; i++) {
        const j = this.#members[i]!;
        if (this.#score[j] !== 0) continue;
        if (pick < 0 || cost[j]! > cost[pick]! || (cost[j] === cost[pick] && j > pick)) pick = j;
      }
      if (pick < 0) break;
      this.#remove(pick);
    }
    // Summed afresh: the running total collects rounding.
    const chosen = Array.from(this.#members.subarray(0, this.#size)).sort((a, b) => a - b);
    const total = chosen.reduce((sum, j) => sum + cost[j]!, 0);
    this.#total = total;
    if (total < this.bestCost) {
      this.best = chosen;
      this.bestCost = total;
    }
  }
}
