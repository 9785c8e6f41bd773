import { existsSync, lstatSync, readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import {
  type Disk,
  leftoversOf,
  type NewContent,
  type Recovery,
  recoverFolder,
  replaceFolder,
} from '@bedledger/fleet';

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

const ISSUED = 'issued';

/**
 * Puts back the set that an interrupted write had moved aside, and throws half-written ones away. Only for the holder of the
 * machine's lock.
 */
export function recoverSet(machineFolder: string, disk?: Disk): Recovery {
  return recoverFolder(machineFolder, ISSUED, disk);
}

/**
 * Writes a machine's issued files, all or none. Files that did not change keep their inode and time of change;
 * files that are no longer issued go. Returns what changed; writes nothing when nothing did. Only for the holder of the
 * machine's lock.
 *
 * @param machineFolder `machines/<id>`, absolute.
 */
export function writeSet(
  machineFolder: string,
  files: ReadonlyMap<string, string>,
  disk?: Disk,
): FileChange[] {
  recoverSet(machineFolder, disk);
  const changes = compareSet(join(machineFolder, ISSUED), files);
  if (changes.length === 0) return changes;
  const changed = new Set(changes.map((c) => c.path));
  const contents = new Map<string, NewContent>();
  for (const [path, text] of files) contents.set(path, changed.has(path) ? { text } : 'as-it-is');
  replaceFolder(machineFolder, ISSUED, contents, disk);
  return changes;
}

/** What writing could not remove: names in the machine's folder. The issued folder itself is whole. */
export function leftoversOfSet(machineFolder: string): string[] {
  return leftoversOf(machineFolder, ISSUED);
}
