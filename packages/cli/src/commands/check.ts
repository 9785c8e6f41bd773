import { rmSync } from 'node:fs';
import { type Diagnostic, renderToldCi } from '@bedledger/diagnostics';
import { flag, textOption, UsageError } from '../arguments.ts';
import type { Command } from '../command.ts';
import type { MachineOutcome, StaleFile } from '../machine-task.ts';
import type { Output } from '../output.ts';
import { fleetAt } from '../review/fleet-at.ts';
import { lostFacts } from '../review/lost-facts.ts';
import { overMachines, WORKERS_OPTION } from './over-machines.ts';

export const check: Command = {
  name: 'check',
  usage: 'check [machine…]',
  summary: 'prove that committed files are what the profiles give and that every program passes',
  options: [
    {
      name: 'format',
      value: 'text',
      placeholder: 'text|annotations',
      help: 'annotations: one line a finding for a pull request',
    },
    {
      name: 'base',
      value: 'text',
      placeholder: 'REVISION',
      help: 'also: no fact that a ledger had at this commit, branch or tag is gone',
    },
    WORKERS_OPTION,
  ],
  examples: [
    'bedledger check',
    'bedledger check heron',
    'bedledger check --format annotations',
    'bedledger check --base main',
  ],
  positional: [0, Number.POSITIVE_INFINITY],
  needsFleet: true,
  run: async (context) => {
    const { args, output } = context;
    const format = textOption(args, 'format') ?? 'text';
    if (format !== 'text' && format !== 'annotations')
      throw new UsageError(`unknown format \`${format}\``, 'write --format text or --format annotations');
    const base = textOption(args, 'base');
    return overMachines('check', context, {
      ...(base !== undefined && { found: factsSince(context.root, base) }),
      findings: (list) => {
        if (format === 'text') output.told(list);
        else if (list.length > 0) output.line(renderToldCi(list, flag(args, 'all')).trimEnd());
      },
      outcome: (outcome) => tell(outcome, output),
    });
  },
};

function tell(outcome: MachineOutcome, output: Output): void {
  const { id, verdict, changes, programs, findings } = outcome;
  const warnings = findings.filter((f) => f.severity === 'warn').length;
  const also = warnings === 0 ? '' : `, ${warnings} ${warnings === 1 ? 'warning' : 'warnings'}`;
  switch (verdict) {
    case 'wrong':
      output.marked('stop', `${id}: a file of it, or a shared file, is wrong`);
      break;
    case 'blocked':
      output.marked('stop', `${id}: what the profile gives does not pass its check`);
      break;
    case 'fine':
      output.marked('ok', `${id}: ${programs} programs are what the profile gives, and pass${also}`);
      break;
    case 'fault':
      output.marked('stop', `${id}: this program failed on it; what it failed with is above`);
      break;
    case 'changed':
    case 'stale':
      output.marked(
        'stop',
        `${id}: ${changes.length} ${changes.length === 1 ? 'file is' : 'files are'} not what the profile gives; run \`bedledger regenerate ${id}\` and look at what changes`,
      );
      for (const file of changes) for (const line of staleLines(id, file)) output.line(`          ${line}`);
  }
}

/** Names the file, the first differing line, and what each side has there. */
function staleLines(id: string, { path, change, difference }: StaleFile): string[] {
  const file = `machines/${id}/issued/${path}`;
  if (change === 'new') return [`${file}: missing`];
  if (change === 'gone') return [`${file}: no longer issued, but still there`];
  if (difference === null) return [`${file}: differs`];
  return [
    `${file}:${difference.line}:${difference.column}: out of date or edited by hand`,
    `  here     ${around(difference.committed, difference.column) ?? '(the file ends before this line)'}`,
    `  expected ${around(difference.expected, difference.column) ?? '(nothing: the file should end before this line)'}`,
  ];
}

/** The part of a long line round the column where it differs: a drawing has lines of many thousand characters. */
function around(line: string | null, column: number): string | null {
  const most = 160;
  if (line === null || line.length <= most) return line;
  const from = Math.max(0, Math.min(column - 1 - most / 4, line.length - most));
  const part = line.slice(from, from + most);
  return `${from > 0 ? '…' : ''}${part}${from + most < line.length ? '…' : ''}`;
}

/** Tells of each machine which facts its ledger has lost since a revision. */
function factsSince(
  root: string,
  revision: string,
): (ids: readonly string[]) => ReadonlyMap<string, Diagnostic[]> {
  return (ids) => {
    const base = fleetAt(root, revision);
    try {
      return new Map(ids.map((id) => [id, lostFacts(base, root, id, revision)]));
    } finally {
      rmSync(base, { recursive: true, force: true });
    }
  };
}
