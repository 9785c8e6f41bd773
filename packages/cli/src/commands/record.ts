import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { planLayout, planMachine, type Site, stackAt } from '@bedledger/bedwork';
import { keyValue, suggest, type Units } from '@bedledger/diagnostics';
import { type FactWritten, type MachineRecord, recordFact } from '@bedledger/fleet';
import { flag, listOption, type ParsedArguments, textOption, UsageError } from '../arguments.ts';
import type { Command } from '../command.ts';
import { EXIT } from '../exit.ts';
import { loadMachine } from '../load-machines.ts';
import { checkReferences } from '../record/references.ts';

/** Quantities as typed: a bare number is in the ledger's unit, text carries its own (`0.7 in`, `24 inHg`). */
type Quantity = number | string;

const FACTS = [
  'mark',
  'bore',
  'insert',
  'fill',
  'board',
  'pocket',
  'skim',
  'heights',
  'vacuum',
  'moisture',
  'survey',
  'datum',
  'time',
  'note',
] as const;
type FactName = (typeof FACTS)[number];

export const record: Command = {
  name: 'record',
  usage: 'record <machine> <fact> [site…]',
  summary: `write a physical fact into the ledger: ${FACTS.join(', ')}`,
  options: [
    {
      name: 'date',
      value: 'text',
      placeholder: 'DATE',
      help: 'day it was done, as 2026-03-14 (default: today)',
    },
    { name: 'all', value: 'none', help: 'every site that is due for this fact' },
    {
      name: 'at',
      value: 'text',
      placeholder: 'X,Y',
      help: 'where it was really done, when not where the program goes (one site)',
    },
    {
      name: 'diameter',
      value: 'text',
      placeholder: 'LENGTH',
      help: 'bore: diameter (default: as the stack says)',
    },
    { name: 'depth', value: 'text', placeholder: 'LENGTH', help: 'bore: depth (default: as the stack says)' },
    {
      name: 'insert',
      value: 'text',
      placeholder: 'NAME',
      help: 'insert: what was set (default: the fixing’s insert)',
    },
    { name: 'reason', value: 'text', placeholder: 'TEXT', help: 'fill: why' },
    { name: 'stock', value: 'text', placeholder: 'ID', help: 'board: its stock (default: the profile’s)' },
    {
      name: 'thickness',
      value: 'list',
      placeholder: 'LENGTH',
      help: 'board, skim: measured thickness; once for each place',
    },
    {
      name: 'skimmed',
      value: 'text',
      placeholder: 'none|underside|top|both',
      help: 'board: faces skimmed before (default none)',
    },
    { name: 'pocketed', value: 'none', help: 'board: pockets and holes are in it already' },
    {
      name: 'screw-length',
      value: 'text',
      placeholder: 'LENGTH',
      help: 'board, pocket: length of the screws',
    },
    {
      name: 'pocket-floor',
      value: 'text',
      placeholder: 'LENGTH',
      help: 'board, pocket: height of the pocket floors above the bed',
    },
    { name: 'commanded', value: 'text', placeholder: 'LENGTH', help: 'skim: depth that was commanded' },
    { name: 'heights', value: 'text', placeholder: 'FILE', help: 'skim: height map it was planned from' },
    {
      name: 'file',
      value: 'text',
      placeholder: 'FILE',
      help: 'heights, survey: the readings, below the machine’s folder',
    },
    {
      name: 'mark',
      value: 'text',
      placeholder: 'X,Y',
      help: 'datum: where the datum mark is found now, after the machine was moved or rehomed',
    },
    { name: 'second', value: 'text', placeholder: 'X,Y', help: 'datum: where the second mark is found now' },
    { name: 'zone', value: 'text', placeholder: 'ID', help: 'vacuum: the zone that was open' },
    {
      name: 'covered',
      value: 'text',
      placeholder: 'PRESSURE',
      help: 'vacuum: gauge with the board sealed, e.g. "80 kPa" or "24 inHg"',
    },
    { name: 'uncovered', value: 'text', placeholder: 'PRESSURE', help: 'vacuum: gauge with the board bare' },
    { name: 'percent', value: 'number', placeholder: 'N', help: 'moisture: reading' },
    { name: 'operation', value: 'text', placeholder: 'NAME', help: 'time: which program' },
    { name: 'minutes', value: 'number', placeholder: 'N', help: 'time: how long it took' },
    {
      name: 'predicted',
      value: 'number',
      placeholder: 'N',
      help: 'time: what was predicted (default: the present prediction)',
    },
    { name: 'text', value: 'text', placeholder: 'TEXT', help: 'note: the note' },
  ],
  examples: [
    'bedledger record egret mark --all',
    'bedledger record heron insert B3 --date 2026-03-14',
    'bedledger record heron board --thickness 18.04 --thickness 18.00 --thickness 18.06',
    'bedledger record plover skim --commanded 0.4 --thickness 12.1',
    'bedledger record heron datum --mark 0.12,-0.05 --second 1200.1,0.4',
    'bedledger record heron vacuum --zone A --covered "80 kPa"',
  ],
  positional: [2, Number.POSITIVE_INFINITY],
  needsFleet: true,
  run: async ({ args, output, root }) => {
    const [name, kind, ...sites] = args.positional as [string, string, ...string[]];
    if (!isFact(kind)) {
      const near = suggest(kind, FACTS);
      throw new UsageError(
        `\`${kind}\` is no fact a ledger knows`,
        near.length > 0 ? `did you mean \`${near[0]}\`?` : `facts: ${FACTS.join(', ')}`,
      );
    }
    const { record: machine } = loadMachine(root, name);
    const id = machine.machine.id;
    const facts = factsOf(kind, args, sites, machine, ledgerUnits(root, id));
    for (const fact of facts) checkReferences(root, machine, fact);
    const written: FactWritten[] = [];
    for (const fact of facts) {
      const found = recordFact(root, id, fact, machine.machine, machine.house.survey.limit, {
        onWait: (message) => output.say(message),
      });
      output.diagnostics(found);
      if (found.some((d) => d.severity === 'stop')) {
        output.marked(
          'stop',
          `${id}: ${describe(fact)} was not recorded${written.length === 0 ? '; the ledger is as it was' : `; the ${written.length} before it were`}`,
        );
        output.object({ command: 'record', machine: id, written, findings: found });
        return EXIT.wrong;
      }
      written.push(fact);
      output.marked('new', `${id}: ${describe(fact)}`);
    }
    output.line(`\nThe ledger decides what may be issued: run \`bedledger regenerate ${id}\` next.`);
    output.object({ command: 'record', machine: id, written, findings: [] });
    return EXIT.fine;
  },
};

function isFact(text: string): text is FactName {
  return (FACTS as readonly string[]).includes(text);
}

function ledgerUnits(root: string, id: string): Units {
  return /^units:\s*["']?in\b/m.test(readFileSync(join(root, 'machines', id, 'ledger.yaml'), 'utf8'))
    ? 'in'
    : 'mm';
}

/** The calendar date where the command is run: the one clock in the program, and only a default. */
function today(): string {
  const now = new Date();
  const two = (n: number): string => String(n).padStart(2, '0');
  return `${now.getFullYear()}-${two(now.getMonth() + 1)}-${two(now.getDate())}`;
}

function quantity(text: string): Quantity {
  return /^[-+]?(\d+\.?\d*|\.\d+)$/.test(text.trim()) ? Number(text) : text;
}

function need<T>(value: T | undefined, option: string, kind: string): T {
  if (value === undefined)
    throw new UsageError(`${kind} needs --${option}`, `see \`bedledger record --help\``);
  return value;
}

function factsOf(
  kind: FactName,
  args: ParsedArguments,
  sites: readonly string[],
  record: MachineRecord,
  units: Units,
): FactWritten[] {
  const date = textOption(args, 'date') ?? today();
  const text = (option: string): string | undefined => textOption(args, option);
  const number = (option: string): number | undefined => args.options.get(option) as number | undefined;
  const optional = (key: string, option: string): Record<string, Quantity> => {
    const value = text(option);
    return value === undefined ? {} : { [key]: quantity(value) };
  };
  // The parts that depend on the kind are checked by the ledger's own schema when they are written.
  const fact = (rest: object): FactWritten[] => [{ fact: kind, date, ...rest } as FactWritten];
  const thickness = (): Quantity[] => {
    const list = listOption(args, 'thickness').map(quantity);
    if (list.length === 0)
      throw new UsageError(
        `${kind} needs --thickness`,
        'measure it in several places and give --thickness once for each',
      );
    return list;
  };
  if (
    kind !== 'mark' &&
    kind !== 'bore' &&
    kind !== 'insert' &&
    kind !== 'fill' &&
    (sites.length > 0 || flag(args, 'all'))
  ) {
    throw new UsageError(`${kind} is a fact of the whole machine, not of a site`, 'leave the sites out');
  }
  switch (kind) {
    case 'mark':
    case 'bore':
    case 'insert':
    case 'fill':
      return siteFacts(kind, args, sites, record, units, date);
    case 'board':
      return fact({
        stock: text('stock') ?? record.machine.board.stock,
        thickness: thickness(),
        skimmed: text('skimmed') ?? 'none',
        pocketed: flag(args, 'pocketed'),
        ...optional('screw_length', 'screw-length'),
        ...optional('pocket_floor', 'pocket-floor'),
      });
    case 'pocket':
      return fact({
        ...optional('screw_length', 'screw-length'),
        ...optional('pocket_floor', 'pocket-floor'),
      });
    case 'skim': {
      const heights = text('heights');
      return fact({
        commanded: quantity(need(text('commanded'), 'commanded', kind)),
        thickness: thickness(),
        ...(heights === undefined ? {} : { heights }),
      });
    }
    case 'heights':
    case 'survey':
      return fact({
        file: need(text('file') ?? (kind === 'survey' ? 'survey.csv' : undefined), 'file', kind),
      });
    case 'vacuum': {
      const zone = text('zone');
      return fact({
        ...(zone === undefined ? {} : { zone }),
        covered: quantity(need(text('covered'), 'covered', kind)),
        ...optional('uncovered', 'uncovered'),
      });
    }
    case 'datum':
      return fact({
        mark: parsePoint(need(text('mark'), 'mark', kind), 'mark'),
        second: parsePoint(need(text('second'), 'second', kind), 'second'),
      });
    case 'moisture':
      return fact({ percent: need(number('percent'), 'percent', kind) });
    case 'time': {
      const operation = need(text('operation'), 'operation', kind);
      return fact({
        operation,
        minutes: need(number('minutes'), 'minutes', kind),
        predicted: number('predicted') ?? predictedMinutes(record, operation),
      });
    }
    case 'note':
      return fact({ text: need(text('text'), 'text', kind) });
  }
}

function predictedMinutes(record: MachineRecord, operation: string): number {
  let sum = 0;
  for (const program of planMachine(record).programs)
    if (program.operation === operation) sum += program.header.minutes;
  if (sum === 0)
    throw new UsageError(
      `no program \`${operation}\` is planned, so its prediction is not known`,
      'give --predicted as it stood on the program',
    );
  return Math.round(sum * 100) / 100;
}

/** State a site must be in for the fact to be due, for `--all`. */
const DUE = { mark: 'none', bore: 'marked', insert: 'bored' } as const;

function siteFacts(
  kind: 'mark' | 'bore' | 'insert' | 'fill',
  args: ParsedArguments,
  named: readonly string[],
  record: MachineRecord,
  units: Units,
  date: string,
): FactWritten[] {
  const all = flag(args, 'all');
  if (all && kind === 'fill') throw new UsageError('fill names its sites', 'write them out');
  if (all && named.length > 0)
    throw new UsageError('name sites or write --all, not both', 'drop one of them');
  const known = planLayout(record).sites;
  const chosen: { id: string; site: Site | undefined }[] = all
    ? known.filter((s) => s.state === DUE[kind as keyof typeof DUE]).map((site) => ({ id: site.id, site }))
    : named.map((id) => ({ id, site: known.find((s) => s.id === id) }));
  if (chosen.length === 0)
    throw new UsageError(
      all ? `no site is due for \`${kind}\`` : `${kind} needs a site`,
      all
        ? `sites must be \`${DUE[kind as keyof typeof DUE]}\` first`
        : 'name sites as on the drawing, e.g. B3, or write --all',
    );
  const at = textOption(args, 'at');
  if (at !== undefined && chosen.length !== 1)
    throw new UsageError('--at goes with one site', 'record the others on their own');
  return chosen.map(({ id, site }) => {
    if (kind === 'fill') {
      // A filled hole may belong to a site that the layout no longer has: the ledger knows it.
      return {
        fact: 'fill',
        date,
        site: id,
        reason: need(textOption(args, 'reason'), 'reason', kind),
      } as FactWritten;
    }
    if (site === undefined) {
      const near = suggest(
        id,
        known.map((s) => s.id),
      );
      throw new UsageError(
        `${record.machine.id} has no site \`${id}\``,
        near.length > 0
          ? `did you mean \`${near.join('` or `')}\`?`
          : `it has ${known.map((s) => s.id).join(', ')}`,
      );
    }
    const place = at === undefined ? inUnits(site.actual, units) : parsePoint(at, 'at');
    if (kind === 'mark') return { fact: 'mark', date, site: id, at: place } as FactWritten;
    if (kind === 'insert')
      return {
        fact: 'insert',
        date,
        site: id,
        at: place,
        insert: textOption(args, 'insert') ?? record.planned.insert.id,
      } as FactWritten;
    const size = (option: 'diameter' | 'depth'): Quantity => {
      const given = textOption(args, option);
      if (given !== undefined) return quantity(given);
      const solved = stackAt(record, site.actual, site.uncertainty);
      if (!solved.feasible)
        throw new UsageError(`${id} has no stack, so the bore's ${option} is not known`, `give --${option}`);
      return keyValue(solved.stack.handDrill[option], units);
    };
    return {
      fact: 'bore',
      date,
      site: id,
      at: place,
      diameter: size('diameter'),
      depth: size('depth'),
    } as FactWritten;
  });
}

function inUnits(p: readonly [number, number], units: Units): [number, number] {
  return [keyValue(p[0], units), keyValue(p[1], units)];
}

function parsePoint(text: string, option: string): [Quantity, Quantity] {
  const parts = text.split(',').map((s) => s.trim());
  if (parts.length !== 2 || parts.some((p) => p === ''))
    throw new UsageError(`--${option} takes X,Y, not \`${text}\``, `write e.g. --${option} 402.5,611.2`);
  return [quantity(parts[0] as string), quantity(parts[1] as string)];
}

function describe(fact: FactWritten): string {
  const { fact: kind, date, ...rest } = fact;
  const words = Object.entries(rest).map(
    ([key, value]) =>
      `${key} ${Array.isArray(value) ? value.map((v) => (typeof v === 'object' ? JSON.stringify(v) : v)).join(', ') : value}`,
  );
  return `${kind} on ${date}${words.length === 0 ? '' : `: ${words.join('; ')}`}`;
}
