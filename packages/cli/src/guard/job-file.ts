import { type Dirent, readdirSync, readFileSync, statSync } from 'node:fs';
import { join, resolve } from 'node:path';
import { UsageError } from '../arguments.ts';

/** A job larger than this is not read: no controller of a router holds it, and neither should we. */
const MOST_BYTES = 64 * 1024 * 1024;

/**
 * Text of a job. Latin-1 keeps every byte one character, so that a foreign byte is found at its place and not replaced.
 *
 * @throws UsageError when there is no such file, or it is too large to be a job
 */
export function readJob(cwd: string, file: string): string {
  const path = resolve(cwd, file);
  try {
    const { size } = statSync(path);
    if (size > MOST_BYTES)
      throw new UsageError(`${file} has ${size} bytes, more than ${MOST_BYTES}`, 'split the job');
    return readFileSync(path, 'latin1');
  } catch (error) {
    if (error instanceof UsageError) throw error;
    throw new UsageError(
      `${file} cannot be read: ${(error as NodeJS.ErrnoException).code ?? 'unknown reason'}`,
      'name a program file',
    );
  }
}

/** The files of a folder, sorted by name; hidden ones and folders are none. */
export function jobsOf(cwd: string, folder: string): string[] {
  let entries: Dirent[];
  try {
    entries = readdirSync(resolve(cwd, folder), { withFileTypes: true });
  } catch (error) {
    throw new UsageError(
      `${folder} cannot be read: ${(error as NodeJS.ErrnoException).code ?? 'unknown reason'}`,
      'name a folder of programs',
    );
  }
  const files = entries.filter((e) => !e.isDirectory() && !e.name.startsWith('.')).map((e) => e.name);
  if (files.length === 0) throw new UsageError(`${folder} has no file`, 'name a folder of programs');
  return files.sort().map((name) => join(folder, name));
}
