import { type Diagnostic, foldFindings, InputError, raised } from '@bedledger/diagnostics';
import type { Form, MachineRecord } from '@bedledger/fleet';
import { intersection, rectangleRing, regionArea, regionFromRing } from '@bedledger/geometry';
import { OPERATIONS_IN_ORDER } from '../base/operation-facts.ts';
import { listOf } from '../base/words.ts';
import type { Layout } from '../layout/model.ts';
import { planLayout } from '../layout/plan-layout.ts';
import type { NeutralProgram } from '../motion/program.ts';
import { feedLines, surfacingAccount, timeLine } from '../operations/accounts.ts';
import type { OperationDescriptor } from '../operations/descriptor.ts';
import { OPERATIONS } from '../operations/index.ts';
import { type Outcome, type Withheld, withhold } from '../operations/outcome.ts';
import type { SkimPlan } from '../operations/plan-skim.ts';
import { billOf } from '../run-order/bill.ts';
import { nextHandWork, workSteps } from '../run-order/work-steps.ts';
import { obstaclesAbove } from '../surfacing/obstacles.ts';
import { timeCorrection } from '../time/correction.ts';
import { vacuumAccount } from '../vacuum/account.ts';
import type { AccountLine } from '../work/account-line.ts';
import { addFinding, makeContext, type SkimOptions, type WorkContext } from '../work/context.ts';
import { changeFindings } from './change-findings.ts';
import type { WorkPlan } from './plan.ts';
import { solveStacks } from './solve-stacks.ts';

export interface PlanOptions {
  /** A layout made before, so that it is not made again. */
  readonly layout?: Layout;
  readonly skim?: SkimOptions;
}

/**
 * Everything that follows from one machine's record: layout, stacks, programs, what is withheld and why, the run sheet,
 * the bill and the accounts. All lengths mm, bed frame as surveyed.
 *
 * Never throws for a bad bed or an impossible profile: what is wrong comes back in `findings`; one of severity `stop`
 * means that nothing may be issued for the machine.
 */
export function planMachine(record: MachineRecord, options: PlanOptions = {}): WorkPlan {
  const layout = options.layout ?? planLayout(record);
  const solved = solveStacks(record, layout);
  const context = makeContext({
    record,
    layout,
    stacks: solved.stacks,
    standing: solved.standing,
    work: solved.work,
    findings: [...layout.findings, ...solved.findings],
    skim: options.skim,
  });
  context.findings.push(...changeFindings(context));
  const made = makePrograms(context);
  const { programs, skims } = made;
  const steps = workSteps({ context, programs, skim: skims.surface });
  const shown = skims.surface ?? skims.underside;
  const { machine } = record;
  const findings = raised(context.findings, record.house.raise);
  return {
    record,
    layout,
    stacks: solved.stacks,
    standing: solved.standing,
    work: solved.work,
    change: context.change,
    nextBoard: context.nextBoard,
    programs,
    withheld: made.withheld,
    steps,
    next: nextOfStopped(findings) ?? nextHandWork(steps, boardInWords(context)),
    bill: billOf(context),
    accounts: {
      surfacing: shown ? surfacingAccount(shown, machine.units, machine.surfacing.rows) : [],
      vacuum: vacuumAccount(context),
      feeds: made.feeds,
      time: made.time,
    },
    findings,
  };
}

/** How the board on the bed lies; null without one. Flat is only what was skimmed over its whole top since it was fixed. */
function boardInWords({ record: { state }, machine }: WorkContext): string | null {
  const { board } = state;
  if (board === null) return null;
  const outline = regionFromRing(rectangleRing(machine.board.at, machine.board.size));
  const over = obstaclesAbove(machine, board.thinnest).filter(
    ({ region }) => regionArea(intersection(region, outline)) > 0,
  );
  if (over.length > 0) {
    return `the board is fitted; ${listOf(over.map(({ name }) => name))} ${over.length === 1 ? 'stands' : 'stand'} over it, and it is not skimmed there`;
  }
  return board.skimmedPocketed ? 'the board is fitted and flat' : 'the board is fitted';
}

/** On a machine that is stopped nothing is done by hand before what stops it is cleared; null for any other. */
function nextOfStopped(findings: readonly Diagnostic[]): string | null {
  const [first] = foldFindings(findings);
  if (first?.finding.severity !== 'stop') return null;
  const { message, help } = first.finding;
  return `nothing is issued before this is cleared: ${help ?? message}`;
}

/** What came of all operations, in the order of work. */
interface Made {
  readonly programs: NeutralProgram[];
  readonly withheld: Withheld[];
  readonly time: AccountLine[];
  readonly feeds: AccountLine[];
  readonly skims: { surface: SkimPlan | null; underside: SkimPlan | null };
}

function makePrograms(context: WorkContext): Made {
  const { record, machine } = context;
  const made: Made = {
    programs: [],
    withheld: [],
    time: [],
    feeds: [],
    skims: { surface: null, underside: null },
  };
  for (const name of OPERATIONS_IN_ORDER) {
    const operation = OPERATIONS[name];
    for (const form of operation.forms) {
      const outcome = attempt(context, operation, form);
      if (name === 'surface') made.skims.surface = outcome.skim;
      if (name === 'underside-skim') made.skims.underside = outcome.skim;
      if ('withheld' in outcome) {
        made.withheld.push(outcome.withheld);
        continue;
      }
      const { program, time, cutting } = outcome;
      made.programs.push(program);
      made.time.push(timeLine(program.name, time, timeCorrection(record.ledger, name)));
      if (cutting && program.header.cutter) {
        made.feeds.push(...feedLines(program.name, program.header.cutter.title, cutting, machine.units));
      }
    }
  }
  return made;
}

/**
 * An operation whose figures are out of range is withheld with what was wrong, and the finding stops the machine: a
 * plan is always made, a wrong program never.
 */
function attempt(context: WorkContext, operation: OperationDescriptor, form: Form | null): Outcome {
  try {
    return operation.make(context, form);
  } catch (error) {
    if (!(error instanceof RangeError) && !(error instanceof InputError)) throw error;
    addFinding(context, {
      code: 'operations/impossible',
      message: `${operation.name} cannot be made: ${error.message}`,
    });
    return withhold(operation.name, form, `it cannot be made: ${error.message}`);
  }
}
