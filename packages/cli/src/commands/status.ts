import { type MachineStatus, machineStatus, planMachine } from '@bedledger/bedwork';
import {
  type Diagnostic,
  foldFindings,
  foldTogether,
  lengthText,
  pressureText,
} from '@bedledger/diagnostics';
import { flag, textOption, UsageError } from '../arguments.ts';
import type { Command } from '../command.ts';
import { EXIT } from '../exit.ts';
import { loadMachines } from '../load-machines.ts';
import type { Output } from '../output.ts';
import { NO_MACHINE, selectMachines } from '../select-machines.ts';

export const status: Command = {
  name: 'status',
  usage: 'status [machine…]',
  summary: 'per machine: board thickness, life, next skim, pending hand work',
  options: [
    {
      name: 'as-of',
      value: 'text',
      placeholder: 'DATE',
      help: 'figures as of this day (default: the last fact of each ledger)',
    },
    { name: 'brief', value: 'none', help: 'two lines a machine, and the file to open first' },
  ],
  examples: ['bedledger status', 'bedledger status plover --as-of 2026-11-01'],
  positional: [0, Number.POSITIVE_INFINITY],
  needsFleet: true,
  run: async ({ args, output, root }) => {
    const asOf = textOption(args, 'as-of');
    if (asOf !== undefined && !isDate(asOf))
      throw new UsageError(`\`${asOf}\` is not a date`, 'write it as 2026-03-14');
    const ids = selectMachines(root, args.positional);
    if (ids.length === 0) output.say(NO_MACHINE);
    const loaded = loadMachines(root, ids);
    const statuses: MachineStatus[] = [];
    const unreadable: string[] = [];
    for (const { id, record } of loaded.machines) {
      if (record === null) unreadable.push(id);
      else statuses.push(machineStatus(planMachine(record), asOf));
    }
    output.diagnostics(loaded.shared.filter(isStop));
    const told = foldTogether(loaded.machines.map((m) => foldFindings(m.findings.filter(isStop))));
    for (const list of [told.shared, ...told.own]) output.told(list);
    const brief = flag(args, 'brief');
    for (const s of statuses) (brief ? printBrief : print)(s, output);
    for (const id of unreadable) output.marked('stop', `${id}: cannot be read`);
    if (brief && statuses.length > 0)
      output.line(
        `\nOpen first: machines/${(statuses[0] as MachineStatus).id}/issued/run-sheet.html (then bed.svg beside it). \`npx bedledger --help\` lists the rest.`,
      );
    output.object({ command: 'status', machines: statuses, unreadable });
    return unreadable.length > 0 ? EXIT.wrong : EXIT.fine;
  },
};

const isStop = ({ severity }: Diagnostic): boolean => severity === 'stop';

function isDate(text: string): boolean {
  const match = /^(\d{4})-(\d{2})-(\d{2})$/.exec(text);
  if (match === null) return false;
  const date = new Date(`${text}T00:00:00Z`);
  return !Number.isNaN(date.getTime()) && date.toISOString().slice(0, 10) === text;
}

function printBrief(s: MachineStatus, output: Output): void {
  output.marked(
    s.stops > 0 ? 'stop' : 'ok',
    `${s.id}: ${s.issued.length === 0 ? 'no program issued' : `issued ${s.issued.join(', ')}`}`,
  );
  output.line(`          next: ${s.next}`);
}

function print(s: MachineStatus, output: Output): void {
  const long = (mm: number): string => lengthText(mm, s.units);
  const gauge = (pascal: number): string => pressureText(pascal, s.units);
  output.marked(
    s.stops > 0 ? 'stop' : 'ok',
    `${s.id}: ${s.title}${s.asOf === null ? '' : `, as of ${s.asOf}`}`,
  );
  const row = (name: string, text: string): void => output.line(`          ${name.padEnd(9)} ${text}`);
  // First what to do, then the figures it comes from.
  row('next', s.next);
  for (const due of s.due) row('due', due);
  if (s.issued.length > 0) row('issued', s.issued.join(', '));
  if (s.board === null) row('board', 'none recorded');
  else {
    row(
      'board',
      `number ${s.board.ordinal}, ${s.board.stock}, fitted ${s.board.fitted}: ${long(s.board.thickness)} (thinnest ${long(s.board.thinnest)}), ${s.board.skims} skims, ${s.board.pocketed ? 'pocketed' : 'not pocketed'}`,
    );
  }
  if (s.wear !== null) row('wear', `${long(s.wear.perMonth)} a month over ${s.wear.days} days`);
  if (s.life !== null) {
    row(
      'life',
      `${s.life.skims} skims${s.life.weeks === null ? '' : `, about ${Math.floor(s.life.weeks)} weeks`}; replace at ${long(s.life.replaceAt)} (${s.life.governs})`,
    );
  }
  for (const v of s.vacuum) {
    row(
      'vacuum',
      `${v.zone === null ? 'whole bed' : `zone ${v.zone}`}: ${gauge(v.baseline.covered)} on ${v.baseline.date}, ${gauge(v.current.covered)} on ${v.current.date}`,
    );
  }
  if (s.moisture !== null) row('moisture', `${s.moisture.percent} % on ${s.moisture.date}`);
  const sites = Object.entries(s.sites).filter(([, n]) => n > 0);
  row(
    'sites',
    sites.length === 0
      ? 'none'
      : sites.map(([state, n]) => `${n} ${state === 'none' ? 'planned' : state}`).join(', '),
  );
  // Of a machine that is stopped nothing is issued, and the reasons of single programs follow from what stops it.
  for (const b of s.stops > 0 ? [] : s.blocked)
    row('withheld', `${b.operation}${b.form === null ? '' : ` ${b.form}`}: ${b.reason}`);
}
