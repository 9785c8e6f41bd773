import { type Diagnostic, idleRaises } from '@bedledger/diagnostics';
import { type FileText, type House, readYaml } from '@bedledger/fleet';
import { report } from './report.ts';
import { RULES, suggestCodes } from './rules/index.ts';

/** Entries of the house's `raise` that do nothing: no such rule, or a rule that weighs more. Each at its line. */
export function houseFindings(house: House, file: FileText): Diagnostic[] {
  const idle = idleRaises(house.raise, RULES);
  if (idle.length === 0) return [];
  const source = readYaml(file.path, file.text);
  return idle.map((entry) => {
    const { code } = entry;
    const at = source.at(['raise', code], 'key');
    switch (entry.problem) {
      case 'unknown': {
        const near = suggestCodes(code);
        return report({
          code: 'house/unknown-rule',
          ...at,
          message: `the house raises \`${code}\`: unknown rule id`,
          facts: { rule: code },
          ...(near.length === 0 ? {} : { help: `did you mean \`${near.join('` or `')}\`?` }),
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
