import type { Diagnostic } from '@bedledger/diagnostics';
import { type Stack, type StackInput, type StackResult, solveStack } from '@bedledger/fasteners';
import type { MachineRecord } from '@bedledger/fleet';
import { distance } from '@bedledger/geometry';
import { interlocks, listOf } from './interlocks/interlocks.ts';
import type { Layout } from './layout/model.ts';
import { planLayout } from './layout/plan-layout.ts';
import { feedLines, surfacingAccount, timeLine } from './operations/accounts.ts';
import { airPass } from './operations/air-pass.ts';
import { bedMark } from './operations/bed-mark.ts';
import { clearanceHoles } from './operations/clearance-holes.ts';
import { makeContext, type Outcome, profilePlace } from './operations/context.ts';
import { datumMark } from './operations/datum-mark.ts';
import { socketPockets } from './operations/socket-pockets.ts';
import { planSkim, type SkimOptions, surface, undersideSkim } from './operations/surface.ts';
import { surveyVisit } from './operations/survey-visit.ts';
import { trim } from './operations/trim.ts';
import type { AccountLine, Withheld, WorkPlan } from './plan.ts';
import type { NeutralProgram } from './program.ts';
import { billOf } from './run-order/bill.ts';
import { nextHandWork, workSteps } from './run-order/steps.ts';
import { timeCorrection } from './time/correction.ts';
import { vacuumAccount } from './vacuum/account.ts';

export interface PlanOptions {
  /** A layout made before, so that it is not made again. */
  readonly layout?: Layout;
  readonly skim?: SkimOptions;
}

/** Tolerance of a board that nobody has measured yet, mm: ANSI A208.2. */
const STOCK_TOLERANCE = 0.125;

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

  const underside = locks.undersideSkim === null ? planSkim(context, 'underside-skim') : null;
  const skim = locks.surface === null ? planSkim(context, 'surface', options.skim) : null;

  const outcomes: Outcome[] = [
    surveyVisit(context),
    datumMark(context, locks),
    airPass(context),
    bedMark(context, locks),
    undersideSkim(context, locks, underside),
    socketPockets(context, locks),
    clearanceHoles(context, locks, 'first-fit'),
    clearanceHoles(context, locks, 'refit'),
    trim(context, locks),
    surface(context, locks, skim),
  ];
  const programs: NeutralProgram[] = [];
  const withheld: Withheld[] = [];
  const time: AccountLine[] = [];
  const feeds: AccountLine[] = [];
  for (const outcome of outcomes) {
    if ('withheld' in outcome) {
      withheld.push(outcome.withheld);
      continue;
    }
    programs.push(outcome.program);
    const { name, operation, header } = outcome.program;
    time.push(timeLine(name, outcome.time, timeCorrection(record.ledger, operation)));
    if (outcome.cutting && header.cutter)
      feeds.push(...feedLines(name, header.cutter.title, outcome.cutting));
  }
  const shown = skim ?? underside;
  const steps = workSteps(context, locks, programs, skim?.expected ?? null);
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
      surfacing: shown ? surfacingAccount(shown, record.machine.units) : [],
      vacuum: vacuumAccount(context),
      feeds,
      time,
    },
    findings: context.findings,
  };
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
    const result = solveStack(stackInput(record, site.actual, site.uncertainty));
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
    findings.push({
      code: 'stack/impossible',
      severity: 'stop',
      message: `no stack for ${listOf(sites)}: ${conflict} cannot both hold`,
      place: profilePlace(record),
      ...(result.remedies[0] === undefined ? {} : { help: result.remedies[0] }),
    });
  }
  return stacks;
}

/** What the stack of one site is solved from: the board as measured, or the stock as sold while none is recorded. */
export function stackInput(
  record: MachineRecord,
  at: readonly [number, number],
  positionUncertainty: number,
): StackInput {
  const { machine, house, state, stock, fixing } = record;
  const board = state.board;
  const given = board?.pocketed
    ? {
        ...(board.screwLength === undefined ? {} : { screwLength: board.screwLength }),
        ...(board.pocketFloor === undefined ? {} : { pocketFloor: board.pocketFloor }),
      }
    : {};
  return {
    fixing,
    rules: house.stack,
    thickness: board ? board.thinnest : stock.thickness,
    thicknessUncertainty: board
      ? house.thicknessUncertainty
      : Math.max(house.thicknessUncertainty, STOCK_TOLERANCE),
    leastThickness: machine.board.leastThickness,
    bed: { thickness: machine.bed.thickness, floor: machine.bed.floor, cutLimit: machine.bed.cutLimit },
    reach: distance(machine.datum.mark, at),
    positionUncertainty,
    ...(Object.keys(given).length === 0 ? {} : { given }),
  };
}
