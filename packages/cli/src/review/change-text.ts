import {
  type Diagnostic,
  fineLength,
  fineNumber,
  inUnits,
  trimmed,
  type Units,
} from '@bedledger/diagnostics';
import type { MachineChange, ValueChange } from './compare-machine.ts';

function valueLine({ what, unit, before, after }: ValueChange, units: Units): string {
  const value = (v: number | null): string => {
    if (v === null) return '–';
    return unit === 'mm' ? trimmed(inUnits(v, units), units === 'mm' ? 3 : 4) : trimmed(v, 1);
  };
  const named = unit === 'mm' ? units : unit;
  return `${what}: ${value(before)} → ${value(after)}${named === '' ? '' : ` ${named}`}`;
}

function siteLines({ sites, units }: MachineChange): string[] {
  const at = (p: readonly [number, number] | null): string =>
    p === null ? '' : `${fineNumber(p[0], units)}, ${fineNumber(p[1], units)}`;
  return sites.map((s) => {
    if (s.change === 'moved')
      return `${s.site} moves ${fineLength(s.distance, units)}: ${at(s.from)} → ${at(s.to)} (${s.state})`;
    return s.change === 'new'
      ? `${s.site} is new at ${at(s.to)}`
      : `${s.site} goes, was at ${at(s.from)} (${s.state})`;
  });
}

function findingLine(d: Diagnostic): string {
  return `${d.severity} ${d.code}: ${d.message}${d.help === undefined ? '' : `; do: ${d.help}`}`;
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
    part(
      'value',
      c.values.map((v) => valueLine(v, c.units)),
    );
    if (c.change === 'changed')
      part(
        'program',
        c.programs.map((p) => `${p.file}: ${p.impact}`),
      );
    part('withheld', c.withheld);
    part('by hand', c.byHand);
    part('found', c.findings.appear.map(findingLine));
    part(
      'gone',
      c.findings.vanish.map((d) => `${d.severity} ${d.code}: ${d.message}`),
    );
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
    section('Found after the change', c.findings.appear.map(findingLine));
    section(
      'No longer found',
      c.findings.vanish.map((d) => `${d.severity} ${d.code}: ${d.message}`),
    );
    section('No longer issued, or issued again', c.withheld);
    section(
      'Values',
      c.values.map((v) => valueLine(v, c.units)),
    );
    section('Sites', siteLines(c));
    if (c.change === 'changed')
      section(
        'Programs',
        c.programs.map((p) => `\`${p.file}\`: ${p.impact}`),
      );
  }
  return `${lines.join('\n')}\n`;
}
