/**
 * A closed tour in an array that may be read from either end, so that turning a path round costs at most half the tour:
 * turning the rest of the tour and reading the array the other way is the same.
 */
export class TwoWayTour {
  readonly #n: number;
  readonly #places: Int32Array;
  /** Where each place stands in the array. */
  readonly #at: Int32Array;
  #backwards = false;

  constructor(order: Int32Array) {
    this.#n = order.length;
    this.#places = order;
    this.#at = new Int32Array(order.length);
    for (let i = 0; i < order.length; i++) this.#at[order[i]!] = i;
  }

  /** The place after `a` in the direction of reading. */
  next(a: number): number {
    const i = this.#at[a]!;
    if (this.#backwards) return this.#places[i === 0 ? this.#n - 1 : i - 1]!;
    return this.#places[i === this.#n - 1 ? 0 : i + 1]!;
  }

  previous(a: number): number {
    const i = this.#at[a]!;
    if (this.#backwards) return this.#places[i === this.#n - 1 ? 0 : i + 1]!;
    return this.#places[i === 0 ? this.#n - 1 : i - 1]!;
  }

  /** Places from `a` on until `b` is reached. */
  gap(a: number, b: number): number {
    const gap = this.#backwards ? this.#at[a]! - this.#at[b]! : this.#at[b]! - this.#at[a]!;
    return gap < 0 ? gap + this.#n : gap;
  }

  /** Reads the tour in the other direction from now on. */
  turn(): void {
    this.#backwards = !this.#backwards;
  }

  /** Reads the array from its beginning; place `i` of that reading, counted round. */
  readForwards(): (i: number) => number {
    this.#backwards = false;
    return (i) => this.#places[i % this.#n]!;
  }

  /** Turns the path from a to b, in the direction of reading, round. */
  reverse(a: number, b: number): void {
    const n = this.#n;
    const places = this.#places;
    const at = this.#at;
    let i = this.#backwards ? at[b]! : at[a]!;
    let j = this.#backwards ? at[a]! : at[b]!;
    let inner = j - i + 1;
    if (inner <= 0) inner += n;
    if (2 * inner > n) {
      const k = i;
      i = j + 1 === n ? 0 : j + 1;
      j = k === 0 ? n - 1 : k - 1;
      inner = n - inner;
      this.#backwards = !this.#backwards;
    }
    for (let m = inner >> 1; m > 0; m--) {
      const x = places[i]!;
      const y = places[j]!;
      places[i] = y;
      at[y] = i;
      places[j] = x;
      at[x] = j;
      if (++i === n) i = 0;
      if (--j < 0) j = n - 1;
    }
  }

  /** The places in the direction of reading. */
  order(): number[] {
    const order = Array.from(this.#places);
    return this.#backwards ? order.reverse() : order;
  }
}
