import type { Diagnostic } from '@bedledger/diagnostics';
import type { Stack } from '@bedledger/fasteners';
import type { MachineRecord } from '@bedledger/fleet';
import type { BoardWork } from '../base/board-work.ts';
import type { SiteStack } from '../base/stack-input.ts';
import type { Layout } from '../layout/model.ts';
import type { NeutralProgram } from '../motion/program.ts';
import type { Withheld } from '../operations/outcome.ts';
import type { BillLine } from '../run-order/bill.ts';
import type { WorkStep } from '../run-order/step.ts';
import type { AccountLine } from '../work/account-line.ts';
import type { NextBoard } from '../work/next-board.ts';
import type { PlannedChange } from '../work/planned-change.ts';

/** Everything that follows from one machine's record. Nothing here is text for a controller yet. */
export interface WorkPlan {
  readonly record: MachineRecord;
  readonly layout: Layout;
  /** By site id. */
  readonly stacks: ReadonlyMap<string, Stack>;
  /** By site id: as built, to be driven into a pocket, planned, or unknown. */
  readonly standing: ReadonlyMap<string, SiteStack>;
  /** Where the board is held, and with which drills its holes are opened. */
  readonly work: BoardWork;
  /** What the profile wants changed about what stands on the bed; null when nothing. */
  readonly change: PlannedChange | null;
  /** The board after the one that is cut already; null while this one is still to be cut. */
  readonly nextBoard: NextBoard | null;
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
  /** Raised as the house asks. Anything of severity `stop` here means that nothing is issued for the machine. */
  readonly findings: readonly Diagnostic[];
}
