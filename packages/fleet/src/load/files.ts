import { createHash } from 'node:crypto';
import { type Dirent, readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import type { Diagnostic } from '@bedledger/diagnostics';

/** One input file as read: its path relative to the fleet's root with forward slashes, its text, the hash of its bytes. */
export interface FileText {
  readonly path: string;
  readonly text: string;
  readonly sha256: string;
}

export function sha256(data: string | Uint8Array): string {
  return createHash('sha256').update(data).digest('hex');
}

/** Wrap a text that is not on disk (tests, editors) as an input file. */
export function fileText(path: string, text: string): FileText {
  return { path, text, sha256: sha256(text) };
}

function isMissing(error: unknown): boolean {
  const code = (error as NodeJS.ErrnoException).code;
  return code === 'ENOENT' || code === 'ENOTDIR';
}

/** Read one file as UTF-8. Null when it does not exist; a finding when it cannot be read or is not text. */
export function readFleetFile(root: string, path: string, diagnostics: Diagnostic[]): FileText | null {
  let bytes: Buffer;
  try {
    bytes = readFileSync(join(root, path));
  } catch (error) {
    if (isMissing(error)) return null;
    diagnostics.push({
      code: 'file/unreadable',
      severity: 'stop',
      message: `the file cannot be read: ${(error as NodeJS.ErrnoException).code ?? 'unknown reason'}`,
      place: { file: path },
      help: 'check that it is a file and that you may read it',
    });
    return null;
  }
  let text: string;
  try {
    text = new TextDecoder('utf-8', { fatal: true, ignoreBOM: false }).decode(bytes);
  } catch {
    diagnostics.push({
      code: 'file/not-utf8',
      severity: 'stop',
      message: 'the file is not UTF-8 text',
      place: { file: path },
      help: 'save it as UTF-8',
    });
    return null;
  }
  return { path, text, sha256: sha256(bytes) };
}

/** Entries of a folder in a fixed order; null when there is none. */
export function readFleetFolder(root: string, path: string): Dirent[] | null {
  try {
    return readdirSync(join(root, path), { withFileTypes: true }).sort((a, b) =>
      a.name < b.name ? -1 : a.name > b.name ? 1 : 0,
    );
  } catch (error) {
    if (isMissing(error)) return null;
    throw error;
  }
}
