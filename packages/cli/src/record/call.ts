import { planMachine, type Site, type WorkPlan } from '@bedledger/bedwork';
import { didYouMean, keyValue, type Units } from '@bedledger/diagnostics';
import { type FactWritten, type MachineRecord, readLength } from '@bedledger/fleet';
import {
  flag,
  listOption,
  numberOption,
  type ParsedArguments,
  textOption,
  UsageError,
} from '../arguments.ts';
import { today } from './dates.ts';
import { type FixingByName, sharedFixings } from './fixings.ts';
import { type Trial, tryFacts } from './trial.ts';

/** Facts of sites, facts of the board and what stands in it, and facts of the whole machine. */
export const SITE_FACTS = ['mark', 'bore', 'insert', 'fill'] as const;
export const BOARD_FACTS = ['board', 'pocket', 'screws'] as const;
export const MACHINE_FACTS = [
  'skim',
  'heights',
  'vacuum',
  'moisture',
  'survey',
  'datum',
  'time',
  'vouch',
  'note',
] as const;
export const LEDGER_FACTS = ['withdraw'] as const;
export type SiteFact = (typeof SITE_FACTS)[number];
export type BoardFact = (typeof BOARD_FACTS)[number];
export type MachineFact = (typeof MACHINE_FACTS)[number];
export type LedgerFact = (typeof LEDGER_FACTS)[number];
export type FactName = SiteFact | BoardFact | MachineFact | LedgerFact;
export const FACTS: readonly FactName[] = [...SITE_FACTS, ...BOARD_FACTS, ...MACHINE_FACTS, ...LEDGER_FACTS];

/** Quantities as typed: a bare number is in the ledger's unit, text carries its own (`0.7 in`, `24 inHg`). */
export type Quantity = number | string;

/** Lengths that were measured: one for all sites, or one for each site that is named; mm. */
export interface Measured {
  readonly everywhere: number | undefined;
  readonly sites: ReadonlyMap<string, number>;
}

/** One call of `record`: what it says, and about which machine. */
export class RecordCall {
  /** Null: the facts are in a file. */
  readonly kind: FactName | null;
  readonly date: string;
  readonly sites: readonly string[];
  readonly args: ParsedArguments;
  readonly record: MachineRecord;
  /** The ledger's unit: what a bare number means. */
  readonly units: Units;
  readonly fixings: FixingByName;
  /** Every entry of the ledger as it stands in its file; the first is number 1. */
  readonly entries: readonly FactWritten[];
  readonly #root: string;
  #plan: WorkPlan | null = null;

  constructor(
    kind: FactName | null,
    sites: readonly string[],
    args: ParsedArguments,
    machine: {
      readonly root: string;
      readonly record: MachineRecord;
      readonly units: Units;
      readonly entries: readonly FactWritten[];
    },
  ) {
    this.kind = kind;
    this.sites = sites;
    this.args = args;
    this.record = machine.record;
    this.units = machine.units;
    this.date = textOption(args, 'date') ?? today();
    this.entries = machine.entries;
    this.#root = machine.root;
    this.fixings = sharedFixings(machine.root, machine.units);
  }

  /** The machine as it would be with some facts more. */
  tryFacts(facts: readonly FactWritten[]): Trial {
    return tryFacts(this.#root, this.record, facts);
  }

  /** The machine's plan, made when a fact needs it. */
  plan(): WorkPlan {
    this.#plan ??= planMachine(this.record);
    return this.#plan;
  }

  /** A fact with these parts. The parts that depend on the kind are checked by the ledger's own schema when they are written. */
  fact(parts: object): FactWritten {
    return { fact: this.kind, date: this.date, ...parts } as FactWritten;
  }

  text(option: string): string | undefined {
    return textOption(this.args, option);
  }

  neededText(option: string): string {
    return this.#needed(this.text(option), option);
  }

  neededNumber(option: string): number {
    return this.#needed(numberOption(this.args, option), option);
  }

  neededQuantity(option: string): Quantity {
    return quantity(this.neededText(option));
  }

  neededPoint(option: string): [Quantity, Quantity] {
    return point(this.neededText(option), option);
  }

  /** `{ key: value }` when the option is given, else nothing. */
  optional(key: string, option: string): Record<string, Quantity> {
    const value = this.text(option);
    return value === undefined ? {} : { [key]: quantity(value) };
  }

  /** A length as typed, mm; undefined where the option is not given. */
  length(option: string): number | undefined {
    const text = this.text(option);
    return text === undefined ? undefined : typedLength(text, option, this.units);
  }

  /** `--pocket-depth 13` for every site, `--pocket-depth A1=13 --pocket-depth C4=12.9` for those that were measured. */
  measured(option: string): Measured {
    let everywhere: number | undefined;
    const sites = new Map<string, number>();
    for (const typed of listOption(this.args, option)) {
      const [, site, text] = /^\s*([A-Za-z]+\d+)\s*=(.*)$/.exec(typed) ?? [undefined, undefined, typed];
      const mm = typedLength(text as string, option, this.units);
      if (site !== undefined) sites.set(this.site(site).id, mm);
      else if (everywhere === undefined) everywhere = mm;
      else
        throw new UsageError(
          `--${option} is given twice without a site`,
          `write --${option} A1=… once for each site that was measured`,
        );
    }
    return { everywhere, sites };
  }

  /** @throws UsageError when the call names sites for a fact of the whole machine */
  noSites(): void {
    if (this.sites.length === 0 && !flag(this.args, 'all')) return;
    throw new UsageError(`${this.kind} is a fact of the whole machine, not of a site`, 'leave the sites out');
  }

  /** @throws UsageError for a site that the layout does not have */
  site(id: string): Site {
    const known = this.plan().layout.sites;
    const site = known.find((s) => s.id === id);
    if (site) return site;
    throw unknownSite(
      this.record,
      id,
      known.map((s) => s.id),
    );
  }

  /** Measured thicknesses, one for each place. */
  thickness(): Quantity[] {
    const list = listOption(this.args, 'thickness').map(quantity);
    if (list.length > 0) return list;
    throw new UsageError(
      `${this.kind} needs --thickness`,
      'measure it in several places and give --thickness once for each',
    );
  }

  /** A place to write into the ledger, at the fineness of the programs. */
  written(at: readonly [number, number]): [number, number] {
    return [keyValue(at[0], this.units), keyValue(at[1], this.units)];
  }

  #needed<T>(value: T | undefined, option: string): T {
    if (value === undefined)
      throw new UsageError(`${this.kind} needs --${option}`, 'see `bedledger record --help`');
    return value;
  }
}

function typedLength(text: string, option: string, units: Units): number {
  const read = readLength(text, units, 'positive');
  if ('problem' in read) throw new UsageError(`--${option}: ${read.problem}`, `write --${option} LENGTH`);
  return read.mm;
}

export function unknownSite({ machine }: MachineRecord, id: string, known: readonly string[]): UsageError {
  return new UsageError(
    `${machine.id} has no site \`${id}\``,
    didYouMean(id, known) ?? `it has ${known.join(', ')}`,
  );
}

export function quantity(text: string): Quantity {
  return /^[-+]?(\d+\.?\d*|\.\d+)$/.test(text.trim()) ? Number(text) : text;
}

export function point(text: string, option: string): [Quantity, Quantity] {
  const parts = text.split(',').map((s) => s.trim());
  if (parts.length !== 2 || parts.some((p) => p === ''))
    throw new UsageError(`--${option} takes X,Y, not \`${text}\``, `write e.g. --${option} 402.5,611.2`);
  return [quantity(parts[0] as string), quantity(parts[1] as string)];
}
