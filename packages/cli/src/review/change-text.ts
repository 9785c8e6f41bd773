import type { MachineChange, ValueChange } from './compare-machine.ts';

function value(v: number | null): string {
  return v === null ? '–' : String(Math.round(v * 1000) / 1000);
}

function valueLine({ what, unit, before, after }: ValueChange): string {
  return `${what}: ${value(before)} → ${value(after)}${unit === '' ? '' : ` ${unit}`}`;
}

function siteLines(change: MachineChange): string[] {
  return change.sites.map((s) => {
    const at = (p: readonly [number, number] | null): string =>
      p === null ? '' : `${p[0].toFixed(3)}, ${p[1].toFixed(3)}`;
    if (s.change === 'moved')
      return `${s.site} moves ${s.distance.toFixed(3)} mm: ${at(s.from)} → ${at(s.to)} (${s.state})`;
    return s.change === 'new'
      ? `${s.site} is new at ${at(s.to)}`
      : `${s.site} goes, was at ${at(s.from)} (${s.state})`;
  });
}

function headline(change: MachineChange): string {
  if (change.change === 'same') return 'nothing changes';
  if (change.change === 'new') return `a new machine, ${change.programs.length} programs`;
  if (change.change === 'gone') return 'the machine leaves the fleet';
  return change.programs.length === 0
    ? 'no program changes'
    : `${change.programs.length} programs change, the most as ${change.impact}`;
}

/** The change for a terminal. */
export function changeText(changes: readonly MachineChange[]): string {
  const lines: string[] = [];
  for (const c of changes) {
    lines.push(`${(c.change === 'same' ? 'ok' : c.change).padEnd(9)} ${c.id}: ${headline(c)}`);
    const part = (title: string, list: readonly string[]): void => {
      for (const line of list) lines.push(`          ${title.padEnd(9)} ${line}`);
    };
    part('site', siteLines(c));
    part('value', c.values.map(valueLine));
    if (c.change === 'changed')
      part(
        'program',
        c.programs.map((p) => `${p.file}: ${p.impact}`),
      );
    part('withheld', c.withheld);
    part('by hand', c.byHand);
  }
  return lines.join('\n');
}

const escapeCell = (text: string): string =>
  text.replace(/[|<>&\r\n]/g, (c) =>
    c === '|' ? '\\|' : c === '<' ? '&lt;' : c === '>' ? '&gt;' : c === '&' ? '&amp;' : ' ',
  );

/** The change for a pull request: one table, then a section for each machine that changes. */
export function changeMarkdown(changes: readonly MachineChange[]): string {
  const lines = [
    '### What this change does to each machine',
    '',
    '| machine | change | worst program change | sites | by hand |',
    '| --- | --- | --- | --- | --- |',
  ];
  for (const c of changes) {
    lines.push(
      `| ${c.id} | ${c.change} | ${c.change === 'same' ? '–' : c.impact} | ${c.sites.length} | ${c.byHand.length} |`,
    );
  }
  for (const c of changes.filter((m) => m.change !== 'same')) {
    lines.push('', `#### ${escapeCell(c.title)} (${c.id})`, '', headline(c));
    const section = (title: string, list: readonly string[]): void => {
      if (list.length > 0) lines.push('', `**${title}**`, '', ...list.map((l) => `- ${escapeCell(l)}`));
    };
    section('To do by hand', c.byHand);
    section('No longer issued, or issued again', c.withheld);
    section('Values', c.values.map(valueLine));
    section('Sites', siteLines(c));
    if (c.change === 'changed')
      section(
        'Programs',
        c.programs.map((p) => `\`${p.file}\`: ${p.impact}`),
      );
  }
  return `${lines.join('\n')}\n`;
}
