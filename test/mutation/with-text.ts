import { createHash } from 'node:crypto';
import type { IssuedFiles } from '@bedledger/checker';
import type { ManifestProgram } from '@bedledger/fleet';

/** The set reduced to one program, so that a mutant costs one program's check. */
export function withText(issued: IssuedFiles, entry: ManifestProgram, text: string): IssuedFiles {
  const sha256 = createHash('sha256').update(text, 'utf8').digest('hex');
  const file = issued.programs.find((p) => p.path.endsWith(entry.file))!;
  const lines = text === '' ? 0 : text.split(/\r\n|\n|\r/).length - (/(\r\n|\n|\r)$/.test(text) ? 1 : 0);
  return {
    ...issued,
    programs: [{ path: file.path, text }],
    manifest: {
      ...issued.manifest,
      programs: [{ ...entry, sha256, lines, part: entry.part, parts: entry.parts }],
      files: issued.manifest.files.map((f) =>
        entry.file === f.path ? { ...f, sha256, bytes: Buffer.byteLength(text, 'utf8') } : f,
      ),
    },
  };
}
