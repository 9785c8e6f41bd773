import { existsSync } from 'node:fs';
import { isAbsolute, join, relative, sep } from 'node:path';
import { type Diagnostic, InputError } from '@bedledger/diagnostics';
import { type Fault, faultOf } from './fault.ts';
import { fileTroubleText, isFileTrouble } from './file-trouble.ts';
import { type Difference, firstDifference } from './first-difference.ts';
import { type IssuedSet, issuedFolder, issueMachine } from './issued-set.ts';
import { loadMachines } from './load-machines.ts';
import { report } from './report.ts';
import { compareSet, type FileChange, issuedBytes, recoverSet, writeSet } from './write-set.ts';

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
  try {
    return issueAndCompare(task);
  } catch (error) {
    if (error instanceof InputError) return wrongOutcome(task.id, error.diagnostics);
    if (isFileTrouble(error)) {
      const { path, message } = fileTroubleText(error);
      const file = relative(task.root, path);
      const inside = file !== '' && !file.startsWith('..') && !isAbsolute(file);
      return wrongOutcome(task.id, [
        report({
          code: 'file/refused',
          message,
          place: { file: inside ? file.split(sep).join('/') : path },
        }),
      ]);
    }
    return faultOutcome(task.id, error);
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

function issueAndCompare(task: MachineTask): MachineOutcome {
  const { root, id } = task;
  const folder = join(root, 'machines', id);
  const recovered = task.kind === 'regenerate' && existsSync(folder) && recoverSet(folder);
  const { record = null, findings: inputFindings = [] } = loadMachines(root, [id]).machines[0] ?? {};
  if (record === null) return wrongOutcome(id, inputFindings, recovered);
  const set = issueMachine(record);
  const findings = [...inputFindings, ...set.findings];
  const base = {
    id,
    title: record.machine.title,
    findings,
    // What the profile never asked for is in the manifest, but nobody looks for it.
    withheld: set.plan.withheld.filter((w) => w.asked !== false),
    programs: set.manifest.programs.length,
    next: set.plan.next,
    recovered,
    fault: null,
  };
  if (set.blocked) return { ...base, verdict: 'blocked', changes: [] };
  if (task.kind === 'regenerate') {
    const changes = writeSet(folder, set.files).map((c) => ({ ...c, difference: null }));
    return { ...base, verdict: changes.length > 0 ? 'changed' : 'fine', changes };
  }
  const changes = staleFiles(join(root, issuedFolder(id)), set);
  return { ...base, verdict: changes.length > 0 ? 'stale' : 'fine', changes };
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
