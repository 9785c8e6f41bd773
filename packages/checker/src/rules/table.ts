import { MOTION_RULES } from './motion-table.ts';
import type { Rule } from './rule.ts';
import { WORK_RULES } from './work-table.ts';

/** Every rule of the checker, in the order of the documentation. */
export const RULES: readonly Rule[] = [...MOTION_RULES, ...WORK_RULES];

const byId = new Map(RULES.map((rule) => [rule.id, rule]));

/** The rule of that id. Throws RangeError when there is none: findings are only ever made from the table. */
export function ruleById(id: string): Rule {
  const rule = byId.get(id);
  if (!rule) throw new RangeError(`no rule is called ${id}`);
  return rule;
}
