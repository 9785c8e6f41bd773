import { fileURLToPath } from 'node:url';
import type { Diagnostic } from '@bedledger/diagnostics';
import {
  fileText,
  loadShared,
  type MachineFiles,
  type ParsedMachine,
  parseMachine,
  readMachineFiles,
} from '@bedledger/fleet';

/** The repository itself is the demo fleet. */
export const ROOT = fileURLToPath(new URL('../../', import.meta.url));

const shared = loadShared(ROOT);

/** One change to a file's text: what stands there (once), and what to write instead. */
export type Edit = readonly [find: string, write: string];

/**
 * Where a finding must point: the line and column of the mark `¦` in a text, and the text without it. Worked out from the
 * text alone, so that it checks the places the loader reports.
 */
export function unmarked(text: string): { text: string; place: string | null } {
  const at = text.indexOf('¦');
  if (at < 0) return { text, place: null };
  const before = text.slice(0, at).split('\n');
  return { text: text.replace('¦', ''), place: `${before.length}:${before.at(-1)!.length + 1}` };
}

/** Apply edits, each of which must match exactly once: a test that edits nothing proves nothing. */
export function edited(text: string, edits: readonly Edit[]): string {
  let out = text;
  for (const [find, write] of edits) {
    const at = out.indexOf(find);
    if (at < 0) throw new Error(`the text to change is not there: ${find}`);
    if (out.indexOf(find, at + 1) >= 0) throw new Error(`the text to change is there twice: ${find}`);
    out = out.slice(0, at) + write + out.slice(at + find.length);
  }
  return out;
}

/** The files of a demo machine, with edits to its profile and, optionally, another ledger, survey or package. */
export function demoFiles(
  id: string,
  edits: readonly Edit[] = [],
  other: { ledger?: string; survey?: string | null; package?: string } = {},
): MachineFiles {
  const { files } = readMachineFiles(ROOT, id);
  return {
    ...files,
    profile: fileText(`machines/${id}/machine.yaml`, unmarked(edited(files.profile!.text, edits)).text),
    ...(other.ledger === undefined ? {} : { ledger: fileText(`machines/${id}/ledger.yaml`, other.ledger) }),
    ...(other.survey === undefined
      ? {}
      : { survey: other.survey === null ? null : fileText(`machines/${id}/survey.csv`, other.survey) }),
    ...(other.package === undefined
      ? {}
      : { package: fileText(`machines/${id}/package.json`, other.package) }),
  };
}

/** A demo machine after edits to its profile. */
export function demoMachine(
  id: string,
  edits: readonly Edit[] = [],
  other: { ledger?: string; survey?: string | null; package?: string } = {},
): ParsedMachine {
  return parseMachine(demoFiles(id, edits, other), shared);
}

/** `code line:column` of every finding, worst things a test can compare at a glance. */
export function brief(diagnostics: readonly Diagnostic[]): string[] {
  return diagnostics.map((d) => `${d.severity} ${d.code} ${d.place?.line ?? '-'}:${d.place?.column ?? '-'}`);
}
