import type { Point } from '@bedledger/geometry';
import type { Move } from './program.ts';
import { snap } from './snap.ts';

/** Gap above the stock where a rapid down ends and cutting feed begins, mm. */
export const APPROACH = 2;

/** An arc or helix in XY. */
export interface ArcMove {
  readonly clockwise: boolean;
  readonly to: readonly [x: number, y: number, z: number];
  readonly centre: Point;
  readonly feed: number;
}

/** A hole made by plunging alone. */
export interface DrilledHole {
  readonly at: Point;
  /** Where the rapid down ends and the feed begins. */
  readonly above: number;
  readonly bottom: number;
  /** Depth of one peck; null: in one go. */
  readonly peck: number | null;
  readonly feed: number;
}

/**
 * Writes neutral moves and refuses those that no program here may contain: a rapid in X Y below the clear height, a
 * cutting move before the place is known, a rapid down into what may be board.
 *
 * Frame: bed frame, millimetres; feeds mm/min. `floor` is the lowest Z the operation may reach and `stock` the height
 * that a downward rapid may not pass.
 */
export class MotionWriter {
  readonly moves: Move[] = [];
  readonly clear: number;
  readonly floor: number;
  readonly stock: number;
  #x: number | null = null;
  #y: number | null = null;
  #z: number;
  readonly #limit: number;
  #rpm: number | null = null;
  #outputs: readonly string[] = [];

  constructor(limits: { readonly clear: number; readonly floor: number; readonly stock: number }) {
    if (!(limits.clear >= limits.stock && limits.stock >= limits.floor)) {
      throw new RangeError(
        `clear height ${limits.clear} ≥ stock ${limits.stock} ≥ floor ${limits.floor} must hold`,
      );
    }
    this.clear = snap(limits.clear);
    // Upwards: what is written may not pass the limit by rounding.
    this.floor = snap(Math.ceil(limits.floor * 1e4) / 1e4);
    this.#limit = limits.floor;
    this.stock = snap(limits.stock);
    this.#z = this.clear;
  }

  get z(): number {
    return this.#z;
  }
  get at(): readonly [number, number] {
    return this.#place();
  }

  /** Speed and outputs that run from the first restart point on, and again from every later one. */
  running(rpm: number, outputs: readonly string[]): void {
    this.#rpm = Math.round(rpm);
    this.#outputs = outputs;
  }
  /**
   * A section from which the program may be taken up again: the cutter is at clear height, and speed, outputs and place
   * are all stated after it.
   */
  restart(title: string): void {
    if (this.#rpm === null) throw new RangeError('a restart point needs a speed: say what runs first');
    this.section(title, true);
    this.moves.push({ kind: 'spindle', rpm: this.#rpm });
    for (const name of this.#outputs) this.moves.push({ kind: 'auxiliary', name, on: true });
  }
  auxiliary(name: string, on: boolean): void {
    this.moves.push({ kind: 'auxiliary', name, on });
  }
  stop(message: string): void {
    if (this.#z !== this.clear) throw new RangeError('a stop is only made at clear height');
    this.moves.push({ kind: 'stop', message, optional: false });
  }
  /** `restart` only where the moves after it state everything: at clear height. */
  section(title: string, restart = false): void {
    if (restart && this.#z !== this.clear) throw new RangeError('a restart point must be at clear height');
    this.moves.push({ kind: 'section', title, restart });
  }

  /** Up to clear height; nothing when already there. */
  retract(): void {
    if (this.#z === this.clear) return;
    this.#z = this.clear;
    this.moves.push({ kind: 'rapid-z', z: this.clear });
  }
  /** Across at clear height: lifts first when it must. */
  over(x: number, y: number): void {
    this.retract();
    this.#x = snap(x);
    this.#y = snap(y);
    this.moves.push({ kind: 'rapid-xy', x: this.#x, y: this.#y });
  }
  /** Rapid down, at most to the top of what may be there. */
  lower(z: number): void {
    this.#place();
    const to = snap(z);
    if (to < this.stock) throw new RangeError(`a rapid down to ${to} would pass the stock at ${this.stock}`);
    if (to === this.#z) return;
    this.#z = to;
    this.moves.push({ kind: 'rapid-z', z: to });
  }
  feed(x: number, y: number, z: number, feed: number): void {
    const [px, py] = this.#place();
    const to = [snap(x), snap(y), this.#reach(z)] as const;
    if (to[0] === px && to[1] === py && to[2] === this.#z) return;
    this.#x = to[0];
    this.#y = to[1];
    this.#z = to[2];
    this.moves.push({ kind: 'feed', x: to[0], y: to[1], z: to[2], feed: rate(feed) });
  }
  /** Arc or helix; end equal to start in X Y means one full turn. */
  arc(way: ArcMove): void {
    const { clockwise, to, centre, feed } = way;
    this.#place();
    this.#x = snap(to[0]);
    this.#y = snap(to[1]);
    this.#z = this.#reach(to[2]);
    this.moves.push({
      kind: 'arc',
      clockwise,
      x: this.#x,
      y: this.#y,
      z: this.#z,
      cx: snap(centre[0]),
      cy: snap(centre[1]),
      feed: rate(feed),
    });
  }
  drill(hole: DrilledHole): void {
    const { at, above, bottom, peck, feed } = hole;
    this.retract();
    const high = snap(above);
    if (high < this.stock)
      throw new RangeError(`a rapid down to ${high} would pass the stock at ${this.stock}`);
    if (peck !== null && !(peck > 0)) throw new RangeError(`a peck must be greater than 0, found ${peck}`);
    this.#x = snap(at[0]);
    this.#y = snap(at[1]);
    const low = this.#reach(bottom);
    if (!(low < high)) throw new RangeError(`a hole must end below its start: ${low} ≥ ${high}`);
    this.moves.push({
      kind: 'drill',
      x: this.#x,
      y: this.#y,
      link: this.clear,
      above: high,
      bottom: low,
      peck: peck === null ? null : snap(peck),
      feed: rate(feed),
    });
  }
  /** Ends at clear height and hands the moves over. */
  finish(): readonly Move[] {
    this.retract();
    return this.moves;
  }

  #reach(z: number): number {
    const to = snap(z);
    if (to < this.floor && z >= this.#limit - 1e-9) return this.floor;
    if (to < this.floor) throw new RangeError(`Z ${to} is below the lowest allowed ${this.floor}`);
    return to;
  }
  #place(): readonly [number, number] {
    if (this.#x === null || this.#y === null) {
      throw new RangeError('a cutting move needs a known place: go over it first');
    }
    return [this.#x, this.#y];
  }
}

function rate(feed: number): number {
  if (!(feed > 0) || !Number.isFinite(feed))
    throw new RangeError(`a feed must be greater than 0, found ${feed}`);
  // Whole mm/min from 10 upwards, tenths below: what a controller shows and every number format can carry.
  return feed >= 10 ? Math.floor(feed) : Math.max(0.1, Math.floor(feed * 10) / 10);
}
