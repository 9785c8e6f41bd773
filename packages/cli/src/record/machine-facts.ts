import { rounded } from '@bedledger/diagnostics';
import { type FactWritten, SURVEY_FILE } from '@bedledger/fleet';
import { numberOption, UsageError } from '../arguments.ts';
import type { MachineFact, RecordCall } from './call.ts';

/** What each fact of a whole machine takes from the call. */
export const MACHINE_FACT: Readonly<Record<MachineFact, (call: RecordCall) => FactWritten>> = {
  skim: (call) => {
    const heights = call.text('heights');
    return call.fact({
      commanded: call.neededQuantity('commanded'),
      thickness: call.thickness(),
      ...(heights === undefined ? {} : { heights }),
    });
  },
  heights: (call) => call.fact({ file: call.neededText('file') }),
  survey: (call) => call.fact({ file: call.text('file') ?? SURVEY_FILE }),
  vacuum: (call) => {
    const zone = call.text('zone');
    return call.fact({
      ...(zone === undefined ? {} : { zone }),
      covered: call.neededQuantity('covered'),
      ...call.optional('uncovered', 'uncovered'),
    });
  },
  datum: (call) => call.fact({ mark: call.neededPoint('mark'), second: call.neededPoint('second') }),
  moisture: (call) => call.fact({ percent: call.neededNumber('percent') }),
  time: (call) => {
    const operation = call.neededText('operation');
    return call.fact({
      operation,
      minutes: call.neededNumber('minutes'),
      predicted: numberOption(call.args, 'predicted') ?? predictedMinutes(call, operation),
    });
  },
  vouch: (call) =>
    call.fact({
      deviation: call.neededQuantity('deviation'),
      by: call.neededText('by'),
      reason: call.neededText('reason'),
    }),
  note: (call) => call.fact({ text: call.neededText('text') }),
};

/** Minutes that the machine's present programs of an operation say. */
function predictedMinutes(call: RecordCall, operation: string): number {
  let sum = 0;
  for (const program of call.plan().programs)
    if (program.operation === operation) sum += program.header.minutes;
  if (sum === 0)
    throw new UsageError(
      `no program \`${operation}\` is planned, so its prediction is not known`,
      'give --predicted as it stood on the program',
    );
  return rounded(sum, 2);
}
