import { type Diagnostic, InputError, lengthText, raised } from '@bedledger/diagnostics';
import { type Stack, type StackResult, solveFittedStack, solveStack } from '@bedledger/fasteners';
import type { MachineRecord, OperationName } from '@bedledger/fleet';
import { stackInput } from './base/stack-input.ts';
import { interlocks, listOf } from './interlocks/interlocks.ts';
import type { Layout } from './layout/model.ts';
import { planLayout } from './layout/plan-layout.ts';
import { feedLines, surfacingAccount, timeLine } from './operations/accounts.ts';
import { airPass } from './operations/air-pass.ts';
import { bedMark } from './operations/bed-mark.ts';
import { clearanceHoles } from './operations/clearance-holes.ts';
import {
  addFinding,
  type Form,
  makeContext,
  type Outcome,
  profilePlace,
  type WorkContext,
} from './operations/context.ts';
import { datumMark } from './operations/datum-mark.ts';
import { socketPockets } from './operations/socket-pockets.ts';
import { planSkim, type SkimOptions, type SkimPlan, surface, undersideSkim } from './operations/surface.ts';
import { surveyVisit } from './operations/survey-visit.ts';
import { trim } from './operations/trim.ts';
import type { AccountLine, Withheld, WorkPlan } from './plan.ts';
import type { NeutralProgram } from './program.ts';
import { report } from './report.ts';
import { billOf } from './run-order/bill.ts';
import { nextHandWork, workSteps } from './run-order/steps.ts';
import { timeCorrection } from './time/correction.ts';
import { vacuumAccount } from './vacuum/account.ts';

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
  const findings: Diagnostic[] = [...layout.findings];
  const stacks = solveStacks(record, layout, findings);
  const context = makeContext(record, layout, stacks, findings);
  const locks = interlocks(record, layout);

  let underside: SkimPlan | null = null;
  let skim: SkimPlan | null = null;

  const outcomes: Outcome[] = [
    attempt(context, 'survey-visit', null, () => surveyVisit(context)),
    attempt(context, 'datum-mark', null, () => datumMark(context, locks)),
    attempt(context, 'air-pass', null, () => airPass(context)),
    attempt(context, 'bed-mark', null, () => bedMark(context, locks)),
    attempt(context, 'underside-skim', null, () => {
      underside = locks.undersideSkim === null ? planSkim(context, 'underside-skim') : null;
      return undersideSkim(context, locks, underside);
    }),
    attempt(context, 'socket-pockets', null, () => socketPockets(context, locks)),
    attempt(context, 'clearance-holes', 'first-fit', () => clearanceHoles(context, locks, 'first-fit')),
    attempt(context, 'clearance-holes', 'refit', () => clearanceHoles(context, locks, 'refit')),
    attempt(context, 'trim', null, () => trim(context, locks)),
    attempt(context, 'surface', null, () => {
      skim = locks.surface === null ? planSkim(context, 'surface', options.skim) : null;
      return surface(context, locks, skim);
    }),
  ];
  const programs: NeutralProgram[] = [];
  const withheld: Withheld[] = [];
  const time: AccountLine[] = [];
  const feeds: AccountLine[] = [];
  for (const outcome of outcomes) {
    if ('notAsked' in outcome) {
      withheld.push(outcome.notAsked);
      continue;
    }
    if ('withheld' in outcome) {
      withheld.push(outcome.withheld);
      continue;
    }
    programs.push(outcome.program);
    const { name, operation, header } = outcome.program;
    time.push(timeLine(name, outcome.time, timeCorrection(record.ledger, operation)));
    if (outcome.cutting && header.cutter)
      feeds.push(...feedLines(name, header.cutter.title, outcome.cutting, record.machine.units));
  }
  const [top, under] = [skim as SkimPlan | null, underside as SkimPlan | null];
  const shown = top ?? under;
  const worn = top !== null && top.limit.room < 0 && !programs.some((p) => p.name === 'surface');
  const steps = workSteps(context, locks, programs, top?.expected ?? null, worn);
  return {
    record,
    layout,
    stacks,
    programs,
    withheld,
    steps,
    next: nextHandWork(steps, record.state.board !== null),
    bill: billOf(context),
    accounts: {
      surfacing: shown ? surfacingAccount(shown, record.machine.units, record.machine.surfacing.rows) : [],
      vacuum: vacuumAccount(context),
      feeds,
      time,
    },
    findings: raised(context.findings, record.house.raise),
  };
}

/**
 * An operation whose figures are out of range is withheld with what was wrong, and the finding stops the machine: a
 * plan is always made, a wrong program never.
 */
function attempt(context: WorkContext, operation: OperationName, form: Form, make: () => Outcome): Outcome {
  try {
    return make();
  } catch (error) {
    if (!(error instanceof RangeError) && !(error instanceof InputError)) throw error;
    addFinding(context, {
      code: 'operations/impossible',
      message: `${operation} cannot be made: ${error.message}`,
    });
    return { withheld: { operation, form, reason: `it cannot be made: ${error.message}` } };
  }
}

/** The stack of every site; a site without one has a finding of severity `stop`. */
function solveStacks(
  record: MachineRecord,
  layout: Layout,
  findings: Diagnostic[],
): ReadonlyMap<string, Stack> {
  const stacks = new Map<string, Stack>();
  const failed = new Map<string, { sites: string[]; result: Extract<StackResult, { feasible: false }> }>();
  for (const site of layout.sites) {
    let result: StackResult;
    try {
      const input = stackInput(record, site.actual, site.uncertainty);
      const board = record.state.board;
      result = board?.pocketed ? solveFittedStack(input, board.thicknessWhenFitted) : solveStack(input);
    } catch (error) {
      if (!(error instanceof InputError)) throw error;
      findings.push(...error.diagnostics.map((d) => ({ ...d, place: d.place ?? profilePlace(record) })));
      return stacks;
    }
    if (result.feasible) {
      stacks.set(site.id, result.stack);
      continue;
    }
    const key = result.conflict.join(' / ');
    const same = failed.get(key);
    if (same) same.sites.push(site.id);
    else failed.set(key, { sites: [site.id], result });
  }
  for (const [conflict, { sites, result }] of failed) {
    findings.push(
      report({
        code: 'stack/impossible',
        message: `no stack for ${listOf(sites)}: ${titles(result, conflict)} cannot both hold`,
        place: profilePlace(record),
        help:
          result.remedies[0] ??
          `no single change frees it: choose another fixing or board, or change what one of the two asks for; \`bedledger explain ${record.machine.id} ${sites[0]}\` lists every bound with its figures`,
      }),
    );
  }
  const least = [...stacks.values()].reduce((m, s) => Math.min(m, s.cover), Number.POSITIVE_INFINITY);
  if (record.state.board?.pocketed && least < record.house.stack.coverMin) {
    findings.push(
      report({
        code: 'stack/worn-out',
        message:
          least < 0
            ? `the board is worn out: heads stand ${lengthText(-least, record.machine.units)} above its surface`
            : `the board is worn out: ${lengthText(least, record.machine.units)} are left over a head, the house keeps ${lengthText(record.house.stack.coverMin, record.machine.units)}`,
        place: { file: `machines/${record.machine.id}/ledger.yaml` },
      }),
    );
  }
  return stacks;
}

function titles(result: Extract<StackResult, { feasible: false }>, conflict: string): string {
  const named = result.conflict.map((id) => {
    const bound = result.bounds.find((b) => b.id === id);
    return bound ? `"${bound.title}" (${id})` : id;
  });
  return named.length === 2 ? named.join(' and ') : conflict;
}
