import type { Form, OperationName } from '@bedledger/fleet';
import type { Cutting } from '../feeds/cutting.ts';
import type { NeutralProgram } from '../motion/program.ts';
import type { TimeAccount } from '../time/motion-time.ts';
import type { SkimPlan } from './plan-skim.ts';

/** A program that is not issued, and why. */
export interface Withheld {
  readonly operation: OperationName;
  readonly form: Form | null;
  /** One sentence for the operator: why it is not issued, and what would change that. */
  readonly reason: string;
  /** False: the profile does not ask for it, so nobody misses it. The manifest lists it all the same, screens need not. */
  readonly asked?: false;
}

/** A program with where its minutes go, or why there is none; with the skim that was decided, where there is one. */
export type Outcome =
  | {
      readonly program: NeutralProgram;
      readonly time: TimeAccount;
      readonly cutting: Cutting | null;
      readonly skim: SkimPlan | null;
    }
  | { readonly withheld: Withheld; readonly skim: SkimPlan | null };

/** What the operator reads before, after and beside a program. One sentence each. */
export interface HeaderTexts {
  readonly title: string;
  /** What must be so before start is pressed. */
  readonly before: readonly string[];
  readonly after: readonly string[];
  readonly cautions: readonly string[];
}

export function withhold(
  operation: OperationName,
  form: Form | null,
  reason: string,
  skim: SkimPlan | null = null,
): Outcome {
  return { withheld: { operation, form, reason }, skim };
}
