import type { ModalState } from '../trace.ts';

/** How a program is read. */
export interface ReadOptions {
  /** Position of the block delete switch: true leaves out the blocks that begin with `/`. Default false. */
  readonly blockDelete?: boolean;
  /**
   * True (the default) for programs issued for this profile: its formatting conventions are rules. False for programs
   * from elsewhere: conventions become notes, the standard's rules stay, and meaning is never guessed.
   */
  readonly strict?: boolean;
  /**
   * How to read what the standard leaves open about drilling cycles. `block`, the default: G98 returns to the height before
   * the block, and pecks clear to where the hole ends. `chain`: to the height before the first cycle of the chain, and pecks
   * clear to R.
   */
  readonly cycles?: 'block' | 'chain';
  /** Motions that may be followed; a program that asks for more is read no further. Default: twenty million. */
  readonly mostMotions?: number;
  /**
   * Which comments are read: those of the controller's form, the default, or those of every form and with any character,
   * as design programs write them. A controller that does not have them stops there.
   */
  readonly comments?: 'own' | 'any';
  /** Where the machine stands, mm in program coordinates. Default: not known. */
  readonly start?:
    | readonly [number, number, number]
    | { readonly x: number; readonly y: number; readonly z: number };
  /** Modes in force before the program, `end` of the program before for instance. Default: nothing is known. */
  readonly initial?: Partial<ModalState>;
  /** Origins of work offsets in machine coordinates, mm, by number from 1. */
  readonly origins?: Readonly<Record<number, readonly [number, number, number]>>;
  /**
   * Where the tip stands at home (machine coordinate 0, and the place of G28), mm in program coordinates of work offset
   * `workOffset`; NaN for an axis of which nobody knows. Default: not known.
   */
  readonly home?: {
    readonly x: number;
    readonly y: number;
    readonly z: number;
    readonly workOffset: number;
  };
  /** Tool lengths of the controller's table, mm, by number. */
  readonly toolLengths?: Readonly<Record<number, number>>;
  /** Parameter values before the program, by number. */
  readonly parameters?: Readonly<Record<number, number>>;
}
