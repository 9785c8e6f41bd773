import type { Cutter, Form, MachineRecord, OperationName, OutputName } from '@bedledger/fleet';
import { OPERATION_FACTS, type OperationFacts } from '../base/operation-facts.ts';
import type { Cutting } from '../feeds/cutting.ts';
import type { MotionWriter } from '../motion/motion-writer.ts';
import { handMinutes, type WorkContext } from '../work/context.ts';
import { assemble } from './assemble.ts';
import { keepsLengths } from './conditions.ts';
import { checkCuttingLength, cutterFor, reportTroubles } from './cutters.ts';
import { outputsOf, writerOn } from './moves.ts';
import { type HeaderTexts, type Outcome, withhold } from './outcome.ts';
import type { SkimPlan } from './plan-skim.ts';

/** Everything that there is to know of one operation. */
export interface OperationDescriptor extends OperationFacts {
  readonly name: OperationName;
  readonly on: (record: MachineRecord) => 'bed' | 'board';
  /** Why the profile does not ask for it; null: it does, or the operation belongs to every machine. */
  readonly notAsked: (context: WorkContext) => string | null;
  /** What stands against it today, by the ledger alone: why not, and what would change that. Null: it may be issued. */
  readonly forbidden: (context: WorkContext, form: Form | null) => string | null;
  /**
   * Its program, or why there is none.
   * @throws RangeError or InputError when figures of the profile or the ledger lead to a motion that no program may contain
   */
  readonly make: (context: WorkContext, form: Form | null) => Outcome;
}

/** What was decided of a program before a move is written. */
export interface Job {
  /** Ids of the sites that it works at. */
  readonly sites: readonly string[];
  /** Lowest Z that it may reach, mm. */
  readonly floor: number;
}

export interface CuttingJob extends Job {
  readonly cutting: Cutting;
  /** How deep the flutes go into the material, mm; null where that is looked after otherwise. */
  readonly fluteDepth: number | null;
  readonly skim?: SkimPlan;
}

/** Why no program can be made, though nothing forbids it. */
export interface Refusal {
  readonly refused: string;
  readonly skim?: SkimPlan;
}

interface Definition<J extends Job>
  extends Pick<OperationDescriptor, 'name' | 'on' | 'notAsked' | 'forbidden'> {
  readonly header: (context: WorkContext, job: J, form: Form | null) => HeaderTexts;
}

/** An operation without a turning cutter: it goes from place to place and stops at each. */
interface VisitDefinition<J extends Job> extends Definition<J> {
  readonly decide: (context: WorkContext) => J | Refusal;
  readonly write: (writer: MotionWriter, context: WorkContext, job: J) => void;
  /** What the operator needs at one stop: the house's name for it, and minutes where the house has no figure. */
  readonly stop: readonly [kind: string, minutes: number];
}

/** An operation that cuts. */
interface CutDefinition<J extends CuttingJob> extends Definition<J> {
  /** Outputs that run while it cuts, where the controller has them. */
  readonly outputs: readonly OutputName[];
  readonly decide: (context: WorkContext, form: Form | null, cutter: Cutter) => J | Refusal;
  /** Writes all cuts; the first thing is a restart point. Lifting and switching off at the end are not its business. */
  readonly write: (writer: MotionWriter, context: WorkContext, job: J, cutter: Cutter) => void;
}

/** The descriptor of an operation that visits places with the spindle off. */
export function visit<J extends Job>(definition: VisitDefinition<J>): OperationDescriptor {
  return describe(definition, (context, form) => {
    const job = definition.decide(context);
    if (isRefusal(job)) return withhold(definition.name, form, job.refused);
    const on = definition.on(context.record);
    const writer = writerOn(context, on, job.floor);
    definition.write(writer, context, job);
    const [kind, minutes] = definition.stop;
    return assemble(context, {
      operation: definition.name,
      form,
      on,
      cutter: finderOf(context),
      cutting: null,
      texts: definition.header(context, job, form),
      sites: job.sites,
      moves: writer.finish(),
      stopMinutes: handMinutes(context, kind, minutes),
      skim: null,
    });
  });
}

/**
 * What stands in the spindle while places are visited: where the controller keeps tool lengths, the cutter for marks, so
 * that the height of its tip is known; elsewhere whatever the operator touches off with.
 */
function finderOf({ machine, record }: WorkContext): Cutter | null {
  if (!keepsLengths(machine)) return null;
  return record.cutters.get(machine.cutters.mark) ?? null;
}

/** The descriptor of an operation that cuts. */
export function cut<J extends CuttingJob>(definition: CutDefinition<J>): OperationDescriptor {
  const { name } = definition;
  return describe(definition, (context, form) => {
    const cutter = cutterFor(context, name);
    if (typeof cutter === 'string') return withhold(name, form, cutter);
    const job = definition.decide(context, form, cutter);
    if (isRefusal(job)) return withhold(name, form, job.refused, job.skim);
    const on = definition.on(context.record);
    const writer = writerOn(context, on, job.floor);
    writer.running(job.cutting.rpm, outputsOf(context, definition.outputs));
    definition.write(writer, context, job, cutter);
    reportTroubles(context, name, job.cutting.troubles);
    if (job.fluteDepth !== null) checkCuttingLength(context, name, cutter, job.fluteDepth);
    writer.retract();
    // The vacuum stays on until the operator is there.
    for (const output of outputsOf(context, ['extraction'])) writer.auxiliary(output, false);
    return assemble(context, {
      operation: name,
      form,
      on,
      cutter,
      cutting: job.cutting,
      texts: definition.header(context, job, form),
      sites: job.sites,
      moves: writer.finish(),
      stopMinutes: handMinutes(context, 'stop', 0.5),
      skim: job.skim ?? null,
    });
  });
}

function describe<J extends Job>(
  definition: Definition<J>,
  make: OperationDescriptor['make'],
): OperationDescriptor {
  const { name, on, notAsked, forbidden } = definition;
  return {
    ...OPERATION_FACTS[name],
    name,
    on,
    notAsked,
    forbidden,
    make: (context, form) => {
      const unwanted = notAsked(context);
      if (unwanted !== null) {
        return { withheld: { operation: name, form, reason: unwanted, asked: false }, skim: null };
      }
      const reason = forbidden(context, form);
      return reason === null ? make(context, form) : withhold(name, form, reason);
    },
  };
}

function isRefusal(job: Job | Refusal): job is Refusal {
  return 'refused' in job;
}
