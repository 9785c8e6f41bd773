import type { Command } from '../command.ts';
import { EXIT, type ExitCode } from '../exit.ts';
import type { MachineOutcome } from '../machine-task.ts';
import { runTasks } from '../pool.ts';
import { NO_MACHINE, selectMachines } from '../select-machines.ts';
import { machineObject } from './machine-object.ts';

export const regenerate: Command = {
  name: 'regenerate',
  usage: 'regenerate [machine…]',
  summary: 'write every issued file from the profiles',
  options: [],
  examples: ['bedledger regenerate', 'bedledger regenerate heron egret'],
  positional: [0, Number.POSITIVE_INFINITY],
  needsFleet: true,
  run: async ({ args, output, root }) => {
    const ids = selectMachines(root, args.positional);
    if (ids.length === 0) output.say(NO_MACHINE);
    const outcomes = await runTasks(
      ids.map((id) => ({ kind: 'regenerate', root, id })),
      (n, id) => output.progress(`regenerate: ${n} of ${ids.length} (${id})`),
    );
    output.progressDone();
    for (const outcome of outcomes) {
      output.diagnostics(outcome.findings);
      report(outcome, output);
    }
    output.object({ command: 'regenerate', machines: outcomes.map(machineObject) });
    return exitCode(outcomes);
  },
};

function report(outcome: MachineOutcome, output: Parameters<Command['run']>[0]['output']): void {
  const { id, verdict, changes, programs } = outcome;
  if (outcome.recovered)
    output.marked('note', `${id}: an interrupted write was undone first; the old files are back`);
  if (verdict === 'wrong')
    output.marked('stop', `${id}: the profile or its ledger is wrong; nothing was written`);
  else if (verdict === 'blocked')
    output.marked('stop', `${id}: does not pass its check; the files issued before are left as they were`);
  else if (verdict === 'fine') output.marked('ok', `${id}: ${programs} programs, nothing to change`);
  else {
    output.marked(
      'changed',
      `${id}: ${programs} programs, ${changes.length} ${changes.length === 1 ? 'file' : 'files'} written or removed`,
    );
    for (const { path, change } of changes) output.marked(change, `  machines/${id}/issued/${path}`);
  }
  for (const { operation, form, reason } of outcome.withheld) {
    output.marked('withheld', `  ${id} ${operation}${form === null ? '' : ` ${form}`}: ${reason}`);
  }
  if (outcome.next !== '') output.line(`          ${id} next: ${outcome.next}`);
}

/** Wrong input weighs more than findings; a machine that was written is fine. */
function exitCode(outcomes: readonly MachineOutcome[]): ExitCode {
  if (outcomes.some((o) => o.verdict === 'wrong')) return EXIT.wrong;
  return outcomes.some((o) => o.verdict === 'blocked') ? EXIT.findings : EXIT.fine;
}
