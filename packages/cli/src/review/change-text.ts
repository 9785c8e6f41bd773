import type { MachineChange } from './compare-machine.ts';
import { type Consequence, type FleetChange, kindOf, PARTS, type Part } from './consequences.ts';

function headline(change: MachineChange): string {
  if (change.stops.length > 0)
    return 'stopped: nothing of it may be issued, and the files issued before are left';
  if (change.change === 'same') return 'nothing changes';
  if (change.change === 'new') return `a new machine, ${change.programs.length} programs`;
  if (change.change === 'gone') return 'the machine leaves the fleet';
  return change.programs.length === 0
    ? 'no program changes'
    : `${change.programs.length} programs change, the most as ${change.impact}`;
}

/** The change for a terminal: the fleet, what several machines have in common, each machine. */
export function changeText({ summary, common, machines }: FleetChange): string {
  const lines: string[] = [summary];
  const tell = (consequences: readonly Consequence[]): void => {
    for (const { part, line } of consequences) lines.push(`          ${part.padEnd(9)} ${line}`);
  };
  for (const group of common) {
    lines.push(`${'alike'.padEnd(9)} ${group.machines.join(', ')}:`);
    tell(group.consequences);
  }
  for (const { change, own } of machines) {
    const kind = kindOf(change);
    const mark = kind === 'same' ? 'ok' : kind === 'stopped' ? 'stop' : kind;
    lines.push(`${mark.padEnd(9)} ${change.id}: ${headline(change)}`);
    tell(own);
  }
  return lines.join('\n');
}

const escapeCell = (text: string): string =>
  text.replace(/[|<>&\r\n]/g, (c) =>
    c === '|' ? '\\|' : c === '<' ? '&lt;' : c === '>' ? '&gt;' : c === '&' ? '&amp;' : ' ',
  );

/** The change for a pull request: a table, what machines have in common, then a section for each machine that changes. */
export function changeMarkdown({ summary, common, machines }: FleetChange): string {
  const lines = [
    '### What this change does to each machine',
    '',
    `${summary}.`,
    '',
    '| machine | change | worst program change | sites | by hand |',
    '| --- | --- | --- | --- | --- |',
  ];
  for (const { change: c } of machines) {
    const kind = kindOf(c);
    lines.push(
      `| ${c.id} | ${kind} | ${kind === 'same' || kind === 'stopped' ? '–' : c.impact} | ${c.sites.length} | ${c.byHand.length} |`,
    );
  }
  const sections = (consequences: readonly Consequence[]): void => {
    for (const part of Object.keys(PARTS) as Part[]) {
      const list = consequences.filter((c) => c.part === part);
      if (list.length === 0) continue;
      lines.push('', `**${PARTS[part]}**`, '', ...list.map(({ line }) => `- ${escapeCell(line)}`));
    }
  };
  for (const group of common) {
    lines.push('', `#### Alike on ${group.machines.join(', ')}`);
    sections(group.consequences);
  }
  for (const { change, own } of machines.filter(({ change: c }) => kindOf(c) !== 'same')) {
    lines.push('', `#### ${escapeCell(change.title)} (${change.id})`, '', headline(change));
    sections(own);
  }
  return `${lines.join('\n')}\n`;
}
