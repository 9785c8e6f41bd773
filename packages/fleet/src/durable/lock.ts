import { createHash } from 'node:crypto';
import { basename, dirname, join } from 'node:path';
import { type Disk, isOneOf, NOTHING_THERE, patiently, quietly, systemDisk, writeNewFile } from './disk.ts';
import { numberInUse, type Processes, type ProcessIdentity, systemProcesses } from './processes.ts';
import { ownName } from './write-file.ts';

/** Who holds a lock. */
export interface Holder extends ProcessIdentity {
  /** What is being done: `regenerate heron`. For people. */
  readonly doing: string;
}

export interface LockOptions {
  readonly disk?: Disk;
  readonly processes?: Processes;
  /** Longest wait for another holder, ms. Default: 20 s, several times what a machine takes. */
  readonly patience?: number;
  /** Told once, when the wait is long enough to be noticed. Null: the lock does not say who holds it. */
  readonly onWait?: (holder: Holder | null) => void;
}

const PATIENCE = 20_000;
/** A wait that nobody notices is not worth a word, ms. */
const NOTICEABLE = 300;
/** A lock that says nothing is being written just now, or its writer died over it: so long unchanged, ms, it is dead. */
const SILENT = 2_000;
/** No machine takes an hour: a holder that cannot be asked, and is older, is gone. Ages are by the file system's own clock, ms. */
const TOO_OLD = 3_600_000;

/** Another writer holds the lock, and did not let go in the time that was given. */
export class LockedError extends Error {
  readonly path: string;
  readonly holder: Holder | null;
  constructor(path: string, holder: Holder | null) {
    super(`${path} is held`);
    this.name = 'LockedError';
    this.path = path;
    this.holder = holder;
  }
}

/** A file system that gives a file only one name, or a drive that refuses a second one. */
const NO_LINKS: ReadonlySet<string> = new Set([
  'EPERM',
  'EINVAL',
  'ENOTSUP',
  'EOPNOTSUPP',
  'ENOSYS',
  'EMLINK',
]);
const THERE_ALREADY: ReadonlySet<string> = new Set(['EEXIST']);

/**
 * Does `act` while this process alone holds the lock file `path`. Waits for another holder for a while. A holder that no
 * longer lives is recognised by its process number and the moment of its start, and its lock taken over; one that lives,
 * or may live, is never touched.
 *
 * How: the lock appears whole, by a second name for a file already written (where there are no second names: by creating
 * it, and an empty lock counts as held for a while). Taking over a dead lock needs a claim of its own, named after the
 * dead lock's text, so that of several that see the same dead lock only one replaces it, and nobody replaces a live one.
 *
 * @throws LockedError when somebody else keeps it; the system's error when the lock cannot be written
 */
export function withLock<T>(path: string, doing: string, act: () => T, options: LockOptions = {}): T {
  const disk = options.disk ?? systemDisk;
  const processes = options.processes ?? systemProcesses;
  const own: Holder = { ...processes.self(), doing };
  const attempt: Attempt = {
    disk,
    processes,
    text: `${JSON.stringify(own)}\n`,
    spare: `${path}.${ownName('')}`,
    waited: 0,
    seen: new Map(),
  };
  try {
    writeNewFile(disk, attempt.spare, attempt.text);
    acquire(attempt, path, options);
  } finally {
    quietly(() => disk.removeFile(attempt.spare));
  }
  try {
    sweep(attempt, path);
    return act();
  } finally {
    // Where it cannot be removed, it is a dead lock as soon as this process ends.
    quietly(() => {
      if (readText(disk, path) === attempt.text) patiently(disk, () => disk.removeFile(path));
    });
  }
}

interface Attempt {
  readonly disk: Disk;
  readonly processes: Processes;
  /** What the lock says when it is ours. */
  readonly text: string;
  /** A file with that text, ready to get the lock's name; its time is the file system's present. */
  readonly spare: string;
  /** Pauses so far, ms. No clock is asked: it may be set while we wait. */
  waited: number;
  /** Locks and claims as they were first seen, by path, and after how much waiting. */
  readonly seen: Map<string, { readonly lock: FoundLock; readonly since: number }>;
}

function acquire(attempt: Attempt, path: string, options: LockOptions): void {
  const { disk } = attempt;
  const patience = options.patience ?? PATIENCE;
  let told = false;
  for (let pause = 5; ; pause = Math.min(2 * pause, 100)) {
    if (create(attempt, path)) return;
    const lock = findLock(disk, path);
    if (lock !== null) {
      if (isDead(attempt, lock) && takeOver(attempt, lock)) return;
      if (attempt.waited >= NOTICEABLE && !told) {
        told = true;
        options.onWait?.(holderOf(lock.text));
      }
    }
    if (attempt.waited >= patience) throw new LockedError(path, lock === null ? null : holderOf(lock.text));
    disk.pause(pause);
    attempt.waited += pause;
  }
}

/** The lock file as one process saw it. */
interface FoundLock {
  readonly path: string;
  readonly text: string;
  readonly file: number;
  readonly modified: number;
}

function findLock(disk: Disk, path: string): FoundLock | null {
  const text = readText(disk, path);
  const look = text === null ? null : disk.look(path);
  return text === null || look === null ? null : { path, text, file: look.ino, modified: look.mtimeMs };
}

function sameLock(a: FoundLock, b: FoundLock | null): boolean {
  return b !== null && a.text === b.text && a.file === b.file && a.modified === b.modified;
}

function readText(disk: Disk, path: string): string | null {
  try {
    return disk.read(path).toString('utf8');
  } catch (error) {
    if (isOneOf(error, NOTHING_THERE)) return null;
    throw error;
  }
}

/** The lock with our text in it, if there is none yet. */
function create({ disk, spare, text }: Attempt, path: string): boolean {
  try {
    try {
      disk.link(spare, path);
    } catch (error) {
      if (!isOneOf(error, NO_LINKS)) throw error;
      patiently(disk, () => writeNewFile(disk, path, text));
    }
    return true;
  } catch (error) {
    if (isOneOf(error, THERE_ALREADY)) return false;
    throw error;
  }
}

/** How long a lock has stood as it is while we waited, ms. */
function unchangedFor({ seen, waited }: Attempt, lock: FoundLock): number {
  const first = seen.get(lock.path);
  if (first !== undefined && sameLock(first.lock, lock)) return waited - first.since;
  seen.set(lock.path, { lock, since: waited });
  return 0;
}

function isDead(attempt: Attempt, lock: FoundLock): boolean {
  const { disk, processes, spare } = attempt;
  const holder = holderOf(lock.text);
  if (holder === null) return unchangedFor(attempt, lock) >= SILENT;
  const state = processes.state(holder);
  switch (state) {
    case 'alive':
      return false;
    case 'dead':
      return true;
    case 'perhaps':
    case 'elsewhere': {
      const now = disk.look(spare)?.mtimeMs ?? lock.modified;
      return now - lock.modified > TOO_OLD;
    }
    default:
      return state satisfies never;
  }
}

/** Claims on claims: a process would have to die at the same instant so often in a row. */
const MOST_CLAIMS = 3;

/** Replaces a dead lock by our own; false when another process does that, or has done it. */
function takeOver(attempt: Attempt, dead: FoundLock, depth = 0): boolean {
  if (depth >= MOST_CLAIMS) return false;
  const { disk } = attempt;
  const claim = `${dead.path}.claim-${createHash('sha256').update(dead.text).digest('hex').slice(0, 12)}`;
  if (!create(attempt, claim)) {
    const claimed = findLock(disk, claim);
    if (claimed === null || !isDead(attempt, claimed) || !takeOver(attempt, claimed, depth + 1)) return false;
  }
  // Only the holder of this claim may replace this dead lock: what is true now stays true until the rename.
  if (!sameLock(dead, findLock(disk, dead.path))) {
    quietly(() => disk.removeFile(claim));
    return false;
  }
  patiently(disk, () => disk.rename(claim, dead.path));
  return true;
}

function holderOf(text: string): Holder | null {
  let data: unknown;
  try {
    data = JSON.parse(text);
  } catch {
    return null;
  }
  const holder = data as Holder | null;
  const sound =
    typeof holder === 'object' &&
    holder !== null &&
    Number.isInteger(holder.pid) &&
    typeof holder.host === 'string' &&
    typeof holder.doing === 'string' &&
    (holder.born === null || typeof holder.born === 'string') &&
    (holder.space === null || typeof holder.space === 'string');
  return sound ? holder : null;
}

/** Removes what processes that died over the lock left beside it. Only for the holder of the lock. */
function sweep(attempt: Attempt, path: string): void {
  const { disk } = attempt;
  const prefix = `${basename(path)}.`;
  for (const name of disk.list(dirname(path))) {
    if (!name.startsWith(prefix)) continue;
    const rest = name.slice(prefix.length);
    quietly(() => {
      const left = join(dirname(path), name);
      // A claim on an earlier lock is without effect now, whoever made it: this lock is another one.
      if (rest.startsWith('claim-') || isAbandoned(attempt, left, rest)) disk.removeFile(left);
    });
  }
}

/** A spare whose process is no more. */
function isAbandoned(attempt: Attempt, path: string, name: string): boolean {
  const spare = findLock(attempt.disk, path);
  if (spare === null || spare.text === attempt.text) return false;
  if (holderOf(spare.text) !== null) return isDead(attempt, spare);
  const writer = /^(\d+)-[0-9a-f]{12}$/.exec(name);
  return writer !== null && !numberInUse(Number(writer[1]));
}

/** Who holds the lock `path` now, if it is not a dead one; null when nobody does. Reads only. */
export function liveHolder(
  path: string,
  options: Pick<LockOptions, 'disk' | 'processes'> = {},
): Holder | null {
  const text = readText(options.disk ?? systemDisk, path);
  const holder = text === null ? null : holderOf(text);
  if (holder === null) return null;
  return (options.processes ?? systemProcesses).state(holder) === 'dead' ? null : holder;
}
