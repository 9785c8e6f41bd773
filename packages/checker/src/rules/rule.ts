import type { Severity } from '@bedledger/diagnostics';

/** A–E as program verification groups them (bytes, grammar, state, geometry, numbers), F across documents, G interlocks. */
export type RuleGroup = 'A' | 'B' | 'C' | 'D' | 'E' | 'F' | 'G';

/** One thing that the checker can find, for the findings themselves, the documentation and the command line. */
export interface Rule {
  /** Stable identifier, as in findings: `program/travel`. */
  readonly id: string;
  readonly group: RuleGroup;
  /** Least severity; a house may raise it. */
  readonly severity: Severity;
  readonly title: string;
  /** Why it matters, two or three sentences. */
  readonly explanation: string;
  /** Exactly one thing to do. */
  readonly remedy: string;
}
