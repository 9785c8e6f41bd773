import type { Units } from '@bedledger/diagnostics';
import type { ZZero } from './machine.ts';

/**
 * What a machine receives, as files. The command line writes these, the checker reads them back as claims to be proven,
 * so the shapes live here, where both may look.
 *
 * machines/<id>/issued/
 *   manifest.json  holes.csv  bed.svg  stack.svg  run-sheet.html  programs/<name>.<ext>
 */

/** Every operation that a program can do, in the order of the work. */
export const OPERATION_NAMES = [
  'survey-visit',
  'air-pass',
  'datum-mark',
  'bed-mark',
  'underside-skim',
  'socket-pockets',
  'clearance-holes',
  'rim-break',
  'patch',
  'surface',
  'trim',
] as const;
export type OperationName = (typeof OPERATION_NAMES)[number];

/**
 * Forms of the operations that have two. Holes: through onto a bed without inserts, or stopping above those that are in
 * it. Rims: those of the pockets in the board's top, or those of the holes in its underside.
 */
export const FORMS = ['first-fit', 'refit', 'top', 'underside'] as const;
export type Form = (typeof FORMS)[number];

export interface ManifestProgram {
  /** Path below `issued/`, forward slashes. */
  readonly file: string;
  readonly operation: OperationName;
  readonly form: Form | null;
  readonly part: number;
  readonly parts: number;
  readonly cutter: string | null;
  readonly tool: number | null;
  readonly zZero: ZZero;
  /** What the operator keys in when touching off on the board's top, mm: the measured thickness with `bed`, 0 with `board-top`; null when touched off on the bed. */
  readonly keyIn: number | null;
  readonly lines: number;
  readonly sha256: string;
  /** From the emitted text, bed frame, mm. */
  readonly extents: {
    readonly x: readonly [number, number];
    readonly y: readonly [number, number];
    readonly z: readonly [number, number];
  };
  /** Deepest cut below the bed surface, and lowest Z in the board, bed frame mm; null when nothing is cut there. */
  readonly deepest: { readonly bed: number | null; readonly board: number | null };
  readonly minutes: number;
  readonly sites: readonly string[];
  /** Where a stopped program may be taken up again, its beginning apart: in the order of the text. */
  readonly restarts: readonly RestartPoint[];
}

/** A place from which a program runs as from its beginning: everything that it needs is said again there. */
export interface RestartPoint {
  /** Line of the file, from 1. */
  readonly line: number;
  /** Number of its first block, where the controller numbers blocks. */
  readonly block: number | null;
  /** What begins there. */
  readonly title: string;
}

export interface Manifest {
  readonly schema: 1;
  readonly machine: string;
  readonly title: string;
  readonly revision: string;
  readonly units: Units;
  readonly boardThickness: number | null;
  readonly inputs: readonly { readonly path: string; readonly sha256: string }[];
  readonly files: readonly { readonly path: string; readonly sha256: string; readonly bytes: number }[];
  readonly programs: readonly ManifestProgram[];
  readonly withheld: readonly {
    readonly operation: OperationName;
    readonly form: Form | null;
    readonly reason: string;
  }[];
}

/** Lengths of `holes.csv`, in order, after the columns `site` and `state`. Program frame X Y, heights above the bed. */
const HOLE_LENGTHS = [
  'nominal_x',
  'nominal_y',
  'x',
  'y',
  'pocket_diameter',
  'pocket_floor',
  'hole_diameter',
  'refit_diameter',
  'bore_diameter',
  'bore_depth',
  'screw_length',
  'web',
  'cover',
] as const;

/** What the board does at a site: it is held there by a close hole, or it floats. */
export const HOLDS = ['held', 'floats'] as const;

/** The header of `holes.csv`: every length names the unit that its column is in, `x_mm` or `x_in`. */
export function holeColumns(units: Units): readonly string[] {
  return ['site', 'state', ...HOLE_LENGTHS.map((name) => `${name}_${units}`), 'board'];
}
