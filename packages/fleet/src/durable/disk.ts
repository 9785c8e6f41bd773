import {
  closeSync,
  fsyncSync,
  linkSync,
  lstatSync,
  mkdirSync,
  openSync,
  readdirSync,
  readFileSync,
  renameSync,
  rmdirSync,
  type Stats,
  unlinkSync,
  utimesSync,
  writeSync,
} from 'node:fs';

/** An open file, with its path, so that trouble with it can be named. */
export interface OpenFile {
  readonly path: string;
  readonly handle: number;
}

/**
 * The file operations of everything that must survive a fault: one call is one operation of the system. Tests put faults in
 * their way. Every error that they throw carries `code` and `path`, also where Node leaves the path out (write, flush).
 */
export interface Disk {
  /** `new`: fails when the path exists; `read`: also a folder, for `flush`. */
  open(path: string, how: 'new' | 'read'): OpenFile;
  /** Bytes written, perhaps fewer than asked for. */
  write(file: OpenFile, bytes: Uint8Array, offset: number): number;
  /** Everything written reaches the disk. */
  flush(file: OpenFile): void;
  close(file: OpenFile): void;
  read(path: string): Buffer;
  /** Of the path itself, not of what a link points to. Null when nothing is there. */
  look(path: string): Stats | null;
  list(folder: string): string[];
  rename(from: string, to: string): void;
  /** A second name for the same file; fails when `to` exists. */
  link(from: string, to: string): void;
  setTimes(path: string, accessed: Date, modified: Date): void;
  makeFolder(path: string): void;
  removeFile(path: string): void;
  removeFolder(path: string): void;
  /** Waits, without giving way to anything else of this thread. */
  pause(ms: number): void;
}

function named<T>(path: string, act: () => T): T {
  try {
    return act();
  } catch (error) {
    if (codeOf(error) !== undefined && (error as NodeJS.ErrnoException).path === undefined)
      (error as NodeJS.ErrnoException).path = path;
    throw error;
  }
}

/** The system's code of an error (`EACCES`); undefined for an error that is none of the system's. */
export function codeOf(error: unknown): string | undefined {
  const code = error instanceof Error ? (error as NodeJS.ErrnoException).code : undefined;
  return typeof code === 'string' ? code : undefined;
}

export function isOneOf(error: unknown, codes: ReadonlySet<string>): boolean {
  const code = codeOf(error);
  return code !== undefined && codes.has(code);
}

const sleeper = new Int32Array(new SharedArrayBuffer(4));

/** The disk of the computer. */
export const systemDisk: Disk = {
  open: (path, how) => ({ path, handle: openSync(path, how === 'new' ? 'wx' : 'r') }),
  write: (file, bytes, offset) => named(file.path, () => writeSync(file.handle, bytes, offset)),
  flush: (file) => named(file.path, () => fsyncSync(file.handle)),
  close: (file) => named(file.path, () => closeSync(file.handle)),
  read: (path) => named(path, () => readFileSync(path)),
  look: (path) => {
    try {
      return lstatSync(path);
    } catch (error) {
      if (isOneOf(error, NOTHING_THERE)) return null;
      throw error;
    }
  },
  list: (folder) => readdirSync(folder).sort(),
  rename: renameSync,
  link: linkSync,
  setTimes: utimesSync,
  makeFolder: (path) => {
    mkdirSync(path);
  },
  removeFile: unlinkSync,
  removeFolder: (path) => rmdirSync(path),
  pause: (ms) => {
    Atomics.wait(sleeper, 0, 0, ms);
  },
};

/** Nothing has this name, or a file stands where a folder should. */
export const NOTHING_THERE: ReadonlySet<string> = new Set(['ENOENT', 'ENOTDIR']);

/**
 * Another program has the file open: a virus scanner, an indexer, a backup, an editor. On systems that lock open files, each
 * of these codes comes back from a rename or a removal for as long as that lasts (documentation of MoveFileEx and
 * DeleteFile: sharing violation, access denied; a folder that still holds a file marked for deletion is not empty).
 */
const HELD: ReadonlySet<string> = new Set(['EBUSY', 'EPERM', 'EACCES', 'ENOTEMPTY']);

/** Pauses between tries, ms: two seconds in all. Scanners let go within some hundred milliseconds (common practice, no source). */
const PAUSES = [10, 20, 40, 80, 150, 300, 500, 900];

/** Tries an operation again while another program may hold the file. Other errors come at once, this one after the last try. */
export function patiently<T>(disk: Disk, act: () => T): T {
  for (const pause of PAUSES) {
    try {
      return act();
    } catch (error) {
      if (!isOneOf(error, HELD)) throw error;
      disk.pause(pause);
    }
  }
  return act();
}

/** Writes and flushes a file that does not exist yet. What could not be written whole is removed again. */
export function writeNewFile(disk: Disk, path: string, content: string | Uint8Array): void {
  const bytes = typeof content === 'string' ? Buffer.from(content, 'utf8') : content;
  const file = disk.open(path, 'new');
  let whole = false;
  try {
    for (let done = 0; done < bytes.length; ) done += disk.write(file, bytes, done);
    // Trouble here is trouble with the data: a full disk may show only now. It is never passed over.
    disk.flush(file);
    whole = true;
  } finally {
    try {
      disk.close(file);
    } finally {
      if (!whole) quietly(() => disk.removeFile(path));
    }
  }
}

/** Codes of systems and file systems that flush no folders; there a rename is as durable as it gets. */
const NO_FOLDER_FLUSH: ReadonlySet<string> = new Set([
  'EISDIR',
  'EPERM',
  'EACCES',
  'EINVAL',
  'EBADF',
  'ENOTSUP',
  'EOPNOTSUPP',
  'ENOSYS',
]);

/** Makes the names in a folder durable, where the system can. */
export function flushFolder(disk: Disk, path: string): void {
  try {
    const folder = disk.open(path, 'read');
    try {
      disk.flush(folder);
    } finally {
      disk.close(folder);
    }
  } catch (error) {
    if (!isOneOf(error, NO_FOLDER_FLUSH)) throw error;
  }
}

/** Removes a file or a whole folder, patiently. Nothing there is as good as removed. */
export function removeTree(disk: Disk, path: string): void {
  const found = disk.look(path);
  if (found === null) return;
  if (found.isDirectory()) {
    for (const name of disk.list(path)) removeTree(disk, `${path}/${name}`);
    patiently(disk, () => disk.removeFolder(path));
  } else patiently(disk, () => disk.removeFile(path));
}

/** What can stay undone without harm: trouble of the system is passed over, anything else is not. Whether it was done. */
export function quietly(act: () => void): boolean {
  try {
    act();
    return true;
  } catch (error) {
    if (codeOf(error) === undefined) throw error;
    return false;
  }
}
