import { type Diagnostic, exactLength } from '@bedledger/diagnostics';
import { inFile, report } from '../report.ts';
import { RAPID } from '../trace.ts';
import type { Case } from './case.ts';

/** Programs that only visit: spindle at rest, never below the clear height. */
export function checkVisiting(c: Case): Diagnostic[] {
  const { units } = c.record.machine;
  const { machine } = c.record;
  const { trace } = c;
  const m = c.simulation.motions;
  const found: Diagnostic[] = [];
  // Up is allowed before: home and clear height may be two motions of Z alone.
  let lifts = 0;
  while (
    lifts < m.length &&
    trace.kind[lifts] === RAPID &&
    Number.isNaN(m.toX(lifts)) &&
    Number.isNaN(m.toY(lifts))
  )
    lifts++;
  const rests = trace.events.some((e) => e.kind === 'spindle' && e.value === 0 && e.at <= lifts);
  if (!rests && machine.controller.spindle.start !== 'manual') {
    found.push(
      report({
        code: 'program/spindle-must-rest',
        ...inFile(c.file, trace.line[0]),
        message: 'the program does not switch the spindle off before it moves across',
      }),
    );
  }
  const turning = trace.events.find((e) => e.kind === 'spindle' && e.value !== 0);
  const rpmAt = trace.rpm.findIndex((rpm) => rpm !== 0);
  if (turning || rpmAt >= 0) {
    found.push(
      report({
        code: 'program/spindle-must-rest',
        ...inFile(c.file, turning?.line ?? trace.line[rpmAt]!, 'M'),
        message: 'the spindle is started in a program that must run with it off',
      }),
    );
  }
  for (let i = 0; i < m.length; i++) {
    if (m.toZ(i) < machine.clearHeight - 1e-3 - 1e-6) {
      found.push(
        report({
          code: 'program/below-clear',
          ...inFile(c.file, trace.line[i]!, 'Z'),
          message: `Z goes to ${exactLength(m.toZ(i), units)} above the bed, the clear height is ${exactLength(machine.clearHeight, units)}`,
          facts: { found: m.toZ(i), allowed: machine.clearHeight },
        }),
      );
      break;
    }
  }
  return found;
}
