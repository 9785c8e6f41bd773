import type { Form, OperationName } from '@bedledger/fleet';

/**
 * Neutral motions: what the machine shall do, before any controller's words.
 *
 * Frame: the bed frame as surveyed (X Y at the datum mark, Z 0 on the bed surface), millimetres, mm/min, seconds.
 * A post turns them into one controller's text; it may not change where the cutter goes.
 */
export type Move =
  /** Rapid to `x`,`y` at the present height. */
  | { readonly kind: 'rapid-xy'; readonly x: number; readonly y: number }
  /** Rapid to height `z` on the spot. Never combined with X Y: a rapid need not be straight. */
  | { readonly kind: 'rapid-z'; readonly z: number }
  | {
      readonly kind: 'feed';
      readonly x: number;
      readonly y: number;
      readonly z: number;
      readonly feed: number;
    }
  /** Arc or helix in XY about `cx`,`cy`. End equal to start means one full turn. */
  | {
      readonly kind: 'arc';
      readonly clockwise: boolean;
      readonly x: number;
      readonly y: number;
      readonly z: number;
      readonly cx: number;
      readonly cy: number;
      readonly feed: number;
    }
  /** A drilled hole from the link height: rapid over it, rapid to `above`, feed to `bottom` (in pecks), rapid back to the link height. */
  | {
      readonly kind: 'drill';
      readonly x: number;
      readonly y: number;
      readonly link: number;
      readonly above: number;
      readonly bottom: number;
      /** Depth of one peck; null: in one go. */
      readonly peck: number | null;
      readonly feed: number;
    }
  | { readonly kind: 'dwell'; readonly seconds: number }
  /** Program stop: the operator does something and presses start. Spindle is off when `spindle` says so. */
  | { readonly kind: 'stop'; readonly message: string; readonly optional: boolean }
  | { readonly kind: 'spindle'; readonly rpm: number }
  | { readonly kind: 'spindle-off' }
  | { readonly kind: 'auxiliary'; readonly name: string; readonly on: boolean }
  /** A section an operator can find: a site, a row. `restart` marks a place from which the program may be taken up again. */
  | { readonly kind: 'section'; readonly title: string; readonly restart: boolean };

export interface NeutralProgram {
  readonly operation: OperationName;
  readonly form: Form | null;
  /** File name without extension, e.g. `socket-pockets`. */
  readonly name: string;
  readonly header: {
    readonly machineId: string;
    readonly machine: string;
    readonly title: string;
    readonly revision: string;
    /** Null: nothing in the spindle, or whatever is (air pass). */
    readonly cutter: {
      readonly id: string;
      readonly title: string;
      readonly number: number;
      readonly diameter: number;
    } | null;
    readonly zZero: 'bed' | 'board-top';
    /** Height of the program's Z 0 above the bed, mm: 0 with `bed`, the board's thickness with `board-top`. */
    readonly zeroHeight: number;
    readonly keyIn: number | null;
    readonly workOffset: number;
    readonly minutes: number;
    readonly before: readonly string[];
    readonly after: readonly string[];
    readonly cautions: readonly string[];
    readonly sites: readonly string[];
  };
  readonly clearHeight: number;
  readonly park: readonly [number, number];
  readonly spinUp: number;
  readonly moves: readonly Move[];
}
