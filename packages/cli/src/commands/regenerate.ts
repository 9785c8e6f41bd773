import type { Command } from '../command.ts';
import type { MachineOutcome } from '../machine-task.ts';
import type { Output } from '../output.ts';
import { overMachines, WORKERS_OPTION } from './over-machines.ts';

export const regenerate: Command = {
  name: 'regenerate',
  usage: 'regenerate [machine…]',
  summary: 'write every issued file from the profiles',
  options: [WORKERS_OPTION],
  examples: ['bedledger regenerate', 'bedledger regenerate heron egret'],
  positional: [0, Number.POSITIVE_INFINITY],
  needsFleet: true,
  run: async (context) =>
    overMachines('regenerate', context, {
      findings: (list) => context.output.told(list),
      outcome: (outcome) => tell(outcome, context.output),
    }),
};

function tell(outcome: MachineOutcome, output: Output): void {
  const { id, verdict, changes, programs } = outcome;
  if (outcome.recovered)
    output.marked('note', `${id}: an interrupted write was undone first; the old files are back`);
  switch (verdict) {
    case 'wrong':
      output.marked('stop', `${id}: a file of it, or a shared file, is wrong; nothing was written`);
      break;
    case 'blocked':
      output.marked('stop', `${id}: does not pass its check; the files issued before are left as they were`);
      break;
    case 'fault':
      output.marked('stop', `${id}: this program failed on it; what it failed with is above`);
      break;
    case 'fine':
      output.marked('ok', `${id}: ${programs} programs, nothing to change`);
      break;
    case 'changed':
    case 'stale':
      output.marked(
        'changed',
        `${id}: ${programs} programs, ${changes.length} ${changes.length === 1 ? 'file' : 'files'} written or removed`,
      );
      for (const { path, change } of changes) output.marked(change, `  machines/${id}/issued/${path}`);
  }
  // Of a machine that is stopped nothing is issued, whatever single programs would be withheld for.
  for (const { operation, form, reason } of verdict === 'blocked' ? [] : outcome.withheld) {
    output.marked('withheld', `  ${id} ${operation}${form === null ? '' : ` ${form}`}: ${reason}`);
  }
  if (outcome.next !== '') output.line(`          ${id} next: ${outcome.next}`);
}
