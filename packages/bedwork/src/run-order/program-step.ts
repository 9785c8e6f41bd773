import { keyValue, lengthText } from '@bedledger/diagnostics';
import type { NeutralProgram } from '../motion/program.ts';
import { timeCorrection } from '../time/correction.ts';
import { handMinutes } from '../work/context.ts';
import type { Sheet, WorkStep } from './step.ts';

/** What the sheet adds to what a program's header says. */
export interface ProgramExtras {
  readonly lines: readonly string[];
  /** To measure and write down, besides the minutes that it took. */
  readonly record: WorkStep['record'];
  readonly done: boolean;
}

/** Where a program that only visits stops, in its order: a controller without comments shows no name. */
function stopsInOrder({ moves }: NeutralProgram): string[] {
  if (!moves.some(({ kind }) => kind === 'stop') || moves.some(({ kind }) => kind === 'feed')) return [];
  const names = moves.flatMap((m) => (m.kind === 'section' ? [m.title.replace(/^(site|feature) /, '')] : []));
  return [`it stops above, in this order: ${names.join(', ')}`];
}

/** The step that runs a program: what its header says, the cutter, the number to key in. */
export function programStep({ context }: Sheet, program: NeutralProgram, extras: ProgramExtras): WorkStep {
  const { header } = program;
  const { cutter } = header;
  const { units } = context.machine;
  const correction = timeCorrection(context.record.ledger, program.operation);
  return {
    kind: 'program',
    title: header.title,
    lines: [
      ...header.before,
      cutter
        ? `cutter ${cutter.title}, ${lengthText(cutter.diameter, units)}, tool ${cutter.number}`
        : 'no cutter turns in this program',
      ...extras.lines,
      ...stopsInOrder(program),
      ...header.after,
    ],
    keyIn:
      header.keyIn === null
        ? null
        : {
            label: header.zZero === 'bed' ? 'key in on the board: Z' : "key in on the board's top: Z",
            value: keyValue(header.keyIn, units),
            unit: units,
          },
    record: [{ label: 'minutes it took', unit: 'min' }, ...extras.record],
    cautions: header.cautions,
    program: program.name,
    // The machine's minutes, and the operator's before them.
    minutes: Math.ceil(
      header.minutes * correction.factor +
        handMinutes(context, 'touch-off', 3) +
        (cutter ? handMinutes(context, 'change-cutter', 4) : 0),
    ),
    done: extras.done,
  };
}
