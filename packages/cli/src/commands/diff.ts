import { rmSync } from 'node:fs';
import { isDeepStrictEqual } from 'node:util';
import type { Diagnostic } from '@bedledger/diagnostics';
import { listMachines } from '@bedledger/fleet';
import { textOption, UsageError } from '../arguments.ts';
import type { Command } from '../command.ts';
import { EXIT } from '../exit.ts';
import { type IssuedSet, issueMachine } from '../issued-set.ts';
import { loadMachines } from '../load-machines.ts';
import { changeMarkdown, changeText } from '../review/change-text.ts';
import { compareMachine, type MachineChange } from '../review/compare-machine.ts';
import { fleetAt } from '../review/fleet-at.ts';

export const diff: Command = {
  name: 'diff',
  usage: 'diff <base> [head]',
  summary:
    'what a change does to each machine: sites moved, depths, life, time, and what must be done by hand',
  options: [
    {
      name: 'format',
      value: 'text',
      placeholder: 'text|markdown',
      help: 'markdown: for the comment of a pull request',
    },
  ],
  examples: ['bedledger diff main', 'bedledger diff v1.2.0 HEAD --format markdown'],
  positional: [1, 2],
  needsFleet: true,
  run: async ({ args, output, root }) => {
    const format = textOption(args, 'format') ?? 'text';
    if (format !== 'text' && format !== 'markdown')
      throw new UsageError(`unknown format \`${format}\``, 'write --format text or --format markdown');
    const folders: string[] = [];
    try {
      const base = fleetAt(root, args.positional[0] as string);
      folders.push(base);
      let head = root;
      if (args.positional[1] !== undefined) {
        head = fleetAt(root, args.positional[1]);
        folders.push(head);
      }
      output.progress('diff: reading both fleets');
      const after = setsOf(head);
      const before = setsOf(base, after.sets);
      output.progressDone();
      // A machine unreadable on one side is reported and skipped.
      const unread = new Set([...before.unreadable, ...after.unreadable]);
      const ids = [...new Set([...before.sets.keys(), ...after.sets.keys()])]
        .filter((id) => !unread.has(id))
        .sort();
      const changes = ids.map((id) =>
        compareMachine(before.sets.get(id) ?? null, after.sets.get(id) ?? null),
      );
      output.diagnostics(after.findings.filter((f) => f.severity === 'stop'));
      output.line(format === 'markdown' ? changeMarkdown(changes) : changeText(changes));
      output.object({
        command: 'diff',
        machines: changes satisfies MachineChange[],
        unreadable: { base: before.unreadable, head: after.unreadable },
      });
      for (const id of before.unreadable)
        if (!after.unreadable.includes(id))
          output.marked('note', `${id}: could not be read at ${args.positional[0]}, so it is not compared`);
      for (const id of after.unreadable) output.marked('stop', `${id}: cannot be read any more`);
      return after.unreadable.length > 0
        ? EXIT.wrong
        : after.findings.some((f) => f.severity === 'stop')
          ? EXIT.findings
          : EXIT.fine;
    } finally {
      for (const folder of folders) rmSync(folder, { recursive: true, force: true });
    }
  },
};

interface Sets {
  readonly sets: ReadonlyMap<string, IssuedSet>;
  readonly unreadable: readonly string[];
  readonly findings: readonly Diagnostic[];
}

/**
 * Every machine of a fleet as issued by this program, so that both sides of a comparison speak of the same generator. A
 * machine whose record is the same in `known` is not made again.
 */
function setsOf(root: string, known: ReadonlyMap<string, IssuedSet> = new Map()): Sets {
  const loaded = loadMachines(root, listMachines(root));
  const sets = new Map<string, IssuedSet>();
  const unreadable: string[] = [];
  const findings: Diagnostic[] = [...loaded.shared];
  for (const { id, record, findings: own } of loaded.machines) {
    findings.push(...own);
    if (record === null) {
      unreadable.push(id);
      continue;
    }
    const same = known.get(id);
    const set = isDeepStrictEqual(same?.plan.record, record) ? (same as IssuedSet) : issueMachine(record);
    findings.push(...set.findings);
    sets.set(id, set);
  }
  return { sets, unreadable, findings };
}
