import { randomBytes } from 'node:crypto';
import { basename, dirname, join } from 'node:path';
import { type Disk, flushFolder, patiently, quietly, systemDisk, writeNewFile } from './disk.ts';
import { numberInUse } from './processes.ts';

/** A name of this process's own for something that has no name yet. */
export function ownName(prefix: string): string {
  return `${prefix}${process.pid}-${randomBytes(6).toString('hex')}`;
}

/**
 * Write a file whole or not at all: into a temporary file beside it, flushed to the disk, then renamed over it. After a
 * crash at any moment the file is the old one or the new one; what a crash left beside it goes with the next write.
 * @throws the system's error; the temporary file is removed then
 */
export function writeFileAtomic(path: string, text: string, disk: Disk = systemDisk): void {
  const folder = dirname(path);
  const prefix = `.${basename(path)}.`;
  removeAbandoned(disk, folder, prefix);
  const temporary = join(folder, `${ownName(prefix)}.tmp`);
  writeNewFile(disk, temporary, text);
  try {
    patiently(disk, () => disk.rename(temporary, path));
  } catch (error) {
    quietly(() => disk.removeFile(temporary));
    throw error;
  }
  flushFolder(disk, folder);
}

/** Temporary files of writers that are no more. */
function removeAbandoned(disk: Disk, folder: string, prefix: string): void {
  for (const name of disk.list(folder)) {
    const writer = name.startsWith(prefix) && /^(\d+)-[0-9a-f]{12}\.tmp$/.exec(name.slice(prefix.length));
    if (writer && !numberInUse(Number(writer[1]))) quietly(() => disk.removeFile(join(folder, name)));
  }
}
