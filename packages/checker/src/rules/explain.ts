import type { RuleTable, Severity } from '@bedledger/diagnostics';
import type { RuleGroup } from './rule.ts';
import { CHECKER_RULES, type CheckerCode } from './table.ts';

/** A rule with its id, as the command line prints it. */
export interface ExplainedRule {
  readonly id: string;
  readonly group: RuleGroup;
  readonly severity: Severity;
  readonly title: string;
  readonly explanation: string;
  readonly remedy: string;
}

/** Every rule of the checker as a list, in the order of the documentation. */
export const RULES: readonly ExplainedRule[] = (Object.keys(CHECKER_RULES) as CheckerCode[]).map((id) => {
  const { group, severity, title, why, remedy } = CHECKER_RULES[id];
  return { id, group, severity, title, explanation: why, remedy };
});

/** One rule by its id, for the command line; null when there is none of that name. */
export function explainRule(id: string): ExplainedRule | null {
  return RULES.find((rule) => rule.id === id) ?? null;
}

const GROUP_TITLE: Readonly<Record<RuleGroup, string>> = {
  A: 'Bytes and text',
  B: 'Grammar',
  C: 'State',
  D: 'Motion, simulated',
  E: 'Numbers',
  F: 'Documents',
  G: 'Interlocks',
};

const SEVERITY_TEXT: Readonly<Record<Severity, string>> = {
  stop: 'stop: nothing is issued, nothing runs',
  warn: 'warn: a person must look',
  note: 'note: worth knowing',
};

/** The rules as one page of Markdown, with a final newline. */
export function rulesPage(): string {
  const lines: string[] = [
    '# Rules of the checker',
    '',
    'Every finding carries the id of one of these rules, the file, line and column it was made at, what was found and what is allowed. The house may raise a severity in `shared/house.yaml` (`raise`), never lower it.',
    '',
    'None of this replaces the machine maker’s manual, local codes or a competent person.',
    '',
    `There are ${RULES.length} rules. This page is generated from the tables in \`packages/checker/src\`.`,
  ];
  for (const group of Object.keys(GROUP_TITLE) as RuleGroup[]) {
    const rules = RULES.filter((rule) => rule.group === group);
    if (rules.length === 0) continue;
    lines.push('', `## ${group}. ${GROUP_TITLE[group]}`);
    for (const rule of rules) lines.push('', ...ruleLines(rule.id, CHECKER_RULES));
  }
  return `${lines.join('\n')}\n`;
}

function ruleLines(code: string, rules: RuleTable): string[] {
  const { severity, also = [], title, why, remedy } = rules[code]!;
  const others = also.map((other) => `; ${other.severity} ${other.when}`).join('');
  return [
    `### \`${code}\``,
    '',
    `**${sentence(title)}** (${SEVERITY_TEXT[severity]}${others})`,
    '',
    why,
    '',
    `What to do: ${remedy}.`,
  ];
}

function sentence(text: string): string {
  return text.charAt(0).toUpperCase() + text.slice(1);
}
