import { READER_RULES } from '../reader/index.ts';
import type { Rule, RuleGroup } from './rule.ts';
import { RULES as OWN } from './table.ts';

const READER_GROUP: Readonly<Record<string, RuleGroup>> = { text: 'A', grammar: 'B', state: 'C' };

/** Every rule that a finding of the checker can carry: the reader's and the simulation's, in one table. */
export const RULES: readonly Rule[] = [
  ...READER_RULES.map(
    (rule): Rule => ({
      id: rule.id,
      group: READER_GROUP[rule.group]!,
      severity: rule.severity,
      title: rule.title,
      explanation: rule.explanation,
      remedy: rule.remedy,
    }),
  ),
  ...OWN,
];

/** One rule by its id, for the command line; null when there is none of that name. */
export function explainRule(id: string): Rule | null {
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

const SEVERITY_TEXT = {
  stop: 'stop: nothing is issued, nothing runs',
  warn: 'warn: a person must look',
  note: 'note: worth knowing',
} as const;

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
  for (const group of ['A', 'B', 'C', 'D', 'E', 'F', 'G'] as const) {
    const rules = RULES.filter((rule) => rule.group === group);
    if (rules.length === 0) continue;
    lines.push('', `## ${group}. ${GROUP_TITLE[group]}`);
    for (const rule of rules) {
      lines.push(
        '',
        `### \`${rule.id}\``,
        '',
        `**${sentence(rule.title)}** (${SEVERITY_TEXT[rule.severity]})`,
        '',
        rule.explanation,
        '',
        `What to do: ${rule.remedy}.`,
      );
    }
  }
  return `${lines.join('\n')}\n`;
}

function sentence(text: string): string {
  return text.charAt(0).toUpperCase() + text.slice(1);
}
