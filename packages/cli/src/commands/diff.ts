import { rmSync } from 'node:fs';
import { isDeepStrictEqual } from 'node:util';
import { type Diagnostic, foldFindings } from '@bedledger/diagnostics';
import { listMachines, type MachineRecord } from '@bedledger/fleet';
import { textOption, UsageError } from '../arguments.ts';
import type { Command } from '../command.ts';
import { EXIT } from '../exit.ts';
import { issueMachine } from '../issued-set.ts';
import { loadMachines } from '../load-machines.ts';
import { changeMarkdown, changeText } from '../review/change-text.ts';
import { compareMachine, type MachineChange, unchanged } from '../review/compare-machine.ts';
import { fleetChange } from '../review/consequences.ts';
import { fleetAt } from '../review/fleet-at.ts';
import { lostFacts } from '../review/lost-facts.ts';

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
      const before = recordsOf(base);
      const after = recordsOf(head);
      // A machine unreadable on one side is reported and skipped.
      const unread = new Set([...before.unreadable, ...after.unreadable]);
      const ids = [...new Set([...before.records.keys(), ...after.records.keys()])]
        .filter((id) => !unread.has(id))
        .sort();
      const findings = [...after.findings];
      const changes = ids.map((id) => {
        output.progress(`diff: ${id}`);
        const [was = null, is = null] = [before.records.get(id), after.records.get(id)];
        // The same record gives the same files, whatever this program makes of it.
        if (is !== null && isDeepStrictEqual(was, is)) return unchanged(is);
        const [old, now] = [was && issueMachine(was), is && issueMachine(is)];
        const lost = lostFacts(base, head, id, args.positional[0] as string);
        findings.push(...(now?.findings ?? []), ...lost);
        const change = compareMachine(old, now);
        return { ...change, stops: [...foldFindings(lost), ...change.stops] };
      });
      output.progressDone();
      // What stops a machine that was read is told with the machine.
      output.diagnostics(after.findings.filter((f) => f.severity === 'stop'));
      const grouped = fleetChange(changes);
      output.line(format === 'markdown' ? changeMarkdown(grouped) : changeText(grouped));
      output.object({
        command: 'diff',
        summary: grouped.summary,
        common: grouped.common,
        machines: changes satisfies MachineChange[],
        unreadable: { base: before.unreadable, head: after.unreadable },
      });
      for (const id of before.unreadable)
        if (!after.unreadable.includes(id))
          output.marked('note', `${id}: could not be read at ${args.positional[0]}, so it is not compared`);
      for (const id of after.unreadable) output.marked('stop', `${id}: cannot be read any more`);
      return after.unreadable.length > 0
        ? EXIT.wrong
        : findings.some((f) => f.severity === 'stop')
          ? EXIT.findings
          : EXIT.fine;
    } finally {
      for (const folder of folders) rmSync(folder, { recursive: true, force: true });
    }
  },
};

interface Records {
  readonly records: ReadonlyMap<string, MachineRecord>;
  readonly unreadable: readonly string[];
  /** What was found while reading. */
  readonly findings: readonly Diagnostic[];
}

/** Every machine of a fleet; both sides of a comparison are then issued by this program, so that they speak of one generator. */
function recordsOf(root: string): Records {
  const loaded = loadMachines(root, listMachines(root));
  const records = new Map<string, MachineRecord>();
  for (const { id, record } of loaded.machines) if (record !== null) records.set(id, record);
  return {
    records,
    unreadable: loaded.machines.filter((m) => m.record === null).map((m) => m.id),
    findings: [...loaded.shared, ...loaded.machines.flatMap((m) => m.findings)],
  };
}
