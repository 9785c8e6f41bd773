import { lengthText } from '@bedledger/diagnostics';
import type { Cutter, Form, OperationName } from '@bedledger/fleet';
import type { Cutting } from '../feeds/cutting.ts';
import type { Move } from '../motion/program.ts';
import { motionTime } from '../time/motion-time.ts';
import { addFinding, type WorkContext } from '../work/context.ts';
import type { HeaderTexts, Outcome } from './outcome.ts';
import type { SkimPlan } from './plan-skim.ts';

export interface ProgramParts {
  readonly operation: OperationName;
  readonly form: Form | null;
  readonly on: 'bed' | 'board';
  readonly cutter: Cutter | null;
  readonly cutting: Cutting | null;
  readonly texts: HeaderTexts;
  readonly sites: readonly string[];
  readonly moves: readonly Move[];
  /** Minutes of operator's time at one programmed stop. */
  readonly stopMinutes: number;
  readonly skim: SkimPlan | null;
}

/** Puts header and moves together and times them. */
export function assemble(context: WorkContext, parts: ProgramParts): Outcome {
  const { machine, record } = context;
  const { operation, form, cutter, texts } = parts;
  const name = form === null ? operation : `${operation}-${form}`;
  const heights = parts.on === 'bed' ? context.overBed : context.overBoard;
  const board = parts.on === 'board' ? record.state.board : null;
  const top = board !== null && machine.zZero === 'board-top';
  const start = { clear: heights.clear, spinUp: machine.spindle.spinUp, park: machine.park };
  const time = motionTime(parts.moves, machine, start, parts.stopMinutes * 60);
  if (heights.beyondTravel) {
    addFinding(context, {
      code: 'operations/clear-height',
      message: `${name} needs a clear height of ${lengthText(heights.clear, machine.units)} over ${heights.highest.name} and the spindle's travel ends at ${lengthText(machine.travel.z[1], machine.units)}`,
      help: `lower ${heights.highest.name} or take it off the bed`,
    });
  }
  return {
    time,
    cutting: parts.cutting,
    skim: parts.skim,
    program: {
      operation,
      form,
      name,
      header: {
        machineId: machine.id,
        machine: machine.title,
        title: texts.title,
        revision: record.revision,
        cutter: cutter && {
          id: cutter.id,
          title: cutter.title,
          number: cutter.number,
          diameter: cutter.diameter,
        },
        zZero: top ? 'board-top' : 'bed',
        zeroHeight: top && board ? board.thickness : 0,
        keyIn: board ? (top ? 0 : board.thickness) : null,
        workOffset: machine.datum.workOffset,
        // Up to a tenth of a minute.
        minutes: Math.max(0.1, Math.ceil(time.total / 6) / 10),
        before: texts.before,
        after: texts.after,
        cautions: texts.cautions,
        sites: parts.sites,
      },
      clearHeight: heights.clear,
      park: machine.park,
      spinUp: machine.spindle.spinUp,
      moves: parts.moves,
    },
  };
}
