import { hostname } from 'node:os';
import { join } from 'node:path';
import type { Diagnostic } from '@bedledger/diagnostics';
import { report } from '../report.ts';
import { type Holder, LockedError, type LockOptions, liveHolder, withLock } from './lock.ts';

/** In the machine's folder, while a command writes there. */
const LOCK = '.machine.lock';

export interface MachineLockOptions extends Omit<LockOptions, 'onWait'> {
  /** Told once when the wait is long enough to be noticed: a sentence that names who is writing. */
  readonly onWait?: (message: string) => void;
}

/**
 * Does `act` while no other command writes the machine `machines/<id>`. Everything that writes below a machine's folder runs
 * in here, from reading what it builds on until the last rename: what another command records in between is never lost.
 *
 * @returns a finding in place of the value when another command kept the machine for too long
 * @throws the system's error when the lock cannot be written
 */
export function whileMachineIsOurs<T>(
  root: string,
  id: string,
  command: string,
  act: () => T,
  options: MachineLockOptions = {},
): { readonly value: T } | { readonly locked: Diagnostic } {
  const path = join(root, 'machines', id, LOCK);
  const { onWait, ...rest } = options;
  try {
    const value = withLock(path, `${command} ${id}`, act, {
      ...rest,
      ...(onWait ? { onWait: (holder) => onWait(`${id}: waiting for ${holderText(holder)}`) } : {}),
    });
    return { value };
  } catch (error) {
    if (!(error instanceof LockedError) || error.path !== path) throw error;
    return { locked: lockedFinding(id, error.holder) };
  }
}

/** A command is writing the machine at this moment, as far as can be known. Reads only. */
export function machineIsBeingWritten(
  root: string,
  id: string,
  options: Pick<LockOptions, 'disk' | 'processes'> = {},
): boolean {
  return liveHolder(join(root, 'machines', id, LOCK), options) !== null;
}

function holderText(holder: Holder | null): string {
  if (holder === null) return 'another command';
  const where = holder.host === hostname() ? '' : ` on ${holder.host}`;
  return `\`bedledger ${holder.doing}\` (process ${holder.pid}${where})`;
}

function lockedFinding(id: string, holder: Holder | null): Diagnostic {
  const file = `machines/${id}/${LOCK}`;
  const elsewhere = holder === null || holder.host !== hostname();
  return report({
    code: 'file/locked',
    message: `${holderText(holder)} is writing this machine, and did not end in time`,
    place: { file },
    ...(elsewhere
      ? {
          help: `let it end, then give the command again; when nobody is writing there any more, remove ${file}`,
        }
      : {}),
  });
}
