import type { Diagnostic } from '@bedledger/diagnostics';

/** What a motion of the trace is. Numbers, because a program may have a million of them. */
export const RAPID = 0;
export const FEED = 1;
export const ARC = 2;

/** Bits of `Trace.flags`. */
export const MACHINE = 1;
export const CYCLE = 2;
/** With `MACHINE`: the axes whose value is in machine coordinates (NaN when the place is the controller's own, as with G28). None where home is known. */
export const MACHINE_X = 4;
export const MACHINE_Y = 8;
export const MACHINE_Z = 16;

/** Number in `Trace.tool` and `Trace.lengthOffset` of what the program has not said. */
export const NOT_SAID = -1;

export type EventKind =
  | 'dwell'
  | 'stop'
  | 'optional-stop'
  | 'spindle'
  | 'tool'
  | 'auxiliary'
  | 'comment'
  | 'message'
  | 'work-offset'
  | 'length-offset'
  | 'home'
  | 'end'
  /** A T word that only chooses the tool for the next change; `value` is the number. */
  | 'tool-select'
  /** G92, G92.1, G92.2, G92.3; `text` is the word. */
  | 'axis-offset'
  /** G10 L2: the origin of work offset `value` was rewritten. */
  | 'origin';

/** Something that happens between motions. `at` is the number of motions before it. */
export interface ProgramEvent {
  readonly kind: EventKind;
  readonly line: number;
  readonly at: number;
  readonly value: number;
  readonly text: string;
}

/** Modal state when the program ends: what the next program will find. */
export interface ModalState {
  readonly units: 'mm' | 'in' | null;
  readonly distance: 'absolute' | 'incremental' | null;
  readonly plane: 'XY' | 'XZ' | 'YZ' | null;
  readonly feedMode: 'per-minute' | 'inverse' | null;
  readonly motion: string | null;
  readonly workOffset: number | null;
  readonly lengthOffset: number | null;
  readonly cutterCompensation: 'off' | 'left' | 'right' | null;
  readonly cycleReturn: 'initial' | 'r-plane' | null;
  readonly feed: number | null;
  readonly speed: number | null;
  readonly spindle: 'off' | 'clockwise' | 'counter-clockwise' | null;
  readonly tool: number | null;
}

/**
 * A program read back: one entry a motion, in columns. Motion `i` runs from the end of motion `i − 1`
 * (from `start` for the first) to `x[i], y[i], z[i]`. Everything is millimetres in program coordinates of the work
 * offset in force, G92 offsets taken out, Z upwards whatever the profile's `zSign`; a coordinate that the program has
 * never given is NaN.
 */
export interface Trace {
  readonly length: number;
  readonly kind: Uint8Array;
  /** Line of the program file, from 1. */
  readonly line: Int32Array;
  readonly x: Float64Array;
  readonly y: Float64Array;
  readonly z: Float64Array;
  /** Arc only: centre in the arc's plane (first and second axis), sweep in radians (positive counter-clockwise seen from the plane's normal). */
  readonly c1: Float64Array;
  readonly c2: Float64Array;
  readonly sweep: Float64Array;
  /** 17, 18 or 19. */
  readonly plane: Uint8Array;
  /** mm/min in force; 0 when none was ever given. Inverse time is already converted. */
  readonly feed: Float64Array;
  /** Signed rpm: 0 off, negative counter-clockwise. */
  readonly rpm: Float64Array;
  /** Number of the cutter in the spindle: the last M6 put it there. 0: the spindle is empty. `NOT_SAID` before the first M6. */
  readonly tool: Int32Array;
  /**
   * Number of the tool length in force: the H of the last G43. 0: none (G49, or a controller without such a word).
   * `NOT_SAID` until the program states one, while a length of the program before may be in force.
   */
  readonly lengthOffset: Int32Array;
  readonly workOffset: Uint8Array;
  /**
   * Bits. 1: the motion is written in machine coordinates (G53, G28); bits 4, 8, 16 then say for which of X, Y, Z nobody
   * knows where they lie, and the others are in program coordinates. 2: it came from an expanded cycle.
   */
  readonly flags: Uint8Array;
  readonly start: readonly [number, number, number];
  readonly events: readonly ProgramEvent[];
  readonly end: ModalState;
  /** Header comments `KEY: value`, in order, keys as written. */
  readonly header: readonly { readonly key: string; readonly value: string; readonly line: number }[];
  readonly lines: number;
  readonly blocks: number;
  /** Blocks that begin with `/`: when there are any, the program must be read with the switch on and off. */
  readonly deletable: number;
  /** The controller's position display at the end, mm: trace coordinates minus the G92 offsets in force. */
  readonly reading: readonly [number, number, number];
  /** G92 offsets in force at the end, mm. */
  readonly axisOffsets: readonly [number, number, number];
  /** Parameters the program has set, by number. */
  readonly parameters: Readonly<Record<number, number>>;
  /** The `LINES: n SHA: …` comment, as written; null when there is none. */
  readonly footer: { readonly lines: number; readonly sha: string; readonly line: number } | null;
  /** True when the whole program was understood; false means that motion may be hidden in it. */
  readonly understood: boolean;
  readonly findings: readonly Diagnostic[];
}
