import { type Disk, isOneOf, systemDisk } from './disk.ts';

/** Codes that a reader meets while a folder is being replaced under its hands. */
const MOVING: ReadonlySet<string> = new Set(['ENOENT', 'ENOTDIR', 'EBUSY', 'EPERM', 'EACCES', 'ESTALE']);

const TRIES = 40;
const PAUSE = 25;

/**
 * Reads a folder that others replace as a whole (`replaceFolder`): what `read` gives is of one folder, never of two.
 * The folder's identity is taken before and after; when it changed between, `read` is called again.
 *
 * @param busy May a folder that is missing be one that is being replaced just now?
 * @returns null when the folder never stood still for a second
 * @throws what `read` throws while the folder stands still
 */
export function readConsistently<T>(
  folder: string,
  read: () => T,
  busy: () => boolean,
  disk: Disk = systemDisk,
): { readonly value: T } | null {
  for (let tries = 0; tries < TRIES; tries++) {
    if (tries > 0) disk.pause(PAUSE);
    const before = stampOf(disk, folder);
    if (before === null && busy()) continue;
    let value: T;
    try {
      value = read();
    } catch (error) {
      if (isOneOf(error, MOVING) && stampOf(disk, folder) !== before) continue;
      throw error;
    }
    if (stampOf(disk, folder) === before) return { value };
  }
  return null;
}

/** Changes when another folder gets the name; null when there is none. */
function stampOf(disk: Disk, folder: string): string | null {
  const found = disk.look(folder);
  return found === null ? null : `${found.dev}:${found.ino}:${found.mtimeMs}:${found.ctimeMs}`;
}
