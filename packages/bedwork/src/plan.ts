import type { Diagnostic } from '@bedledger/diagnostics';
import type { Stack } from '@bedledger/fasteners';
import type { MachineRecord, OperationName } from '@bedledger/fleet';
import type { Layout } from './layout/model.ts';
import type { NeutralProgram } from './program.ts';

export interface Withheld {
  readonly operation: OperationName;
  readonly form: 'first-fit' | 'refit' | null;
  /** One sentence for the operator: why it is not issued, and what would change that. */
  readonly reason: string;
  /** False: the profile does not ask for it, so nobody misses it. The manifest lists it all the same, screens need not. */
  readonly asked?: false;
}

/** One step of the run sheet, in the order of work. Programs and hand work alternate. */
export interface WorkStep {
  readonly kind: 'hand' | 'program';
  readonly title: string;
  /** What to do, one sentence each. */
  readonly lines: readonly string[];
  /** The number to key in, when there is one: the largest thing in its step. */
  readonly keyIn: { readonly label: string; readonly value: number; readonly unit: 'mm' | 'in' } | null;
  /** Values to measure and write down, each with its unit. */
  readonly record: readonly { readonly label: string; readonly unit: string }[];
  readonly cautions: readonly string[];
  /** Program file name without extension when `kind` is `program`. */
  readonly program: string | null;
  readonly minutes: number;
  /** True when the ledger says that it is done. */
  readonly done: boolean;
}

/** A line of an account shown to people: what, how much, unit, and where the figure is from. */
export interface AccountLine {
  readonly label: string;
  readonly value: string;
  readonly note: string;
}

export interface BillLine {
  readonly item: string;
  readonly quantity: number;
  readonly unit: string;
  readonly note: string;
}

/** Everything that follows from one machine's record. Nothing here is text for a controller yet. */
export interface WorkPlan {
  readonly record: MachineRecord;
  readonly layout: Layout;
  /** By site id. */
  readonly stacks: ReadonlyMap<string, Stack>;
  readonly programs: readonly NeutralProgram[];
  readonly withheld: readonly Withheld[];
  readonly steps: readonly WorkStep[];
  /** The next hand work, one sentence. */
  readonly next: string;
  readonly bill: readonly BillLine[];
  readonly accounts: {
    readonly surfacing: readonly AccountLine[];
    readonly vacuum: readonly AccountLine[];
    readonly feeds: readonly AccountLine[];
    readonly time: readonly AccountLine[];
  };
  /** Anything of severity `stop` here means that nothing is issued for the machine. */
  readonly findings: readonly Diagnostic[];
}
