import { COMMON_OPTIONS, type OptionSpec } from './arguments.ts';
import type { Command } from './command.ts';

function optionLines(specs: readonly OptionSpec[]): string[] {
  const heads = specs.map((s) => `--${s.name}${s.value === 'none' ? '' : ` ${s.placeholder ?? 'VALUE'}`}`);
  const width = Math.max(...heads.map((h) => h.length));
  return specs.flatMap((s, i) => hanging(`  ${(heads[i] as string).padEnd(width)}  `, s.help));
}

/** A terminal's usual width, a little more generous: help is wrapped to it by words. */
const COLUMNS = 100;

/** `text` after `head`, wrapped, its further lines under its first word. */
function hanging(head: string, text: string): string[] {
  const lines: string[] = [];
  let line = head;
  let empty = true;
  for (const word of text.split(' ')) {
    if (!empty && line.length + 1 + word.length > COLUMNS) {
      lines.push(line);
      line = ' '.repeat(head.length) + word;
    } else line += empty ? word : ` ${word}`;
    empty = false;
  }
  lines.push(line);
  return lines;
}

/** Help of one command: examples first, then its options. */
export function commandHelp(command: Command): string {
  return [
    `bedledger ${command.usage}`,
    '',
    ...hanging('', command.summary),
    '',
    'examples',
    ...command.examples.map((e) => `  ${e}`),
    '',
    ...(command.options.length > 0 ? ['options', ...optionLines(command.options), ''] : []),
    'always',
    ...optionLines(COMMON_OPTIONS.filter(({ name }) => !command.options.some((own) => own.name === name))),
    '',
  ].join('\n');
}

/** Help of the whole program. */
export function programHelp(commands: readonly Command[], version: string): string {
  const width = Math.max(...commands.map((c) => c.usage.length));
  return [
    `bedledger ${version}: where every screw, pocket and skim of every router goes, checked before it is cut`,
    '',
    'examples',
    '  bedledger regenerate             write every issued file of every machine',
    '  bedledger check heron            prove that the committed files are right',
    '  bedledger record heron skim --commanded 0.4 --thickness 17.5',
    '',
    'commands',
    ...commands.flatMap((c) => hanging(`  ${c.usage.padEnd(width)}  `, c.summary)),
    '',
    ...hanging(
      '',
      '`bedledger <command> --help` has the options. Exit 0: fine; 1: findings, or files out of date; 2: the input or the call is wrong.',
    ),
    '',
  ].join('\n');
}
