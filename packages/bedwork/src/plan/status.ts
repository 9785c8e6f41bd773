import {
  foldFindings,
  lengthText,
  MM_PER_INCH,
  pressureText,
  slopeText,
  type Units,
} from '@bedledger/diagnostics';
import { currentHeights, type IsoDate, type MachineRecord, type SiteState } from '@bedledger/fleet';
import { fitPlane, hypotenuse } from '@bedledger/geometry';
import { siteState } from '../base/ledger-facts.ts';
import { countOf, listOf } from '../base/words.ts';
import type { Withheld } from '../operations/outcome.ts';
import { DAYS_PER_MONTH, dayNumber } from '../time/days.ts';
import type { WorkPlan } from './plan.ts';

export interface VacuumTrend {
  /** Null: the whole bed. */
  readonly zone: string | null;
  /** First and last reading taken on the present board, Pa. */
  readonly baseline: { readonly date: IsoDate; readonly covered: number };
  readonly current: { readonly date: IsoDate; readonly covered: number };
  /** Share lost since the baseline, 0.1 = 10 %; negative when it rose. */
  readonly loss: number;
}

/** One machine as the ledger has it: for people who look at the whole shop. Lengths mm, pressures Pa. */
export interface MachineStatus {
  readonly id: string;
  readonly title: string;
  readonly units: 'mm' | 'in';
  /** Date the figures hold for: the one asked for, else that of the last fact; null with an empty ledger. */
  readonly asOf: IsoDate | null;
  readonly board: {
    readonly ordinal: number;
    readonly stock: string;
    readonly fitted: IsoDate;
    readonly thickness: number;
    readonly thinnest: number;
    readonly skims: number;
    readonly pocketed: boolean;
  } | null;
  /** Thickness lost a month since the board was fitted, mm; null while nothing says so. */
  readonly wear: { readonly perMonth: number; readonly days: number; readonly lost: number } | null;
  readonly life: {
    readonly skims: number;
    /** At the recorded rate; null while there is none. */
    readonly weeks: number | null;
    readonly replaceAt: number;
    readonly governs: string;
  } | null;
  readonly vacuum: readonly VacuumTrend[];
  readonly moisture: { readonly date: IsoDate; readonly percent: number } | null;
  readonly sites: Readonly<Record<SiteState, number>>;
  /** What should be done soon, one sentence each, the most urgent first. */
  readonly due: readonly string[];
  /** Programs that may be run today. */
  readonly issued: readonly string[];
  readonly blocked: readonly Withheld[];
  readonly stops: number;
  readonly next: string;
}

/** A gauge that has lost this share since the baseline is worth a look (common practice, no source). */
const VACUUM_LOSS = 0.15;
/** A vacuum reading is due after so many days, a survey again after so many (ours). */
const READING_DAYS = 92;
/** A rate of wear is told from so many days on: less is chance (ours). */
const LEAST_WEAR_DAYS = 28;
/** Growth is told over a length that people know, mm. */
const GROWTH_OVER: Readonly<Record<Units, number>> = { mm: 1000, in: 48 * MM_PER_INCH };
/** A height map whose heights differ by this much asks for a skim, mm (common practice, no source). */
const UNEVEN = 0.2;

/**
 * The state of one machine. No clock is read: figures hold as of the last fact in the ledger, or of `asOf`.
 *
 * @param plan - what {@link planMachine} made of the same record
 * @throws RangeError when `asOf` is not a date
 */
export function machineStatus(plan: WorkPlan, asOf?: IsoDate): MachineStatus {
  const { record, layout } = plan;
  const { machine, state } = record;
  const { board } = state;
  const date = asOf ?? latestDate(record.ledger.facts);
  const today = date === null ? null : dayNumber(date);
  const wear = wearOf(record, today);
  const life = lifeOf(plan, wear);
  const vacuum = vacuumTrends(record);
  const stops = plan.findings.filter((finding) => finding.severity === 'stop');
  const causes = foldFindings(plan.findings).filter(({ finding }) => finding.severity === 'stop');
  const sites: Record<SiteState, number> = { none: 0, marked: 0, bored: 0, set: 0, filled: 0 };
  // Holes that the layout has lost are in the bed all the same.
  for (const id of new Set([...layout.sites.map((site) => site.id), ...state.sites.keys()]))
    sites[siteState(record, id)] += 1;
  return {
    id: machine.id,
    title: machine.title,
    units: machine.units,
    asOf: date,
    board: board && {
      ordinal: board.ordinal,
      stock: board.stock,
      fitted: board.fitted,
      thickness: board.thickness,
      thinnest: board.thinnest,
      skims: board.skims,
      pocketed: board.pocketed,
    },
    wear,
    life,
    vacuum,
    moisture: lastMoisture(record),
    sites,
    due: [
      ...causes.map(
        ({ finding: { message, help }, hanging, likewise }) =>
          `clear what stops everything${hanging.length + likewise.length > 0 ? ` (${countOf(hanging.length + likewise.length, 'finding')} more with it)` : ''}: ${message}${help === undefined ? '' : `; ${help}`}`,
      ),
      ...boardDue(life, machine.units),
      ...vacuum.flatMap((trend) => leakDue(trend, machine.units)),
      ...skimDue(record),
      ...readingDue(record, today),
      ...moistureDue(record),
      ...insertsDue(plan),
    ],
    issued: stops.length > 0 ? [] : plan.programs.map((program) => program.name),
    blocked: plan.withheld.filter((w) => w.asked !== false),
    stops: stops.length,
    next: plan.next,
  };
}

function latestDate(facts: readonly { readonly date: IsoDate }[]): IsoDate | null {
  return facts.reduce<IsoDate | null>((l, f) => (l === null || f.date > l ? f.date : l), null);
}

/** The life of the site that ends first. */
function lifeOf({ record, stacks }: WorkPlan, wear: MachineStatus['wear']): MachineStatus['life'] {
  const { board } = record.state;
  const [first, ...others] = [...stacks.values()].map((stack) => stack.life);
  if (!board || !first) return null;
  const { skims, replaceAt, governs } = others.reduce((l, one) => (one.skims < l.skims ? one : l), first);
  const weeks =
    wear && wear.perMonth > 0
      ? Math.max(0, ((board.thinnest - replaceAt) / wear.perMonth) * (DAYS_PER_MONTH / 7))
      : null;
  return { skims, weeks, replaceAt, governs };
}

function boardDue(life: MachineStatus['life'], units: Units): string[] {
  if (life === null || life.skims > 1) return [];
  return life.skims === 1
    ? ['order a board: one skim is left']
    : [`fit a new board: no skim is left above ${lengthText(life.replaceAt, units)} (${life.governs})`];
}

function leakDue({ zone, baseline, current, loss }: VacuumTrend, units: Units): string[] {
  if (loss <= VACUUM_LOSS) return [];
  const where = zone === null ? '' : ` in zone ${zone}`;
  return [
    `look for the leak${where}: the gauge fell from ${pressureText(baseline.covered, units)} to ${pressureText(current.covered, units)}`,
  ];
}

function skimDue(record: MachineRecord): string[] {
  const { units } = record.machine;
  const map = currentHeights(record.heights, record.state);
  if (!map || map.points.length === 0) return [];
  const low = map.points.reduce((least, p) => Math.min(least, p[2]), Number.POSITIVE_INFINITY);
  const high = map.points.reduce((most, p) => Math.max(most, p[2]), Number.NEGATIVE_INFINITY);
  if (high - low <= UNEVEN) return [];
  return [
    `skim the board: its heights differ by ${lengthText(high - low, units)}${leaning(map.points, units)}`,
  ];
}

function readingDue(record: MachineRecord, today: number | null): string[] {
  if (!record.state.board?.pocketed || today === null) return [];
  const last = latestDate(record.ledger.facts.filter((fact) => fact.fact === 'vacuum'));
  if (last === null) return ['take the first vacuum reading, covered and uncovered: it is the baseline'];
  const days = today - dayNumber(last);
  return days > READING_DAYS ? [`take a vacuum reading: the last one is ${days} days old`] : [];
}

/** The board has moved with the air more than its holes were made for. */
function moistureDue(record: MachineRecord): string[] {
  const { facts } = record.ledger;
  const fixed = facts.findLastIndex((f) => f.fact === 'pocket' || (f.fact === 'board' && f.pocketed));
  const now = facts.findLast((f) => f.fact === 'moisture');
  const then = facts.slice(0, fixed + 1).findLast((f) => f.fact === 'moisture');
  if (!record.state.board?.pocketed || now?.fact !== 'moisture' || then?.fact !== 'moisture') return [];
  const { moistureSwing, growthPerPercent } = record.house.stack;
  const swing = now.percent - then.percent;
  if (Math.abs(swing) <= moistureSwing) return [];
  const { units } = record.machine;
  const moved = `${lengthText(Math.abs(swing) * growthPerPercent * GROWTH_OVER[units], units)} in ${units === 'mm' ? 'a metre' : 'four feet'}`;
  return [
    `let the board come back to the air of the shop before anything is cut in it: it is at ${now.percent} % moisture, its holes were made at ${then.percent} % for ${moistureSwing} points either way, and it has ${swing > 0 ? 'grown' : 'shrunk'} by ${moved}`,
  ];
}

function insertsDue({ record, layout }: WorkPlan): string[] {
  const bored = layout.sites.map((site) => site.id).filter((id) => siteState(record, id) === 'bored');
  return bored.length > 0 && record.state.board?.pocketed ? [`glue the inserts of ${listOf(bored)}`] : [];
}

function wearOf(record: MachineRecord, today: number | null): MachineStatus['wear'] {
  const board = record.state.board;
  if (!board || today === null) return null;
  const lost = board.thicknessWhenFitted - board.thickness;
  const days = today - dayNumber(board.fitted);
  if (days < LEAST_WEAR_DAYS || !(lost > 0)) return null;
  return { perMonth: (lost / days) * DAYS_PER_MONTH, days, lost };
}

/** Baseline and present reading of each zone (and of the whole bed), on the board that lies there now. */
function vacuumTrends(record: MachineRecord): VacuumTrend[] {
  const first = new Map<string, { date: IsoDate; covered: number }>();
  const last = new Map<string, { date: IsoDate; covered: number }>();
  for (const fact of record.ledger.facts) {
    if (fact.fact === 'board') {
      first.clear();
      last.clear();
    } else if (fact.fact === 'vacuum') {
      const key = fact.zone ?? '';
      const reading = { date: fact.date, covered: fact.covered };
      if (!first.has(key)) first.set(key, reading);
      last.set(key, reading);
    }
  }
  return [...first].map(([key, baseline]) => {
    const current = last.get(key)!;
    return {
      zone: key === '' ? null : key,
      baseline,
      current,
      loss: baseline.covered > 0 ? 1 - current.covered / baseline.covered : 0,
    };
  });
}

function lastMoisture(record: MachineRecord): MachineStatus['moisture'] {
  for (let i = record.ledger.facts.length - 1; i >= 0; i -= 1) {
    const fact = record.ledger.facts[i]!;
    if (fact.fact === 'moisture') return { date: fact.date, percent: fact.percent };
  }
  return null;
}

/** How the board leans as a whole, when it does: a lean of the bed is not cured by skimming alone. */
function leaning(points: readonly (readonly [number, number, number])[], units: Units): string {
  if (points.length < 4) return '';
  const plane = fitPlane(points);
  const slope = hypotenuse(plane.b, plane.c);
  if (!(slope > 1e-4)) return '';
  return `, most of it a lean of ${slopeText(slope, units)}: look under the board for chips first`;
}
