import { coverSet, type Point, PointCover } from '@bedledger/geometry';
import type { Demand } from './demand.ts';
import type { LandBox } from './land-boxes.ts';

const EPS = 1e-5;
/** Exchanges of the search that goes with a proof: the proof needs a good cover, not the best. */
const PROOF_STEPS = 1500;

/**
 * Covers of a board by whole squares of land, and a least number of sites that follows from them.
 *
 * Every square of a lattice counts as meeting whatever its nearest point would meet. A site anywhere in a square meets no
 * more than that, so a layout of n sites gives a cover by n squares or fewer, and what is proven about covers by squares
 * (Lagrangian relaxation, branch and bound: {@link coverSet}) holds for the continuous land. Fewer demands can only need
 * fewer squares, so only those are asked for that a cover left open.
 */
export class SquareCover {
  readonly #boxes: readonly LandBox[];
  readonly #cover: PointCover;
  readonly #fixed: readonly Point[];
  /** Demands that have been asked for, by number in the cover, and those that have not. */
  readonly #asked: Demand[] = [];
  #waiting: Demand[];

  constructor(boxes: readonly LandBox[], demands: readonly Demand[], fixed: readonly Point[]) {
    this.#boxes = boxes;
    this.#fixed = fixed;
    this.#cover = new PointCover({ apart: 0, seed: 11 });
    for (const { box } of boxes) {
      this.#cover.addCandidate(
        [(box.minX + box.maxX) / 2, (box.minY + box.maxY) / 2],
        (box.maxX - box.minX) / 2,
      );
    }
    this.#waiting = [];
    this.add(demands);
  }

  get demands(): number {
    return this.#asked.length;
  }

  /** More points of the board that may be asked for. Those that a site in the bed covers need nothing. */
  add(demands: readonly Demand[]): void {
    for (const d of demands) {
      if (!this.#fixed.some((s) => meets(s[0] - d.at[0], s[1] - d.at[1], d.within))) this.#waiting.push(d);
    }
  }

  /**
   * Squares that cover everything, so many besides the sites in the bed; null when none were found.
   * Finding none is no proof.
   */
  squares(size: number, work: number): LandBox[] | null {
    const end = this.#cover.work + work;
    for (;;) {
      if (!this.#cover.search(size, end - this.#cover.work)) return null;
      const chosen = this.#cover.chosen().map((i) => this.#boxes[i] as LandBox);
      if (!this.#askFor(chosen)) return chosen;
    }
  }

  /** Asks for the demand that the squares are farthest from, and others well away from it; false when they meet all. */
  #askFor(chosen: readonly LandBox[]): boolean {
    const open: { d: Demand; short: number }[] = [];
    const rest: Demand[] = [];
    for (const d of this.#waiting) {
      const reach = (d.within + EPS) * (d.within + EPS);
      let near = Number.POSITIVE_INFINITY;
      for (const { box } of chosen) {
        near = Math.min(near, toBoxSquared(d.at, box));
        if (near <= reach) break;
      }
      if (near > reach) open.push({ d, short: Math.sqrt(near) - d.within });
      else rest.push(d);
    }
    if (open.length === 0) return false;
    open.sort((a, b) => b.short - a.short);
    const taken: Demand[] = [];
    for (const { d } of open) {
      const apart = d.within / 3;
      if (taken.every((t) => !meets(t.at[0] - d.at[0], t.at[1] - d.at[1], apart))) {
        taken.push(d);
        const number = this.#cover.demands;
        this.#cover.addDemand(d.at, d.within + EPS);
        // No land meets it: it is reported where the lands are, and proves nothing here.
        if (this.#cover.metBy(number).length > 0) this.#asked.push(d);
      } else rest.push(d);
    }
    this.#waiting = rest;
    return true;
  }

  /** A number of sites, those in the bed included, that no layout goes below. */
  lower(work: number): number {
    const rows: (readonly number[])[] = [];
    for (let d = 0; d < this.#cover.demands; d++) {
      const row = this.#cover.metBy(d);
      if (row.length > 0) rows.push(row);
    }
    if (rows.length === 0) return this.#fixed.length;
    const kept = undominated(rows, this.#boxes.length);
    const number = new Map(kept.map((i, k) => [i, k]));
    const cover = coverSet(
      {
        columns: kept.length,
        rows: rows.map((row) =>
          row.flatMap((i) => {
            const k = number.get(i);
            return k === undefined ? [] : [k];
          }),
        ),
      },
      { steps: PROOF_STEPS, seed: 5, proof: work },
    );
    return this.#fixed.length + Math.ceil(cover.lowerBound - 1e-9);
  }
}

function toBoxSquared(p: Point, box: LandBox['box']): number {
  const dx = Math.max(box.minX - p[0], 0, p[0] - box.maxX);
  const dy = Math.max(box.minY - p[1], 0, p[1] - box.maxY);
  return dx * dx + dy * dy;
}

function meets(dx: number, dy: number, reach: number): boolean {
  return dx * dx + dy * dy <= (reach + EPS) * (reach + EPS);
}

/** Columns of which no other one meets all they meet; of equal ones the first. Set inclusion by bit sets. */
function undominated(rows: readonly (readonly number[])[], columns: number): number[] {
  const words = (rows.length + 31) >> 5;
  const bits = new Int32Array(columns * words);
  const size = new Int32Array(columns);
  for (const [r, row] of rows.entries()) {
    for (const i of row) {
      const at = i * words + (r >> 5);
      bits[at] = (bits[at] as number) | (1 << (r & 31));
      size[i] = (size[i] as number) + 1;
    }
  }
  const order = Array.from({ length: columns }, (_, i) => i)
    .filter((i) => (size[i] as number) > 0)
    .sort((a, b) => (size[b] as number) - (size[a] as number) || a - b);
  const kept: number[] = [];
  for (const i of order) {
    const inside = kept.some((k) => {
      let w = 0;
      while (w < words && ((bits[i * words + w] as number) & ~(bits[k * words + w] as number)) === 0) w++;
      return w === words;
    });
    if (!inside) kept.push(i);
  }
  return kept.sort((a, b) => a - b);
}
