import type { Severity } from './diagnostic.ts';

/** One thing that can be found, documented once: for the finding itself, for `explain`, for docs/rules.md and for `raise`. */
export interface Rule {
  /** What a finding of this rule weighs, unless one of `also` applies. */
  readonly severity: Severity;
  /** Other severities that a finding of this rule can have, each with the circumstance: `for a program from elsewhere`. */
  readonly also?: readonly { readonly severity: Severity; readonly when: string }[];
  /** What is wrong, in a few words. Lower case, no full stop. */
  readonly title: string;
  /** Why it matters: one to three sentences, with full stops. */
  readonly why: string;
  /** Exactly one thing to do; a finding may say it more precisely. Lower case, no full stop. */
  readonly remedy: string;
  /**
   * Codes of what a finding of this rule follows from where it is found of the same machine: a person is told of the cause
   * alone, and of how much hangs on it.
   */
  readonly follows?: readonly string[];
}

/** Rules by code: `area/words-with-dashes`. */
export type RuleTable<Code extends string = string> = Readonly<Record<Code, Rule>>;

const RANK: Readonly<Record<Severity, number>> = { note: 0, warn: 1, stop: 2 };

/** The heavier of two severities. */
export function heavier(a: Severity, b: Severity): Severity {
  return RANK[a] >= RANK[b] ? a : b;
}

/** Negative when `a` weighs less than `b`, zero when they weigh the same. */
export function compareSeverity(a: Severity, b: Severity): number {
  return RANK[a] - RANK[b];
}

/** Several packages' tables as one. A code that stands in two of them is a RangeError: every code has one meaning. */
export function mergeRules(...tables: readonly RuleTable[]): RuleTable {
  const all: Record<string, Rule> = {};
  for (const table of tables) {
    for (const [code, rule] of Object.entries(table)) {
      if (Object.hasOwn(all, code)) throw new RangeError(`the code ${code} is defined twice`);
      all[code] = rule;
    }
  }
  return all;
}
