import { createHash } from 'node:crypto';
import { type Dirent, readdirSync, readFileSync, statSync } from 'node:fs';
import { join } from 'node:path';
import type { Diagnostic } from '@bedledger/diagnostics';
import { report } from '../report.ts';

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

/** No input of a fleet is anywhere near this long: 64 MiB. */
export const LARGEST = 64 * 1024 * 1024;

function isMissing(error: unknown): boolean {
  const code = (error as NodeJS.ErrnoException).code;
  return code === 'ENOENT' || code === 'ENOTDIR';
}

/** Read one file as UTF-8. Null when it does not exist; a finding when it cannot be read or is not text. */
export function readFleetFile(root: string, path: string, diagnostics: Diagnostic[]): FileText | null {
  const unreadable = (why: string): null => {
    const message = `the file cannot be read: ${why}`;
    diagnostics.push(report({ code: 'file/unreadable', place: { file: path }, message }));
    return null;
  };
  let bytes: Buffer;
  try {
    // A pipe would be waited for without end, and a device read without end.
    const stat = statSync(join(root, path));
    if (stat.isDirectory()) return unreadable('it is a folder');
    if (!stat.isFile()) return unreadable('it is a pipe or a device, expected a file');
    if (stat.size > LARGEST) return unreadable(`it has ${stat.size} bytes, expected ${LARGEST} at most`);
    bytes = readFileSync(join(root, path));
  } catch (error) {
    if (isMissing(error)) return null;
    return unreadable((error as NodeJS.ErrnoException).code ?? 'unknown reason');
  }
  let text: string;
  try {
    text = new TextDecoder('utf-8', { fatal: true, ignoreBOM: false }).decode(bytes);
  } catch {
    const message = 'the file is not UTF-8 text';
    diagnostics.push(report({ code: 'file/not-utf8', place: { file: path }, message }));
    return null;
  }
  return { path, text, sha256: sha256(bytes) };
}

/** Is there a folder at `path`, perhaps behind a link? */
export function isFleetFolder(root: string, path: string): boolean {
  try {
    return statSync(join(root, path)).isDirectory();
  } catch (error) {
    const { code } = error as NodeJS.ErrnoException;
    if (isMissing(error) || code === 'ELOOP') return false;
    throw error;
  }
}

/** Is there anything at `path` that is no folder? */
export function isNoFolder(root: string, path: string): boolean {
  try {
    return !statSync(join(root, path)).isDirectory();
  } catch (error) {
    if (isMissing(error)) return false;
    throw error;
  }
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
