/** Exit codes of every command. */
export const EXIT = {
  /** All is well. */
  fine: 0,
  /** Findings, or issued files that are out of date. */
  findings: 1,
  /** The input or the call is wrong. */
  wrong: 2,
  /** A fault of the command itself. */
  fault: 70,
  /** Interrupted by the operator. */
  interrupted: 130,
} as const;

export type ExitCode = (typeof EXIT)[keyof typeof EXIT];
