import {
  type Fixing,
  insertFigures,
  type ScrewFigures,
  type Stack,
  screwFigures,
} from '@bedledger/fasteners';
import { insertAt, type MachineRecord, screwAt } from '@bedledger/fleet';
import { type BoardWork, stackPlace } from '../base/board-work.ts';
import { inPocket, plannedFixing, type SiteStack, type StackSite } from '../base/stack-input.ts';

/**
 * The profile asks for another fixing than the one that stands on the bed.
 * - `swap`: its screws can be driven into the pockets of this board, in place of those that stand there.
 * - `next-board`: the pockets of this board do not take them; the next board can be cut for them.
 * - `never`: they do not fit the inserts in the bed.
 */
export interface PlannedChange {
  readonly kind: 'swap' | 'next-board' | 'never';
  readonly sites: readonly string[];
  /** What stands there now. */
  readonly stands: ScrewFigures;
  readonly wanted: Fixing;
  /** What differs, in words: `head`, `washer`, `thread`, `material`. */
  readonly differs: readonly string[];
  /** The stacks after a swap, by site; empty unless it can be done. */
  readonly after: ReadonlyMap<string, Stack>;
  /** Titles of the bounds that the pockets would break. */
  readonly breaks: readonly string[];
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
  const stands = screwAt(record.state, first.id)!;
  const wanted = plannedFixing(record, first.id);
  const common = {
    sites: changed.map(({ id }) => id),
    stands,
    wanted,
    differs: differences(stands, wanted),
  };
  const foreign = new Set(foreignThreads(record).flatMap((f) => f.sites));
  if (changed.some(({ id }) => foreign.has(id))) {
    return { ...common, kind: 'never', after: new Map(), breaks: [] };
  }
  const after = new Map<string, Stack>();
  const breaks = new Set<string>();
  for (const site of changed) {
    const tried = inPocket(record, site.id, stackPlace(record, work, site), plannedFixing(record, site.id));
    if (!tried) continue;
    after.set(site.id, tried.stack);
    for (const bound of tried.broken) breaks.add(bound.title);
    const width = pocketNeed(tried.fixing);
    if (width > tried.stack.pocketDiameter) breaks.add('socket, head or washer in the pocket');
  }
  return breaks.size === 0
    ? { ...common, kind: 'swap', after, breaks: [] }
    : { ...common, kind: 'next-board', after: new Map(), breaks: [...breaks] };
}

/** Diameter that socket, head and washer need to enter a pocket at all, mm. */
function pocketNeed({ screw, washer, socket }: Fixing): number {
  const widest = [screw.headDiameter, socket.outside, ...(washer ? [washer.outside] : [])];
  return Math.max(...widest.map(({ value, uncertainty }) => value + uncertainty));
}

/** What differs between the screw that stands and the one that is wanted; lengths are chosen, so they do not count. */
function differences(stands: ScrewFigures, wanted: Fixing): string[] {
  const figures = screwFigures(wanted, stands.length);
  const out: string[] = [];
  const differ = (name: string, a: unknown, b: unknown): void => {
    if (canonical(a) !== canonical(b)) out.push(name);
  };
  differ('thread', stands.thread, figures.thread);
  differ('head', stands.head, figures.head);
  differ('washer', stands.washer, figures.washer);
  differ('material', stands.material, figures.material);
  return out;
}

/** As text with keys in order and lengths to a hundredth of a millimetre, half an inch's thousandth: what is recorded is rounded. */
function canonical(value: unknown): string {
  return JSON.stringify(value, (_, v: unknown) => {
    if (typeof v === 'number') return Math.round(v * 50) / 50;
    if (typeof v !== 'object' || v === null || Array.isArray(v)) return v;
    return Object.fromEntries(Object.entries(v).sort(([a], [b]) => (a < b ? -1 : 1)));
  });
}
