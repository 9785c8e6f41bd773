import type { Rule, Severity } from '@bedledger/diagnostics';

/** A–E as program verification groups them (bytes, grammar, state, geometry, numbers), F across documents, G interlocks. */
export type RuleGroup = 'A' | 'B' | 'C' | 'D' | 'E' | 'F' | 'G';

/** One thing that the checker can find. */
export interface CheckerRule extends Rule {
  readonly group: RuleGroup;
}

/** A rule of the reader, which reads issued programs and programs from elsewhere. */
export interface ReaderRule extends CheckerRule {
  /** Severity for a program from elsewhere; null when it is no finding there. */
  readonly foreign: Severity | null;
  /** A finding means that nobody can say where the cutter goes. */
  readonly makesPathUnknown: boolean;
}

/** A table of rules whose keys are its closed list of codes. */
export function checkerRules<Code extends string>(
  rules: Readonly<Record<Code, CheckerRule>>,
): Readonly<Record<Code, CheckerRule>> {
  return rules;
}

type WrittenReaderRule = Omit<ReaderRule, 'group' | 'also' | 'foreign' | 'makesPathUnknown'> & {
  /** Left out: a program from elsewhere is judged alike. */
  readonly foreign?: Severity | null;
  readonly makesPathUnknown?: true;
};

/** A table of the reader's rules of one group; its keys are its closed list of codes. */
export function readerRules<Code extends string>(
  group: RuleGroup,
  rules: Readonly<Record<Code, WrittenReaderRule>>,
): Readonly<Record<Code, ReaderRule>> {
  const complete = ([code, rule]: [string, WrittenReaderRule]): [string, ReaderRule] => {
    const foreign = rule.foreign === undefined ? rule.severity : rule.foreign;
    const differs = foreign !== null && foreign !== rule.severity;
    const also = differs && { also: [{ severity: foreign, when: 'in a program from elsewhere' }] };
    const makesPathUnknown = rule.makesPathUnknown ?? false;
    return [code, { ...rule, group, foreign, makesPathUnknown, ...also }];
  };
  const entries = Object.entries<WrittenReaderRule>(rules).map(complete);
  return Object.fromEntries(entries) as Record<Code, ReaderRule>;
}
