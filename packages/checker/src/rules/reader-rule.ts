import type { Rule, Severity } from '@bedledger/diagnostics';

/** A rule of the reader, which reads issued programs and programs from elsewhere. */
export interface ReaderRule extends Rule {
  /** Severity for a program from elsewhere; null when it is no finding there. */
  readonly foreign: Severity | null;
  /** A finding means that nobody can say where the cutter goes. */
  readonly makesPathUnknown: boolean;
}

/** A rule as the tables write it. */
type WrittenRule = Omit<Rule, 'also'> & {
  /** Left out: a program from elsewhere is judged alike. */
  readonly foreign?: Severity | null;
  readonly makesPathUnknown?: true;
};

/** A table of the reader's rules; its keys are its closed list of codes. */
export function readerRules<Code extends string>(
  rules: Readonly<Record<Code, WrittenRule>>,
): Readonly<Record<Code, ReaderRule>> {
  const entries = Object.entries<WrittenRule>(rules).map(([code, rule]): [string, ReaderRule] => {
    const foreign = rule.foreign === undefined ? rule.severity : rule.foreign;
    const differs = foreign !== null && foreign !== rule.severity;
    const also = differs && { also: [{ severity: foreign, when: 'in a program from elsewhere' }] };
    return [code, { ...rule, foreign, makesPathUnknown: rule.makesPathUnknown ?? false, ...also }];
  });
  return Object.fromEntries(entries) as Record<Code, ReaderRule>;
}
