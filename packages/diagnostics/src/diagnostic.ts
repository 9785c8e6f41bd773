/**
 * How much a finding weighs.
 * `stop`: nothing is issued, nothing runs; `warn`: a person must look; `note`: worth knowing.
 * An error in a file or in a call is always a `stop`.
 */
export type Severity = 'stop' | 'warn' | 'note';

/** Where something is: a file, and as much of a position in it as is known. Lines and columns count from 1. */
export interface Place {
  readonly file: string;
  readonly line?: number;
  readonly column?: number;
  /** Column after the last character of the span, on the same line. */
  readonly endColumn?: number;
}

/** Something that went wrong or was found: facts first, text second. */
export interface Diagnostic {
  /** Stable identifier: an upper-case area and a word, e.g. `profile/unknown-key`, `program/travel`. */
  readonly code: string;
  readonly severity: Severity;
  /** One sentence: what was found and what was expected, with units. Lower case, no full stop at the end. */
  readonly message: string;
  readonly place?: Place;
  /** The source line at `place`, without its line ending. */
  readonly excerpt?: string;
  readonly related?: readonly { readonly place: Place; readonly message: string }[];
  readonly facts?: Readonly<Record<string, string | number | boolean>>;
  /** Exactly one thing to do next. */
  readonly help?: string;
  /** Codes of the findings that it follows from: where one of them is found too, this one goes away with it. */
  readonly follows?: readonly string[];
  /** The one of many like things that it is about, e.g. `A1` or `line 12`: such findings are told as one. */
  readonly each?: string;
}

/** Input or call is wrong: carries every diagnostic of the attempt. The command line turns it into exit code 2. */
export class InputError extends Error {
  readonly diagnostics: readonly Diagnostic[];
  constructor(diagnostics: readonly Diagnostic[]) {
    super(diagnostics.map((d) => d.message).join('; ') || 'the input is wrong');
    this.name = 'InputError';
    this.diagnostics = diagnostics;
  }
}
