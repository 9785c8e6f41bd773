import { closeSync, fsyncSync, openSync, renameSync, rmSync, writeSync } from 'node:fs';
import { basename, dirname, join } from 'node:path';

/**
 * Write a file whole or not at all: into a temporary file beside it, flushed to the disk, then renamed over it. After a
 * crash at any moment the file is the old one or the new one.
 * @throws the system's error; the temporary file is removed then
 */
export function writeFileAtomic(path: string, text: string): void {
  const temporary = join(dirname(path), `.${basename(path)}.${process.pid}.tmp`);
  let open: number | null = null;
  try {
    open = openSync(temporary, 'w');
    const bytes = Buffer.from(text, 'utf8');
    for (let done = 0; done < bytes.length; ) done += writeSync(open, bytes, done);
    fsyncSync(open);
    closeSync(open);
    open = null;
    renameSync(temporary, path);
  } catch (error) {
    if (open !== null) closeSync(open);
    rmSync(temporary, { force: true });
    throw error;
  }
  flushFolder(dirname(path));
}

/** The rename itself reaches the disk with the folder. Systems that cannot flush a folder do it on their own. */
function flushFolder(path: string): void {
  let folder: number;
  try {
    folder = openSync(path, 'r');
  } catch {
    return; // Windows opens no folders; its rename is durable with the file.
  }
  try {
    fsyncSync(folder);
  } catch {
    // As above: not every file system flushes folders.
  } finally {
    closeSync(folder);
  }
}
