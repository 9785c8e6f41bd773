import {
  closeSync,
  copyFileSync,
  existsSync,
  fsyncSync,
  linkSync,
  lstatSync,
  mkdirSync,
  openSync,
  readdirSync,
  readFileSync,
  renameSync,
  rmSync,
  utimesSync,
  writeSync,
} from 'node:fs';
import { dirname, join } from 'node:path';

export interface FileChange {
  /** Path below the issued folder. */
  readonly path: string;
  readonly change: 'new' | 'changed' | 'gone';
}

/** Every file below `folder`, as sorted relative paths with forward slashes; empty when there is no such folder. */
export function filesBelow(folder: string): string[] {
  const found: string[] = [];
  const walk = (at: string): void => {
    for (const entry of readdirSync(join(folder, at), { withFileTypes: true })) {
      const path = at === '' ? entry.name : `${at}/${entry.name}`;
      if (entry.isDirectory()) walk(path);
      else found.push(path);
    }
  };
  if (existsSync(folder) && lstatSync(folder).isDirectory()) walk('');
  return found.sort();
}

/**
 * Bytes of one issued file; null for anything but a plain file. A pipe would be waited for without end, and a link is no
 * issued file: what it points to can change behind the manifest's back.
 */
export function issuedBytes(path: string): Buffer | null {
  return lstatSync(path).isFile() ? readFileSync(path) : null;
}

/** What writing `files` to `folder` would change. Reads only. */
export function compareSet(folder: string, files: ReadonlyMap<string, string>): FileChange[] {
  const changes: FileChange[] = [];
  const present = new Set(filesBelow(folder));
  for (const [path, text] of files) {
    if (!present.has(path)) changes.push({ path, change: 'new' });
    else if (issuedBytes(join(folder, path))?.equals(Buffer.from(text, 'utf8')) !== true)
      changes.push({ path, change: 'changed' });
  }
  for (const path of present) if (!files.has(path)) changes.push({ path, change: 'gone' });
  return changes;
}

const STAGED = '.issued-staged';
const PREVIOUS = '.issued-previous';

/**
 * Puts back the set that an interrupted write had moved aside, and throws half-written ones away.
 * The issued folder is replaced by two renames; a crash between them leaves the old set under another name, never a mixture.
 */
export function recoverSet(machineFolder: string): boolean {
  const issued = join(machineFolder, 'issued');
  const previous = join(machineFolder, PREVIOUS);
  const staged = join(machineFolder, STAGED);
  let recovered = false;
  if (existsSync(previous)) {
    if (existsSync(issued)) rmSync(previous, { recursive: true });
    else {
      renameSync(previous, issued);
      recovered = true;
    }
  }
  if (existsSync(staged)) rmSync(staged, { recursive: true });
  return recovered;
}

/**
 * Writes a machine's issued files, all or none. Files that did not change keep their inode and time of change;
 * files that are no longer issued go. Returns what changed; writes nothing when nothing did.
 *
 * @param machineFolder `machines/<id>`, absolute.
 */
export function writeSet(machineFolder: string, files: ReadonlyMap<string, string>): FileChange[] {
  recoverSet(machineFolder);
  const issued = join(machineFolder, 'issued');
  const changes = compareSet(issued, files);
  if (changes.length === 0) return changes;
  const changed = new Set(changes.map((c) => c.path));
  const staged = join(machineFolder, STAGED);
  for (const [path, text] of files) {
    const target = join(staged, path);
    mkdirSync(dirname(target), { recursive: true });
    if (changed.has(path)) writeDurably(target, text);
    else keep(join(issued, path), target);
  }
  const previous = join(machineFolder, PREVIOUS);
  if (existsSync(issued)) renameSync(issued, previous);
  renameSync(staged, issued);
  syncFolder(machineFolder);
  if (existsSync(previous)) rmSync(previous, { recursive: true });
  return changes;
}

function writeDurably(path: string, text: string): void {
  const file = openSync(path, 'wx');
  try {
    const bytes = Buffer.from(text, 'utf8');
    for (let done = 0; done < bytes.length; ) done += writeSync(file, bytes, done);
    fsyncSync(file);
  } finally {
    closeSync(file);
  }
}

/** The same file under the staged name: a hard link where the file system has them, else a copy with its times. */
function keep(from: string, to: string): void {
  try {
    linkSync(from, to);
  } catch (error) {
    const code = (error as NodeJS.ErrnoException).code;
    if (code !== 'EPERM' && code !== 'ENOTSUP' && code !== 'EXDEV' && code !== 'EMLINK' && code !== 'ENOSYS')
      throw error;
    copyFileSync(from, to);
    const { atime, mtime } = lstatSync(from);
    utimesSync(to, atime, mtime);
  }
}

/** Makes the renames durable. Some systems cannot open a folder for that; there the renames are as durable as they get. */
function syncFolder(folder: string): void {
  let handle: number;
  try {
    handle = openSync(folder, 'r');
  } catch (error) {
    if (process.platform === 'win32') return;
    throw error;
  }
  try {
    fsyncSync(handle);
  } finally {
    closeSync(handle);
  }
}
