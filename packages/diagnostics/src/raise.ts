import type { Diagnostic, Severity } from './diagnostic.ts';
import { compareSeverity, heavier, type RuleTable } from './rule.ts';

/** Severities that a house gives to rules, by code. */
export type Raise = Readonly<Record<string, Severity>>;

/** The findings with the house's severities where those weigh more: a house can raise any rule and lower none. */
export function raised(findings: readonly Diagnostic[], raise: Raise): Diagnostic[] {
  return findings.map((d) => {
    const wanted = Object.hasOwn(raise, d.code) ? raise[d.code] : undefined;
    const severity = wanted === undefined ? d.severity : heavier(wanted, d.severity);
    return severity === d.severity ? d : { ...d, severity };
  });
}

/** An entry of `raise` that does nothing: no such rule, or a rule that weighs more already. */
export type IdleRaise =
  | { readonly code: string; readonly problem: 'unknown' }
  | { readonly code: string; readonly problem: 'lowers'; readonly wanted: Severity; readonly own: Severity };

/** Entries of a house's `raise` that name no rule, or would lower one. In the order of the house's list. */
export function idleRaises(raise: Raise, rules: RuleTable): IdleRaise[] {
  const out: IdleRaise[] = [];
  for (const [code, wanted] of Object.entries(raise)) {
    if (!Object.hasOwn(rules, code)) {
      out.push({ code, problem: 'unknown' });
      continue;
    }
    const own = rules[code]!.severity;
    if (compareSeverity(wanted, own) < 0) out.push({ code, problem: 'lowers', wanted, own });
  }
  return out;
}
