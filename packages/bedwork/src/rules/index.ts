import { mergeRules, type RuleTable } from '@bedledger/diagnostics';
import { FEEDS_RULES } from './feeds.ts';
import { LAYOUT_RULES } from './layout.ts';
import { OPERATIONS_RULES } from './operations.ts';
import { STACK_RULES } from './stack.ts';
import { SURFACING_RULES } from './surfacing.ts';
import { SURVEY_RULES } from './survey.ts';

export type FeedsCode = keyof typeof FEEDS_RULES;

/** Every code that planning a machine can find. */
export type BedworkCode =
  | keyof typeof LAYOUT_RULES
  | keyof typeof SURVEY_RULES
  | keyof typeof STACK_RULES
  | keyof typeof OPERATIONS_RULES
  | keyof typeof SURFACING_RULES
  | FeedsCode;

export const BEDWORK_RULES = mergeRules(
  LAYOUT_RULES,
  SURVEY_RULES,
  STACK_RULES,
  OPERATIONS_RULES,
  SURFACING_RULES,
  FEEDS_RULES,
) as RuleTable<BedworkCode>;
