import { mergeRules, type RuleTable } from '@bedledger/diagnostics';
import { FIXING_RULES } from './fixing.ts';
import { STACK_INPUT_RULES } from './stack.ts';

/** Codes of the findings about a written fixing. */
export type FixingCode = keyof typeof FIXING_RULES;

/** Every code that this package can find. */
export type FastenerCode = FixingCode | keyof typeof STACK_INPUT_RULES;

export const FASTENER_RULES = mergeRules(FIXING_RULES, STACK_INPUT_RULES) as RuleTable<FastenerCode>;
