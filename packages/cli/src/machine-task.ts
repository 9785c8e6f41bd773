import { existsSync } from 'node:fs';
import { join } from 'node:path';
import { type Diagnostic, hasStop } from '@bedledger/diagnostics';
import { loadFleet } from '@bedledger/fleet';
import { type Difference, firstDifference } from './first-difference.ts';
import { type IssuedSet, issuedFolder, issueMachine } from './issued-set.ts';
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

export interface MachineOutcome {
  readonly id: string;
  readonly title: string;
  /** `wrong`: the profile could not be read; `blocked`: a stop was found; `stale`: committed files are not what the profile gives. */
  readonly verdict: 'fine' | 'changed' | 'stale' | 'blocked' | 'wrong';
  readonly changes: readonly StaleFile[];
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
}

/** Loads one machine, makes its issued set in memory, and writes it (`regenerate`) or compares it (`check`). */
export function runMachineTask(task: MachineTask): MachineOutcome {
  const { root, id } = task;
  const folder = join(root, 'machines', id);
  const recovered = task.kind === 'regenerate' && existsSync(folder) && recoverSet(folder);
  const loaded = loadFleet(root, { only: [id] });
  const entry = loaded.machines.find((m) => m.id === id);
  const inputFindings = [...loaded.diagnostics];
  const record = entry?.record ?? null;
  if (record === null || hasStop(inputFindings)) {
    return {
      id,
      title: id,
      verdict: 'wrong',
      changes: [],
      findings: inputFindings,
      withheld: [],
      programs: 0,
      next: '',
      recovered,
    };
  }
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
