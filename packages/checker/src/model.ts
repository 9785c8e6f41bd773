import type { Diagnostic } from '@bedledger/diagnostics';
import type { MachineRecord, Manifest } from '@bedledger/fleet';

export interface ProgramFile {
  /** Path shown in findings, e.g. `machines/heron/issued/programs/bed-mark.ngc`. */
  readonly path: string;
  readonly text: string;
}

/** The issued files of one machine, as read from disk or about to be written. */
export interface IssuedFiles {
  readonly programs: readonly ProgramFile[];
  readonly manifest: Manifest;
  readonly holes: ProgramFile;
  readonly runSheet: ProgramFile;
}

/** What one program does, measured by simulation; bed frame, mm. */
export interface ProgramFigures {
  readonly path: string;
  readonly extents: {
    readonly x: readonly [number, number];
    readonly y: readonly [number, number];
    readonly z: readonly [number, number];
  } | null;
  readonly deepestBed: number | null;
  readonly deepestBoard: number | null;
  /** Closest approach of the turning cutter to metal, and the program line where it happens. */
  readonly nearestMetal: { readonly distance: number; readonly name: string; readonly line: number } | null;
  readonly removedVolume: number;
  readonly unsurfacedArea: number | null;
  readonly minutes: number;
  readonly sites: readonly { readonly site: string; readonly diameter: number; readonly floor: number }[];
}

export interface CheckReport {
  readonly findings: readonly Diagnostic[];
  readonly figures: readonly ProgramFigures[];
}

/** A sheet that a job cuts, as it lies on the board. */
export interface WorkPiece {
  /** mm. */
  readonly thickness: number;
  /** Lower left corner and size in the bed frame, mm; left out: it may lie anywhere. */
  readonly place?: { readonly at: readonly [number, number]; readonly size: readonly [number, number] };
}

export interface GuardOptions {
  /** Where the job has its Z 0; `profile` uses the machine's habit, `work` is the top of the sheet. */
  readonly zero: 'bed' | 'board-top' | 'work' | 'profile';
  /** Cutter id from the shared list, or a plain diameter in mm (flat end), for a job that is made with one. */
  readonly cutter: string | number | null;
  /** The same by the job's own tool numbers. */
  readonly cutters?: ReadonlyMap<number, string | number>;
  /** Deepest the job may go into the board, mm below its top. */
  readonly allowedDepth: number;
  /** The sheet on the board; without it the job works on the board itself. */
  readonly work?: WorkPiece | null;
}

export interface GuardReport extends CheckReport {
  readonly verdict: 'may-run' | 'may-not' | 'cannot-vouch';
  /** What the verdict takes for granted: offset, zero, thicknesses, cutters, date of the ledger; one sentence each. */
  readonly assumptions: readonly string[];
  readonly notUnderstood: readonly Diagnostic[];
  readonly deepest: readonly {
    readonly x: number;
    readonly y: number;
    readonly z: number;
    readonly line: number;
    readonly what: string;
  }[];
  readonly nearest: readonly { readonly name: string; readonly distance: number; readonly line: number }[];
}

export type CheckIssued = (record: MachineRecord, issued: IssuedFiles) => CheckReport;
export type Guard = (record: MachineRecord, program: ProgramFile, options: GuardOptions) => GuardReport;
