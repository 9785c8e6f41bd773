import type { NeutralProgram } from '../motion/program.ts';
import type { SkimPlan } from '../operations/plan-skim.ts';
import type { WorkContext } from '../work/context.ts';

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

/** What a run sheet is made from. */
export interface Sheet {
  readonly context: WorkContext;
  /** Those that are issued. */
  readonly programs: readonly NeutralProgram[];
  /** The skim of the board's top, where one was decided; it may be withheld all the same. */
  readonly skim: SkimPlan | null;
}

/** A step that a person does without a program; null when there is nothing to do. */
export type HandStep = (sheet: Sheet) => WorkStep | null;

export interface HandWork {
  readonly title: string;
  readonly lines: readonly string[];
  readonly record?: WorkStep['record'];
  readonly cautions?: readonly string[];
  readonly minutes: number;
  readonly done?: boolean;
}

export function handStep(work: HandWork): WorkStep {
  return {
    kind: 'hand',
    title: work.title,
    lines: work.lines,
    keyIn: null,
    record: work.record ?? [],
    cautions: work.cautions ?? [],
    program: null,
    minutes: Math.ceil(work.minutes),
    done: work.done ?? false,
  };
}
