import type { Diagnostic } from '@bedledger/diagnostics';

/** What a motion of the trace is. Numbers, because a program may have a million of them. */
export const RAPID = 0;
export const FEED = 1;
export const ARC = 2;

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
  | 'end';

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
 * offset in force; a coordinate that the program has never given is NaN.
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
  readonly tool: Int32Array;
  readonly workOffset: Uint8Array;
  /** 1: the motion is in machine coordinates (G53, G28). 2: it came from an expanded cycle. Bits. */
  readonly flags: Uint8Array;
  readonly start: readonly [number, number, number];
  readonly events: readonly ProgramEvent[];
  readonly end: ModalState;
  /** Header comments `KEY: value`, in order, keys as written. */
  readonly header: readonly { readonly key: string; readonly value: string; readonly line: number }[];
  readonly lines: number;
  readonly blocks: number;
  /** True when the whole program was understood; false means nobody can vouch for it. */
  readonly understood: boolean;
  readonly findings: readonly Diagnostic[];
}
