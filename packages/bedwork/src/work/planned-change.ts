import {
  type Bound,
  type Fixing,
  insertFigures,
  type ScrewFigures,
  type Stack,
  screwFigures,
} from '@bedledger/fasteners';
import { insertAt, type MachineRecord, screwAt } from '@bedledger/fleet';
import { type BoardWork, stackPlace } from '../base/board-work.ts';
import {
  type Evaluated,
  inPocket,
  plannedFixing,
  type SiteStack,
  type StackSite,
} from '../base/stack-input.ts';

/** A part of a fixing, or a figure of it, that can be another than the one that stands. */
export type ChangedPart = 'thread' | 'head' | 'washer' | 'material' | 'length' | 'socket';

/**
 * What the profile wants changed about the screws that stand in the board.
 * - `tool`: the same screws, driven with another tool, which enters every pocket.
 * - `swap`: its screws can be driven into the pockets of this board, in place of those that stand there.
 * - `next-board`: the pockets of this board do not take them; the next board can be cut for them.
 * - `never`: they do not fit the inserts in the bed.
 */
export interface PlannedChange {
  readonly kind: 'tool' | 'swap' | 'next-board' | 'never';
  readonly sites: readonly string[];
  /** What stands there now. */
  readonly stands: ScrewFigures;
  readonly wanted: Fixing;
  readonly differs: readonly ChangedPart[];
  /** The stacks after a swap, by site; empty unless it can be done. */
  readonly after: ReadonlyMap<string, Stack>;
  /** Bounds that the pockets would break with what is wanted, each with its sites. */
  readonly breaks: readonly { readonly title: string; readonly sites: readonly string[] }[];
  /** Threads of inserts in the bed that the wanted screw does not have, with their sites. */
  readonly foreign: readonly { readonly thread: string; readonly sites: readonly string[] }[];
}

/** Threads of the inserts in the bed that the profile's screw does not have, with their sites. */
export function foreignThreads(
  record: MachineRecord,
): { readonly thread: string; readonly sites: string[] }[] {
  const wanted = record.planned.screw.thread.designation;
  const found = new Map<string, string[]>();
  for (const { site } of record.state.inserts) {
    const thread = insertAt(record.state, site)?.thread.designation;
    if (thread === undefined || thread === wanted) continue;
    found.set(thread, [...(found.get(thread) ?? []), site]);
  }
  return [...found].map(([thread, sites]) => ({ thread, sites }));
}

/** Sites whose insert is another than the profile asks for: it stays in the bed. */
export function otherInserts(record: MachineRecord): string[] {
  const wanted = canonical(insertFigures(record.planned.insert));
  return record.state.inserts
    .filter(({ figures }) => figures !== undefined && canonical(figures) !== wanted)
    .map(({ site }) => site);
}

/** What the profile wants changed about the screws of the board that is on the bed; null when nothing. */
export function plannedChange(
  record: MachineRecord,
  sites: readonly StackSite[],
  standing: ReadonlyMap<string, SiteStack>,
  work: BoardWork,
): PlannedChange | null {
  const changed = sites.filter(({ id }) => {
    const screw = standing.get(id)?.kind === 'built' ? screwAt(record.state, id) : null;
    return screw !== null && differences(screw, plannedFixing(record, id)).length > 0;
  });
  const [first] = changed;
  if (!first) return null;
  const foreign = foreignThreads(record);
  const differs = new Set<ChangedPart>();
  const after = new Map<string, Stack>();
  const breaks = new Map<string, string[]>();
  for (const site of changed) {
    const wanted = plannedFixing(record, site.id);
    for (const part of differences(screwAt(record.state, site.id)!, wanted)) differs.add(part);
    const tried = inPocket(record, site.id, stackPlace(record, work, site), wanted);
    if (!tried) continue;
    after.set(site.id, tried.stack);
    for (const title of broken(tried, standing.get(site.id)!)) {
      breaks.set(title, [...(breaks.get(title) ?? []), site.id]);
    }
  }
  const common = {
    sites: changed.map(({ id }) => id),
    stands: screwAt(record.state, first.id)!,
    wanted: plannedFixing(record, first.id),
    differs: [...differs],
    foreign,
  };
  const misfits = new Set(foreign.flatMap((f) => f.sites));
  if (changed.some(({ id }) => misfits.has(id))) {
    return { ...common, kind: 'never', after: new Map(), breaks: [] };
  }
  if (breaks.size > 0) {
    const all = [...breaks].map(([title, at]) => ({ title, sites: at }));
    return { ...common, kind: 'next-board', after: new Map(), breaks: all };
  }
  const toolOnly = differs.size === 1 && differs.has('socket');
  return { ...common, kind: toolOnly ? 'tool' : 'swap', after, breaks: [] };
}

/** What a screw in a pocket that is cut would break, by title: nothing that the screw that stands there breaks as much. */
function broken({ fixing, stack, broken: bounds }: Evaluated, standing: SiteStack): string[] {
  const now = new Map<string, Bound>();
  if (standing.kind === 'built') for (const bound of standing.broken) now.set(bound.id, bound);
  const worse = bounds.filter(({ id, margin }) => {
    const before = now.get(id);
    return before === undefined || margin < before.margin - 1e-6;
  });
  const narrow = pocketNeed(fixing) > stack.pocketDiameter;
  return [...worse.map(({ title }) => title), ...(narrow ? ['socket, head or washer in the pocket'] : [])];
}

/** Diameter that socket, head and washer need to enter a pocket at all, mm. */
function pocketNeed({ screw, washer, socket }: Fixing): number {
  const widest = [screw.headDiameter, socket.outside, ...(washer ? [washer.outside] : [])];
  return Math.max(...widest.map(({ value, uncertainty }) => value + uncertainty));
}

/**
 * What differs between the screw that stands and the one that is wanted. A length is chosen for the pocket: it differs only
 * where the wanted screw is not sold in the length that stands.
 */
function differences(stands: ScrewFigures, wanted: Fixing): ChangedPart[] {
  const figures = screwFigures(wanted, stands.length);
  const differ = (a: unknown, b: unknown): boolean => canonical(a) !== canonical(b);
  const sold = wanted.screw.lengths.some((length) => Math.abs(length - stands.length) < SAME_LENGTH);
  const parts: Readonly<Record<ChangedPart, boolean>> = {
    thread: stands.thread !== figures.thread,
    head: differ(stands.head, figures.head),
    washer: differ(stands.washer, figures.washer),
    material: stands.material !== figures.material,
    length: !sold,
    socket: differ(stands.socket, figures.socket),
  };
  return (Object.keys(parts) as ChangedPart[]).filter((part) => parts[part]);
}

/** Recorded lengths of screws are rounded, mm. */
const SAME_LENGTH = 0.03;

/** As text with keys in order and lengths to a hundredth of a millimetre, half an inch's thousandth: what is recorded is rounded. */
function canonical(value: unknown): string {
  return JSON.stringify(value, (_, v: unknown) => {
    if (typeof v === 'number') return Math.round(v * 50) / 50;
    if (typeof v !== 'object' || v === null || Array.isArray(v)) return v;
    return Object.fromEntries(Object.entries(v).sort(([a], [b]) => (a < b ? -1 : 1)));
  });
}
