import type { Diagnostic, Place, Severity } from './diagnostic.ts';
import type { Rule, RuleTable } from './rule.ts';

/** What is said of one finding; everything else (severity, what to do) comes from its rule. */
export interface Finding<Code extends string = string> {
  readonly code: Code;
  /** One sentence: what was found and what was expected, with units. Lower case, no full stop at the end. */
  readonly message: string;
  readonly place?: Place | undefined;
  /** The source line at `place`, without its line ending. */
  readonly excerpt?: string | undefined;
  readonly related?: Diagnostic['related'] | undefined;
  readonly facts?: Diagnostic['facts'] | undefined;
  /** What to do, where it can be said more precisely than the rule says it. */
  readonly help?: string | undefined;
  /** What it follows from, where that is not what the rule says. */
  readonly follows?: readonly string[] | undefined;
  /** The one of many like things that it is about: findings of one rule that differ in it are told as one. */
  readonly each?: string | undefined;
  /** One of the rule's other severities. Any severity that the rule does not name is a RangeError. */
  readonly severity?: Severity | undefined;
}

/**
 * The builder of a package's findings. `report({ code, place, message, facts })` makes one finding; the severity and the
 * remedy are those of the table's rule. A code that the table lacks is a compile error, and a RangeError where a code was
 * computed.
 */
export function reporter<Code extends string>(
  table: RuleTable<Code>,
): (finding: Finding<Code>) => Diagnostic {
  return (finding) => {
    const rule: Rule | undefined = Object.hasOwn(table, finding.code) ? table[finding.code] : undefined;
    if (rule === undefined) throw new RangeError(`no rule \`${finding.code}\``);
    const severity = finding.severity ?? rule.severity;
    if (severity !== rule.severity && !rule.also?.some((other) => other.severity === severity)) {
      throw new RangeError(`rule \`${finding.code}\` has no findings of severity ${severity}`);
    }
    const follows = finding.follows ?? rule.follows ?? [];
    return {
      code: finding.code,
      severity,
      message: finding.message,
      ...(finding.place && { place: finding.place }),
      ...(finding.excerpt !== undefined && { excerpt: finding.excerpt }),
      ...(finding.related && finding.related.length > 0 && { related: finding.related }),
      ...(finding.facts && { facts: finding.facts }),
      help: finding.help ?? rule.remedy,
      ...(follows.length > 0 && { follows }),
      ...(finding.each !== undefined && { each: finding.each }),
    };
  };
}
