import { join } from 'node:path';
import { type Diagnostic, InputError } from '@bedledger/diagnostics';
import { isAside, machineIsBeingWritten, readConsistently, whileMachineIsOurs } from '@bedledger/fleet';
import { type Fault, faultOf } from './fault.ts';
import { isFileTrouble, refusedFinding } from './file-trouble.ts';
import { type Difference, firstDifference } from './first-difference.ts';
import { type IssuedSet, issuedFolder, issueMachine } from './issued-set.ts';
import { loadMachines } from './load-machines.ts';
import { report } from './report.ts';
import { steadily } from './steadily.ts';
import {
  compareSet,
  type FileChange,
  issuedBytes,
  leftoversOfSet,
  recoverSet,
  writeSet,
} from './write-set.ts';

/** One machine's share of a command; plain data, so that it may travel to a worker. */
export interface MachineTask {
  readonly kind: 'regenerate' | 'check';
  readonly root: string;
  readonly id: string;
}

export interface StaleFile extends FileChange {
  /** Where the committed file first differs; null when it is missing or should not be there. */
  readonly difference: Difference | null;
}

/**
 * `changed`: files were written; `stale`: committed files are not what the profile gives; `blocked`: a stop was found;
 * `wrong`: the machine's files cannot be read or written; `fault`: this program failed on it.
 */
export type Verdict = 'fine' | 'changed' | 'stale' | 'blocked' | 'wrong' | 'fault';

export interface MachineOutcome {
  readonly id: string;
  readonly title: string;
  readonly verdict: Verdict;
  readonly changes: readonly StaleFile[];
  /** Those of the machine's own files and work; what is wrong with the shared files is said once for all machines. */
  readonly findings: readonly Diagnostic[];
  readonly withheld: readonly {
    readonly operation: string;
    readonly form: string | null;
    readonly reason: string;
  }[];
  readonly programs: number;
  /** The next hand work, one sentence. */
  readonly next: string;
  /** An earlier write had been interrupted, and its old set was put back. */
  readonly recovered: boolean;
  /** Where the verdict is `fault`: what this program failed with. */
  readonly fault: Fault | null;
}

/**
 * Loads one machine, makes its issued set in memory, and writes it (`regenerate`) or compares it (`check`). Throws nothing:
 * what goes wrong with one machine is in its outcome, so that the other machines are done.
 */
export function runMachineTask(task: MachineTask): MachineOutcome {
  return orTrouble(task, false, () => {
    const { root, id } = task;
    if (task.kind === 'check') return steadily(task.root, task.id, () => checkMachine(task));
    const done = whileMachineIsOurs(root, id, 'regenerate', () => regenerateMachine(task), {
      onWait: (message) => process.stderr.write(`${message}\n`),
    });
    return 'locked' in done ? wrongOutcome(id, [done.locked]) : done.value;
  });
}

/** What `act` comes to; where it throws, the outcome says what went wrong. */
function orTrouble(task: MachineTask, recovered: boolean, act: () => MachineOutcome): MachineOutcome {
  try {
    return act();
  } catch (error) {
    if (error instanceof InputError) return wrongOutcome(task.id, error.diagnostics, recovered);
    if (isFileTrouble(error)) return wrongOutcome(task.id, [refusedFinding(task.root, error)], recovered);
    return { ...faultOutcome(task.id, error), recovered };
  }
}

/** Nothing was done for a machine. */
function nothingDone(id: string): Omit<MachineOutcome, 'verdict'> {
  return {
    id,
    title: id,
    changes: [],
    findings: [],
    withheld: [],
    programs: 0,
    next: '',
    recovered: false,
    fault: null,
  };
}

function wrongOutcome(id: string, findings: readonly Diagnostic[], recovered = false): MachineOutcome {
  return { ...nothingDone(id), verdict: 'wrong', findings, recovered };
}

/** The outcome of a machine on which this program itself failed. */
export function faultOutcome(id: string, error: unknown): MachineOutcome {
  return { ...nothingDone(id), verdict: 'fault', fault: faultOf(error) };
}

/** A machine's set, made in memory, with what is said of the machine either way; or what is wrong with its files. */
function makeSet(task: MachineTask, recovered: boolean): { set: IssuedSet | null; outcome: MachineOutcome } {
  const { root, id } = task;
  const { record = null, findings = [] } = loadMachines(root, [id]).machines[0] ?? {};
  if (record === null) return { set: null, outcome: wrongOutcome(id, findings, recovered) };
  const set = issueMachine(record);
  const outcome: MachineOutcome = {
    id,
    title: record.machine.title,
    verdict: set.blocked ? 'blocked' : 'fine',
    changes: [],
    findings: [...findings, ...set.findings],
    // What the profile never asked for is in the manifest, but nobody looks for it.
    withheld: set.plan.withheld.filter((w) => w.asked !== false),
    programs: set.manifest.programs.length,
    next: set.plan.next,
    recovered,
    fault: null,
  };
  return { set: set.blocked ? null : set, outcome };
}

/** Only for the holder of the machine's lock. */
function regenerateMachine(task: MachineTask): MachineOutcome {
  const folder = join(task.root, 'machines', task.id);
  const { restored } = recoverSet(folder);
  // What was put back is told, whatever happens afterwards.
  return orTrouble(task, restored, () => {
    const { set, outcome } = steadily(task.root, task.id, () => makeSet(task, restored));
    const changes = set === null ? [] : writeSet(folder, set.files).map((c) => ({ ...c, difference: null }));
    return {
      ...outcome,
      verdict: changes.length > 0 ? 'changed' : outcome.verdict,
      changes,
      findings: [...outcome.findings, ...leftoversOfSet(folder).map((name) => leftover(task.id, name))],
    };
  });
}

function leftover(id: string, name: string): Diagnostic {
  return report({
    code: 'file/leftover',
    message: `\`${name}\` is left over from writing and could not be removed`,
    place: { file: `machines/${id}/${name}` },
  });
}

function checkMachine(task: MachineTask): MachineOutcome {
  const { root, id } = task;
  const { set, outcome } = makeSet(task, false);
  if (set === null) return outcome;
  const folder = join(root, issuedFolder(id));
  const changes = readConsistently(
    folder,
    () => staleFiles(folder, set),
    () => machineIsBeingWritten(root, id),
  );
  const stale = (findings: readonly Diagnostic[], of: readonly StaleFile[]): MachineOutcome => ({
    ...outcome,
    verdict: 'stale',
    findings: [...outcome.findings, ...findings],
    changes: of,
  });
  if (changes === null) {
    const message = `machines/${id}/issued is being written, and did not stand still for long enough to be read`;
    const found = report({ code: 'file/being-written', message });
    return { ...outcome, verdict: 'wrong', findings: [...outcome.findings, found] };
  }
  if (isAside(join(root, 'machines', id), 'issued')) {
    const message = `machines/${id}/issued is missing: writing it was interrupted, and the old files are aside`;
    return stale([report({ code: 'file/interrupted', message })], changes.value);
  }
  return changes.value.length > 0 ? stale([], changes.value) : outcome;
}

function staleFiles(folder: string, set: IssuedSet): StaleFile[] {
  return compareSet(folder, set.files).map((change) => {
    const found = change.change === 'changed' ? issuedBytes(join(folder, change.path)) : null;
    return {
      ...change,
      difference:
        found === null ? null : firstDifference(found.toString('utf8'), set.files.get(change.path) as string),
    };
  });
}
