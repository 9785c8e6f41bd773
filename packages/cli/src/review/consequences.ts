import {
  type Diagnostic,
  fineLength,
  fineNumber,
  foldFindings,
  inUnits,
  type Told,
  trimmed,
  type Units,
} from '@bedledger/diagnostics';
import type { MachineChange, SiteChange, ValueChange } from './compare-machine.ts';

/** What a change does to a machine, by kind, in the order in which it is told. */
export const PARTS = {
  stop: 'Stopped: nothing of it may be issued',
  'by hand': 'To do by hand and to buy',
  withheld: 'No longer issued, or issued again',
  site: 'Sites',
  value: 'Values',
  program: 'Programs',
  found: 'Found after the change',
  gone: 'No longer found',
} as const;
export type Part = keyof typeof PARTS;

export interface Consequence {
  readonly part: Part;
  readonly line: string;
}

/** Consequences that the same machines have, in the same words. */
export interface InCommon {
  readonly machines: readonly string[];
  readonly consequences: readonly Consequence[];
}

export interface FleetChange {
  /** `5 machines: 1 stopped, 2 changed, 2 the same`. */
  readonly summary: string;
  /** Said once for several machines; those of most machines first. */
  readonly common: readonly InCommon[];
  /** What is left of each machine; those that are stopped first. */
  readonly machines: readonly { readonly change: MachineChange; readonly own: readonly Consequence[] }[];
}

/** The change of a whole fleet, with what several machines have in common said once. Pure. */
export function fleetChange(changes: readonly MachineChange[]): FleetChange {
  const all = changes.map((change) => ({ change, consequences: consequencesOf(change) }));
  const holders = new Map<string, { of: Consequence; machines: string[] }>();
  for (const { change, consequences } of all) {
    for (const one of consequences) {
      const key = keyOf(one, change);
      const known = holders.get(key);
      if (!known) holders.set(key, { of: one, machines: [change.id] });
      else if (!known.machines.includes(change.id)) known.machines.push(change.id);
    }
  }
  const groups = new Map<string, { machines: string[]; consequences: Consequence[] }>();
  for (const { of, machines } of holders.values()) {
    if (machines.length < 2) continue;
    const [first = ''] = machines;
    const said = {
      ...of,
      line: of.line.replaceAll(`bedledger record ${first} `, 'bedledger record <machine> '),
    };
    const key = machines.join(' ');
    const group = groups.get(key);
    if (group) group.consequences.push(said);
    else groups.set(key, { machines, consequences: [said] });
  }
  const alone = (one: Consequence, change: MachineChange): boolean =>
    (holders.get(keyOf(one, change))?.machines.length ?? 0) < 2;
  return {
    summary: summaryOf(changes),
    common: [...groups.values()].sort((a, b) => b.machines.length - a.machines.length),
    machines: all
      .map(({ change, consequences }) => ({ change, own: consequences.filter((c) => alone(c, change)) }))
      .sort((a, b) => ORDER.indexOf(kindOf(a.change)) - ORDER.indexOf(kindOf(b.change))),
  };
}

/** The same words are the same consequence, whatever machine a command in them names. */
function keyOf({ part, line }: Consequence, { id }: MachineChange): string {
  return `${part} ${line.replaceAll(`bedledger record ${id} `, 'bedledger record <machine> ')}`;
}

export type ChangeKind = MachineChange['change'] | 'stopped';
const ORDER: readonly ChangeKind[] = ['stopped', 'changed', 'new', 'gone', 'same'];
const WORDS: Readonly<Record<ChangeKind, string>> = {
  stopped: 'stopped',
  changed: 'changed',
  new: 'new',
  gone: 'gone',
  same: 'the same',
};

export function kindOf({ change, stops }: MachineChange): ChangeKind {
  return stops.length > 0 ? 'stopped' : change;
}

function summaryOf(changes: readonly MachineChange[]): string {
  const counts = ORDER.map((kind) => [kind, changes.filter((c) => kindOf(c) === kind).length] as const)
    .filter(([, n]) => n > 0)
    .map(([kind, n]) => `${n} ${WORDS[kind]}`);
  return `${changes.length} ${changes.length === 1 ? 'machine' : 'machines'}: ${counts.join(', ')}`;
}

function consequencesOf(c: MachineChange): Consequence[] {
  const as = (part: Part, lines: readonly string[]): Consequence[] => lines.map((line) => ({ part, line }));
  return [
    ...as('stop', c.stops.map(stopLine)),
    ...as('by hand', c.byHand),
    ...as('withheld', c.withheld),
    ...as('site', siteLines(c)),
    ...as(
      'value',
      c.values.map((v) => valueLine(v, c.units)),
    ),
    ...as('program', c.change === 'changed' ? c.programs.map((p) => `${p.file}: ${p.impact}`) : []),
    // What stops is told already, and what hangs on it with it.
    ...as('found', c.stops.length > 0 ? [] : foldFindings(c.findings.appear).map(toldLine)),
    ...as(
      'gone',
      foldFindings(c.findings.vanish).map(
        (t) => `${t.finding.severity} ${t.finding.code}: ${t.finding.message}`,
      ),
    ),
  ];
}

function stopLine({ finding, hanging, likewise }: Told): string {
  const more = hanging.length + likewise.length;
  return `${finding.code}: ${finding.message}${more > 0 ? ` (${more} more findings with it)` : ''}${doThis(finding)}`;
}

function toldLine({ finding, hanging, likewise }: Told): string {
  const more = hanging.length + likewise.length;
  return `${finding.severity} ${finding.code}: ${finding.message}${more > 0 ? ` (and ${more} more with it)` : ''}${doThis(finding)}`;
}

function doThis({ help }: Diagnostic): string {
  return help === undefined ? '' : `; do: ${help}`;
}

function valueLine({ what, unit, before, after }: ValueChange, units: Units): string {
  const value = (v: number | null): string => {
    if (v === null) return '–';
    return unit === 'mm' ? trimmed(inUnits(v, units), units === 'mm' ? 3 : 4) : trimmed(v, 1);
  };
  const named = unit === 'mm' ? units : unit;
  return `${what}: ${value(before)} → ${value(after)}${named === '' ? '' : ` ${named}`}`;
}

/** A line for each site; sites that move alike, or are new or gone together, are one. */
function siteLines({ sites, units }: MachineChange): string[] {
  const groups = new Map<string, SiteChange[]>();
  for (const s of sites) {
    const way =
      s.from && s.to
        ? `${fineNumber(s.to[0] - s.from[0], units)} ${fineNumber(s.to[1] - s.from[1], units)}`
        : '';
    const key = `${s.change} ${s.state} ${way}`;
    groups.set(key, [...(groups.get(key) ?? []), s]);
  }
  return [...groups.values()].map((group) => siteLine(group, units));
}

function siteLine(group: readonly SiteChange[], units: Units): string {
  const [first] = group as [SiteChange];
  const at = (p: readonly [number, number] | null): string =>
    p === null ? '' : `${fineNumber(p[0], units)}, ${fineNumber(p[1], units)}`;
  if (group.length === 1) {
    if (first.change === 'moved')
      return `${first.site} moves ${fineLength(first.distance, units)}: ${at(first.from)} → ${at(first.to)} (${first.state})`;
    return first.change === 'new'
      ? `${first.site} is new at ${at(first.to)}`
      : `${first.site} goes, was at ${at(first.from)} (${first.state})`;
  }
  const names = group.map((s) => s.site).join(', ');
  if (first.change === 'new') return `${group.length} sites are new: ${names}`;
  if (first.change === 'gone') return `${group.length} sites go (${first.state}): ${names}`;
  const [from, to] = [first.from ?? [0, 0], first.to ?? [0, 0]];
  return `${group.length} sites move ${fineLength(first.distance, units)} alike, by ${at([to[0] - from[0], to[1] - from[1]])} (${first.state}): ${names}`;
}
