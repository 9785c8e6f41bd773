import { createHash } from 'node:crypto';
import type { IssuedFiles } from '@bedledger/checker';
import type { ManifestProgram } from '@bedledger/fleet';

/**
 * The set reduced to one program and the other parts of its operation, so that a mutant costs one program's check: the
 * parts that did not change are the same files and are not checked again.
 */
export function withText(issued: IssuedFiles, entry: ManifestProgram, text: string): IssuedFiles {
  const sha256 = createHash('sha256').update(text, 'utf8').digest('hex');
  const lines = text === '' ? 0 : text.split(/\r\n|\n|\r/).length - (/(\r\n|\n|\r)$/.test(text) ? 1 : 0);
  const parts = issued.manifest.programs.filter(
    (p) => p.operation === entry.operation && p.form === entry.form,
  );
  return {
    ...issued,
    programs: issued.programs.flatMap((p) => {
      if (p.path.endsWith(`/${entry.file}`)) return [{ path: p.path, text }];
      return parts.some((other) => p.path.endsWith(`/${other.file}`)) ? [p] : [];
    }),
    manifest: {
      ...issued.manifest,
      programs: parts.map((p) => (p.file === entry.file ? { ...p, sha256, lines } : p)),
      files: issued.manifest.files.map((f) =>
        entry.file === f.path ? { ...f, sha256, bytes: Buffer.byteLength(text, 'utf8') } : f,
      ),
    },
  };
}
