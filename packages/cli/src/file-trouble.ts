import { isAbsolute, relative, sep } from 'node:path';
import type { Diagnostic } from '@bedledger/diagnostics';
import { report } from './report.ts';

/** A file or folder that the system refuses: trouble of the disk, not of this program. */
export interface FileTrouble extends Error {
  readonly code: string;
  readonly path: string;
  /** Where it was to be moved or linked to. */
  readonly dest?: string;
}

export function isFileTrouble(error: unknown): error is FileTrouble {
  return (
    error instanceof Error &&
    typeof (error as NodeJS.ErrnoException).code === 'string' &&
    typeof (error as NodeJS.ErrnoException).path === 'string'
  );
}

/** The usual reasons in words; any other by the system's own code. */
const REASONS: Readonly<Record<string, string>> = {
  EACCES: 'no permission',
  EPERM: 'no permission',
  EROFS: 'the file system is read-only',
  ENOSPC: 'the disk is full',
  EDQUOT: 'the quota is used up',
  EISDIR: 'it is a folder, expected a file',
  ENOTDIR: 'a file or a link is where a folder is expected',
  ENOENT: 'it is not there',
  EEXIST: 'it is there already',
  ELOOP: 'links lead in a circle',
  EMFILE: 'too many files are open',
  EBUSY: 'another program holds it',
};

/** Which file, and why: `…/issued cannot be opened or written: no permission (EACCES)`. */
export function fileTroubleText(error: FileTrouble): { path: string; message: string } {
  const reason = Object.hasOwn(REASONS, error.code) ? `${REASONS[error.code]} (${error.code})` : error.code;
  return { path: error.dest ?? error.path, message: `cannot be opened or written: ${reason}` };
}

export const FILE_TROUBLE_HELP = 'look at the folder and its permissions, then give the command again';

/** The same as a finding, its place relative to the fleet where it is inside. */
export function refusedFinding(root: string, error: FileTrouble): Diagnostic {
  const { path, message } = fileTroubleText(error);
  const file = relative(root, path);
  const inside = file !== '' && !file.startsWith('..') && !isAbsolute(file);
  return report({
    code: 'file/refused',
    message,
    place: { file: inside ? file.split(sep).join('/') : path },
  });
}
