import { planMachine, type WorkPlan } from '@bedledger/bedwork';
import { keyValue, type Units } from '@bedledger/diagnostics';
import type { FactWritten, MachineRecord } from '@bedledger/fleet';
import { listOption, numberOption, type ParsedArguments, textOption, UsageError } from '../arguments.ts';

/** Facts of the whole machine, and facts of sites. */
export const SITE_FACTS = ['mark', 'bore', 'insert', 'fill'] as const;
export const MACHINE_FACTS = [
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
export type SiteFact = (typeof SITE_FACTS)[number];
export type MachineFact = (typeof MACHINE_FACTS)[number];
export type FactName = SiteFact | MachineFact;
export const FACTS: readonly FactName[] = [...SITE_FACTS, ...MACHINE_FACTS];

/** Quantities as typed: a bare number is in the ledger's unit, text carries its own (`0.7 in`, `24 inHg`). */
export type Quantity = number | string;

/** One call of `record`: what it says, and about which machine. */
export class RecordCall {
  readonly kind: FactName;
  readonly date: string;
  readonly sites: readonly string[];
  readonly args: ParsedArguments;
  readonly record: MachineRecord;
  /** The ledger's unit: what a bare number means. */
  readonly units: Units;
  #plan: WorkPlan | null = null;

  constructor(
    kind: FactName,
    sites: readonly string[],
    args: ParsedArguments,
    machine: { readonly record: MachineRecord; readonly units: Units },
  ) {
    this.kind = kind;
    this.sites = sites;
    this.args = args;
    this.record = machine.record;
    this.units = machine.units;
    this.date = textOption(args, 'date') ?? today();
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

/** The calendar date where the command is run: the one clock in the program, and only a default. */
function today(): string {
  const now = new Date();
  const two = (n: number): string => String(n).padStart(2, '0');
  return `${now.getFullYear()}-${two(now.getMonth() + 1)}-${two(now.getDate())}`;
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
