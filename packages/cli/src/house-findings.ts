import { type Diagnostic, didYouMean, idleRaises } from '@bedledger/diagnostics';
import type { House, Locator } from '@bedledger/fleet';
import { report } from './report.ts';
import { RULES } from './rules/index.ts';

/** Entries of the house's `raise` that do nothing: no such rule, or a rule that weighs more. Each at its line. */
export function houseFindings(house: House, houseAt: Locator): Diagnostic[] {
  return idleRaises(house.raise, RULES).map((entry) => {
    const { code } = entry;
    const at = houseAt(['raise', code], 'key');
    switch (entry.problem) {
      case 'unknown': {
        const near = didYouMean(code, Object.keys(RULES));
        return report({
          code: 'house/unknown-rule',
          ...at,
          message: `the house raises \`${code}\`: unknown rule id`,
          facts: { rule: code },
          ...(near === null ? {} : { help: near }),
        });
      }
      case 'lowers':
        return report({
          code: 'house/lowered-rule',
          ...at,
          message: `the house sets \`${code}\` to ${entry.wanted}, and the rule is a ${entry.own}: a rule is never lowered`,
          facts: { rule: code, wanted: entry.wanted, own: entry.own },
        });
      default:
        return entry satisfies never;
    }
  });
}
