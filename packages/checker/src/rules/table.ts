import type { RuleTable } from '@bedledger/diagnostics';
import { DOCUMENT_RULES } from './documents.ts';
import { GRAMMAR_RULES } from './grammar.ts';
import { GUARD_RULES } from './guard.ts';
import { INTERLOCK_RULES } from './interlock.ts';
import { OUTPUT_RULES } from './output.ts';
import { PROGRAM_RULES } from './program.ts';
import type { ReaderRule } from './reader-rule.ts';
import { STATE_RULES } from './state.ts';
import { TEXT_RULES } from './text.ts';
import { TOOL_RULES } from './tool.ts';
import { WORK_RULES } from './work.ts';

export type ReaderCode = keyof typeof TEXT_RULES | keyof typeof GRAMMAR_RULES | keyof typeof STATE_RULES;

export type CheckerCode =
  | ReaderCode
  | keyof typeof PROGRAM_RULES
  | keyof typeof TOOL_RULES
  | keyof typeof OUTPUT_RULES
  | keyof typeof WORK_RULES
  | keyof typeof DOCUMENT_RULES
  | keyof typeof INTERLOCK_RULES
  | keyof typeof GUARD_RULES;

/** Every rule that reading a program can break. */
export const READER_RULES: Readonly<Record<ReaderCode, ReaderRule>> = {
  ...TEXT_RULES,
  ...GRAMMAR_RULES,
  ...STATE_RULES,
};

/** Every rule of the checker, in the order of the documentation. */
export const CHECKER_RULES: RuleTable<CheckerCode> = {
  ...READER_RULES,
  ...PROGRAM_RULES,
  ...TOOL_RULES,
  ...OUTPUT_RULES,
  ...WORK_RULES,
  ...DOCUMENT_RULES,
  ...INTERLOCK_RULES,
  ...GUARD_RULES,
};

/** True when a finding of that code means that nobody can say where the cutter goes. */
export function makesPathUnknown(code: string): boolean {
  const rules: Readonly<Record<string, ReaderRule>> = READER_RULES;
  return Object.hasOwn(rules, code) && rules[code]!.makesPathUnknown;
}
