import { randomBytes } from 'node:crypto';
import { readFileSync, readlinkSync } from 'node:fs';
import { hostname } from 'node:os';

/**
 * Which process holds something. A process number alone comes round again; with the moment of its start it is one process
 * for good.
 */
export interface ProcessIdentity {
  readonly pid: number;
  readonly host: string;
  /** Boot of the system, process-number space, and start in clock ticks since the boot; null where the system does not say. */
  readonly born: string | null;
  /** Process-number space, where the system has several (containers); null otherwise. */
  readonly space: string | null;
  /** Two locks of one process differ in this. */
  readonly token: string;
}

/**
 * `alive`, `dead`; `perhaps`: the number is in use, but the system does not say since when; `elsewhere`: another computer or
 * container, which cannot be asked.
 */
export type ProcessState = 'alive' | 'dead' | 'perhaps' | 'elsewhere';

/** What the system knows about its processes. */
export interface Processes {
  self(): ProcessIdentity;
  state(of: ProcessIdentity): ProcessState;
}

function tryRead(path: string): string | null {
  try {
    return readFileSync(path, 'utf8');
  } catch {
    return null;
  }
}

function tryReadLink(path: string): string | null {
  try {
    return readlinkSync(path);
  } catch {
    return null;
  }
}

/** Start of a process from `/proc/<pid>/stat`, field 22 of proc(5); null without one, or when it has ended and nobody took note. */
function bornAt(pid: number): string | null {
  const stat = tryRead(`/proc/${pid}/stat`);
  if (stat === null) return null;
  // The name in brackets may hold blanks and brackets: fields are counted after the last one. State is field 3.
  const fields = stat.slice(stat.lastIndexOf(')') + 2).split(' ');
  const [state, start] = [fields[0], fields[22 - 3]];
  if (start === undefined || state === 'Z' || state === 'X') return null;
  const boot = tryRead('/proc/sys/kernel/random/boot_id')?.trim() ?? '';
  return `${boot}:${start}`;
}

/** Is there a process of this number on this computer? */
export function numberInUse(pid: number): boolean {
  try {
    process.kill(pid, 0);
    return true;
  } catch (error) {
    // Somebody else's process is one, too.
    return (error as NodeJS.ErrnoException).code === 'EPERM';
  }
}

/** The processes of this computer. */
export const systemProcesses: Processes = {
  self: () => ({
    pid: process.pid,
    host: hostname(),
    born: bornAt(process.pid),
    space: tryReadLink('/proc/self/ns/pid'),
    token: randomBytes(6).toString('hex'),
  }),
  state: (of) => {
    if (of.host !== hostname() || of.space !== tryReadLink('/proc/self/ns/pid')) return 'elsewhere';
    if (!numberInUse(of.pid)) return 'dead';
    if (of.born === null) return 'perhaps';
    return bornAt(of.pid) === of.born ? 'alive' : 'dead';
  },
};
