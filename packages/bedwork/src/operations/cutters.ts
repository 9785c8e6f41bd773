import { lengthText } from '@bedledger/diagnostics';
import type { Cutter, OperationName } from '@bedledger/fleet';
import { OPERATION_FACTS } from '../base/operation-facts.ts';
import type { Cutting } from '../feeds/cutting.ts';
import { addFinding, type WorkContext } from '../work/context.ts';

/** The cutter of an operation, or why there is none; with a finding when the profile names one that does not exist. */
export function cutterFor(context: WorkContext, operation: OperationName): Cutter | string {
  const { machine, record } = context;
  const duty = OPERATION_FACTS[operation].duty(machine);
  if (duty === null) throw new RangeError(`${operation} has no cutter`);
  const id = machine.cutters[duty];
  const cutter = id === null ? undefined : record.cutters.get(id);
  if (cutter) return cutter;
  if (id !== null) {
    addFinding(context, {
      code: 'operations/no-cutter',
      message: `no cutter \`${id}\` for the duty ${duty} in shared/cutters.yaml`,
      help: `name one of ${[...record.cutters.keys()].sort().join(', ') || 'the shared cutters'}`,
    });
  }
  return `the profile names no cutter for the duty ${duty} (\`cutters.${duty}\`)`;
}

/** Reports what the feeds could not keep, once a program. */
export function reportTroubles(context: WorkContext, program: string, troubles: Cutting['troubles']): void {
  for (const trouble of troubles) {
    addFinding(context, { code: trouble.code, message: `${program}: ${trouble.text}` });
  }
}

/** Stops when the flutes are shorter than the cut is deep, mm. */
export function checkCuttingLength(
  context: WorkContext,
  program: string,
  cutter: Cutter,
  depth: number,
): void {
  if (depth <= cutter.cuttingLength + 1e-6) return;
  const { units } = context.machine;
  const shankFits =
    cutter.shankDiameter <= cutter.diameter && cutter.stickOut !== null && depth < cutter.stickOut;
  addFinding(context, {
    code: 'operations/cutting-length',
    severity: shankFits ? 'warn' : 'stop',
    message: `${program}: the cut is ${lengthText(depth, units)} deep and cutter ${cutter.id} cuts ${lengthText(cutter.cuttingLength, units)} of its length`,
  });
}
