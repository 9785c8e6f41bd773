import type { ManifestProgram } from '@bedledger/fleet';

/** One file of a program as a controller reads it. */
export interface PostedFile {
  /** File name with extension, as the controller wants it. */
  readonly name: string;
  readonly text: string;
  /** Claims about the text, computed from the emitted text, for the manifest; `file` is `programs/<name>`. */
  readonly claims: ManifestProgram;
}
