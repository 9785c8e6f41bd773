import {
  type Diagnostic,
  foldFindings,
  foldTogether,
  hasStop,
  type Told,
  toPlain,
} from '@bedledger/diagnostics';
import { loadShared } from '@bedledger/fleet';
import { numberOption, type OptionSpec, UsageError } from '../arguments.ts';
import type { CommandContext } from '../command.ts';
import { EXIT, type ExitCode } from '../exit.ts';
import { faultText } from '../fault.ts';
import { sharedFindings } from '../load-machines.ts';
import type { MachineOutcome, MachineTask, Verdict } from '../machine-task.ts';
import { runTasks } from '../pool.ts';
import { NO_MACHINE, selectMachines } from '../select-machines.ts';
import { machineObject } from './machine-object.ts';

export const WORKERS_OPTION: OptionSpec = {
  name: 'workers',
  value: 'number',
  placeholder: 'N',
  help: 'machines done at a time, each by a worker of its own (default: one a core; 1: no worker)',
};

/**
 * Does one kind of task for every machine the call names, over the cores. `told` prints findings, and a machine's outcome; faults
 * of this program, the JSON object and the exit code are the same for all such commands.
 */
export async function overMachines(
  kind: MachineTask['kind'],
  { args, output, root, workerScript }: CommandContext,
  told: {
    readonly findings: (findings: readonly Told[]) => void;
    readonly outcome: (outcome: MachineOutcome) => void;
    /** Found of each machine beside its task, by id. */
    readonly found?: (ids: readonly string[]) => ReadonlyMap<string, readonly Diagnostic[]>;
  },
): Promise<ExitCode> {
  const workers = numberOption(args, 'workers');
  if (workers !== undefined && !(Number.isInteger(workers) && workers >= 1 && workers <= 1000))
    throw new UsageError('--workers takes a whole number from 1', 'write e.g. --workers 2');
  const ids = selectMachines(root, args.positional);
  if (ids.length === 0) output.say(NO_MACHINE);
  const beside = told.found?.(ids);
  const shared = sharedFindings(loadShared(root));
  told.findings(foldFindings(shared));
  const result = await runTasks(
    ids.map((id) => ({ kind, root, id })),
    {
      script: workerScript,
      workers,
      done: (n, id) => output.progress(`${kind}: ${n} of ${ids.length} (${id})`),
      cannotStart: (why) =>
        output.warn(`bedledger: no worker could start, so machines are done one after another: ${why}`),
    },
  );
  output.progressDone();
  const outcomes = result.outcomes.map((o) => withFound(o, beside?.get(o.id) ?? []));
  // What several machines have in common is told once, before what each has of its own.
  const { shared: common, own } = foldTogether(outcomes.map(({ findings }) => foldFindings(findings)));
  told.findings(common);
  for (const [i, outcome] of outcomes.entries()) {
    if (outcome.fault !== null) output.warn(faultText(outcome.fault, outcome.id));
    told.findings(own[i] ?? []);
    told.outcome(outcome);
  }
  output.object({
    command: kind,
    workers: result.workers,
    findings: shared.map(toPlain),
    machines: outcomes.map(machineObject),
  });
  return outcomes.reduce<ExitCode>(
    (worst, o) => heavierExit(worst, EXIT_OF[o.verdict]),
    hasStop(shared) ? EXIT.wrong : EXIT.fine,
  );
}

/** The outcome with what was found beside it: a stop among it blocks the machine, whatever its files are. */
function withFound(outcome: MachineOutcome, found: readonly Diagnostic[]): MachineOutcome {
  if (found.length === 0) return outcome;
  const held = hasStop(found) && EXIT_OF[outcome.verdict] <= EXIT.findings;
  return {
    ...outcome,
    verdict: held ? 'blocked' : outcome.verdict,
    findings: [...outcome.findings, ...found],
  };
}

const EXIT_OF: Readonly<Record<Verdict, ExitCode>> = {
  fine: EXIT.fine,
  changed: EXIT.fine,
  stale: EXIT.findings,
  blocked: EXIT.findings,
  wrong: EXIT.wrong,
  fault: EXIT.fault,
};

/** A fault weighs more than wrong input, and that more than findings. */
function heavierExit(a: ExitCode, b: ExitCode): ExitCode {
  return a >= b ? a : b;
}
