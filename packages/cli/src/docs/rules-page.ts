import type { Rule, Severity } from '@bedledger/diagnostics';
import { AREAS, codesByArea, RULES } from '../rules/index.ts';

const WEIGHS: Readonly<Record<Severity, string>> = {
  stop: 'stop: nothing is issued, nothing runs',
  warn: 'warn: a person must look',
  note: 'note: worth knowing',
};

/** `stop: nothing is issued, nothing runs; warn in a program from elsewhere`. */
export function severityText({ severity, also = [] }: Rule): string {
  return [WEIGHS[severity], ...also.map((other) => `${other.severity} ${other.when}`)].join('; ');
}

/** `docs/rules.md`: every rule of every package by area, with a final newline. */
export function rulesPage(): string {
  const lines: string[] = [
    '# Rules',
    '',
    'Every finding carries the id of one of these rules, where it was found, what was found and what was expected. `bedledger explain <id>` says what is said here. The house may raise the severity of any rule in `shared/house.yaml` (`raise`); no rule can be lowered.',
    '',
    'None of this replaces the machine maker’s manual, local codes or a competent person.',
    '',
    `This page is generated from the tables of the rules by \`node tools/write-docs.mjs\`.`,
  ];
  for (const [area, codes] of codesByArea()) {
    lines.push('', `## ${AREAS[area].title} (\`${area}/…\`)`, '', AREAS[area].about);
    for (const code of codes) {
      const rule = RULES[code]!;
      lines.push(
        '',
        `### \`${code}\``,
        '',
        `**${sentence(rule.title)}** (${severityText(rule)})`,
        '',
        rule.why,
        '',
        `What to do: ${rule.remedy}.`,
        ...(rule.follows
          ? [
              '',
              `Follows from ${rule.follows.map((c) => `\`${c}\``).join(', ')}, where one of these is found too.`,
            ]
          : []),
      );
    }
  }
  return `${lines.join('\n')}\n`;
}

function sentence(text: string): string {
  return text.charAt(0).toUpperCase() + text.slice(1);
}
