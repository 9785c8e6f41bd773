import { exactLength, fromUnits, inUnits, quantiseUp, screwLength, screwName } from '@bedledger/diagnostics';
import {
  type BoardSite,
  type Bound,
  builtStack,
  type Fixing,
  remediesForAll,
  type StackInput,
  stackOrNull,
} from '@bedledger/fasteners';
import { asBuilt, insertAt, type MachineRecord } from '@bedledger/fleet';
import { boardWork, stackPlace } from '../base/board-work.ts';
import { type SiteStack, stackAt } from '../base/stack-input.ts';
import type { Layout } from '../layout/model.ts';
import { planLayout } from '../layout/plan-layout.ts';

type Standing = ReadonlyMap<string, SiteStack>;

/** Changes of a stack that are tried on the whole machine, at most. */
const MOST_TRIES = 5;

/**
 * The first change that frees the stacks of some sites and leaves the machine a layout with a stack at every site; null where
 * none was found. Tried first on all sites, then on the whole machine with its profile, house rules and stock so changed.
 */
export function changeForAll(
  record: MachineRecord,
  layout: Layout,
  standing: Standing,
  sites: readonly string[],
): string | null {
  const planned = layout.sites.flatMap(({ id }): (BoardSite & { readonly id: string })[] => {
    const stack = standing.get(id);
    if (stack?.kind !== 'planned') return [];
    return [{ id, input: stack.input, insertSet: insertAt(record.state, id) !== null }];
  });
  const failing = planned.filter(({ id }) => sites.includes(id));
  // The site that grows most asks for most.
  const [first] = failing.toSorted((a, b) => b.input.reach - a.input.reach);
  if (!first) return null;
  const others = planned.filter((site) => site !== first);
  for (const remedy of remediesForAll([first, ...others], stackOrNull).slice(0, MOST_TRIES)) {
    if (worksOnMachine(changedRecord(record, first.input, remedy.input), layout)) return remedy.say;
  }
  return null;
}

/** Has the machine, so changed, no stop of its layout that it had not before, and a stack at every site? */
function worksOnMachine(record: MachineRecord, before: Layout): boolean {
  const known = new Set(before.findings.map(({ code }) => code));
  const layout = planLayout(record);
  if (layout.findings.some((f) => f.severity === 'stop' && !known.has(f.code))) return false;
  const work = boardWork(record, layout.sites);
  return layout.sites.every((site) => {
    const stack = stackAt(record, site, stackPlace(record, work, site));
    return stack.kind !== 'planned' || stack.result.feasible;
  });
}

/** The machine with what was changed of a stack's input changed where it comes from. */
function changedRecord(record: MachineRecord, from: StackInput, to: StackInput): MachineRecord {
  const { machine, house, stock, state } = record;
  const insert = to.fixing.insert === from.fixing.insert ? record.planned.insert : to.fixing.insert;
  const planned: Fixing = to.fixing === from.fixing ? record.planned : { ...to.fixing, insert };
  const thicker = to.thickness !== from.thickness;
  const { thickness } = to;
  return {
    ...record,
    planned,
    house: { ...house, stack: to.rules },
    stock: thicker ? { ...stock, thickness } : stock,
    state:
      thicker && state.board
        ? { ...state, board: { ...state.board, thickness, thinnest: thickness } }
        : state,
    machine: {
      ...machine,
      board: { ...machine.board, leastThickness: to.leastThickness },
      bed: { ...machine.bed, floor: to.bed.floor },
    },
  };
}

/** Bounds that another length of the screw can mend. */
const BY_LENGTH: ReadonlySet<string> = new Set(['screw-end', 'engagement-pull', 'engagement-full']);
/** Bounds that a board outgrows by being surfaced. */
export const WEARS: ReadonlySet<string> = new Set(['cover', 'least-board']);

/**
 * What can be done where something that stands does not keep a bound, tried at every site that it is said of; null where
 * nothing that was tried helps.
 */
export function mendBuilt(
  record: MachineRecord,
  sites: readonly string[],
  standing: Standing,
  bound: Bound,
): string | null {
  if (BY_LENGTH.has(bound.id)) return otherLength(record, sites, standing);
  if (bound.id === 'hole-float') return widerHoles(record, sites, standing, bound);
  return null;
}

function otherLength(record: MachineRecord, sites: readonly string[], standing: Standing): string | null {
  const first = standing.get(sites[0] ?? '');
  if (first?.kind !== 'built') return null;
  const { screw } = first.fixing;
  const { planned, machine } = record;
  // Lengths are known of the fixing that the profile names; of others only what was driven is on record.
  const fixing = screwFixing(record, sites);
  if (fixing !== planned.id) return null;
  const works = planned.screw.lengths.findLast((screwLength) =>
    sites.every((site) => holds(record, site, standing, { screwLength })),
  );
  if (works === undefined) return null;
  const { designation } = screw.thread;
  return `drive ${screwName(designation, works)} in their place, then \`bedledger record ${machine.id} screws ${sites.join(' ')} --swapped --fixing ${fixing} --length "${screwLength(designation, works)}"\``;
}

/** The fixing whose screws stand at all of these sites; null where they differ. */
function screwFixing(record: MachineRecord, sites: readonly string[]): string | null {
  const names = new Set(
    sites.map((site) => {
      const stands = asBuilt(record.state, site, record.planned.insert);
      return 'screw' in stands ? stands.screw.fixing : null;
    }),
  );
  const [name = null] = names;
  return names.size === 1 ? name : null;
}

function widerHoles(
  record: MachineRecord,
  sites: readonly string[],
  standing: Standing,
  bound: Bound,
): string | null {
  const { machine } = record;
  const diameters = sites.map((site) => {
    const stands = asBuilt(record.state, site, record.planned.insert);
    return 'built' in stands ? (stands.built.holeDiameter ?? Number.NaN) : Number.NaN;
  });
  const { units } = machine;
  const need = Math.max(...diameters) + 2 * Math.max(0, -bound.margin);
  if (!Number.isFinite(need)) return null;
  const holeDiameter = fromUnits(quantiseUp(inUnits(need, units), units === 'mm' ? 10 : 100), units);
  if (!sites.every((site) => holds(record, site, standing, { holeDiameter }))) return null;
  const size = exactLength(holeDiameter, units);
  return `open the holes by hand to ${size}, then \`bedledger record ${machine.id} pocket ${sites.join(' ')} --hole-diameter "${size}"\``;
}

/** Does everything but wear hold at a site when one figure of what stands there is another? */
function holds(
  record: MachineRecord,
  site: string,
  standing: Standing,
  change: { readonly screwLength?: number; readonly holeDiameter?: number },
): boolean {
  const stack = standing.get(site);
  const stands = asBuilt(record.state, site, record.planned.insert);
  if (stack?.kind !== 'built' || !('built' in stands)) return false;
  return builtStack(stack.input, { ...stands.built, ...change }).broken.every(({ id }) => WEARS.has(id));
}
