import type { HandDrills } from '@bedledger/fasteners';
import { holeAt, type MachineRecord, pocketAt } from '@bedledger/fleet';
import type { Point } from '@bedledger/geometry';

/** Two sites whose distances from the middle differ by less, mm, are equally near: papers round places, and either may hold. */
const AS_NEAR = 0.2;
/** Two holes whose diameters differ by less, mm, hold the board equally. */
const AS_NARROW = 0.05;

export interface PlacedSite {
  readonly site: string;
  readonly at: Point;
}

/** What the sites of a board have in common, on the checker's own reading; `sizes` are the drills that its holes may have. */
export interface BoardReading {
  /** The site that holds the board; null where none does more than another. */
  readonly held: PlacedSite | null;
  readonly sites: readonly PlacedSite[];
  readonly sizes: readonly number[];
}

/**
 * Which site holds the board. A board with its holes: the one on record, or else the narrowest hole, or else none. A board
 * without: the one that the profile asks for, or else the nearest to the middle.
 *
 * @param claimed - where several are as near, the one that the papers name
 */
export function readBoard(
  record: MachineRecord,
  sites: readonly PlacedSite[],
  claimed: string | null = null,
  sizes: readonly number[] = [],
): BoardReading {
  const held = record.state.board?.pocketed
    ? heldAsBuilt(record, sites)
    : heldAsAsked(record, sites, claimed);
  return { held, sites, sizes };
}

function heldAsBuilt({ state }: MachineRecord, sites: readonly PlacedSite[]): PlacedSite | null {
  const named = state.board?.held;
  if (named) {
    const here = sites.find(({ site }) => site === named);
    const known = state.sites.get(named);
    return here ?? (known ? { site: named, at: known.at } : null);
  }
  let narrowest: PlacedSite | null = null;
  let least = Number.POSITIVE_INFINITY;
  let next = Number.POSITIVE_INFINITY;
  for (const site of sites) {
    const pocket = pocketAt(state, site.site);
    const hole = pocket ? holeAt(pocket, site.site) : null;
    if (hole === null) return null;
    if (hole < least) {
      next = least;
      least = hole;
      narrowest = site;
    } else if (hole < next) next = hole;
  }
  return next - least >= AS_NARROW ? narrowest : null;
}

function heldAsAsked(
  { machine }: MachineRecord,
  sites: readonly PlacedSite[],
  claimed: string | null,
): PlacedSite | null {
  const asked = sites.find(({ site }) => site === machine.fixing.held);
  if (asked) return asked;
  const [left, front] = machine.board.at;
  const [width, depth] = machine.board.size;
  const away = ({ at }: PlacedSite): number => apart(at, [left + width / 2, front + depth / 2]);
  let nearest: PlacedSite | null = null;
  for (const site of sites) if (nearest === null || away(site) < away(nearest)) nearest = site;
  const named = sites.find(({ site }) => site === claimed);
  return nearest && named && away(named) <= away(nearest) + AS_NEAR ? named : nearest;
}

/** How far the board grows along to a site: from the one that holds it, or from the farthest of all where none does. */
export function growsOver({ held, sites }: BoardReading, at: Point): number {
  if (held) return apart(held.at, at);
  return sites.reduce((most, site) => Math.max(most, apart(site.at, at)), 0);
}

/** With what a hand makes the hole at a place, or opens it; undefined where the machine makes it. */
export function drillsFor(
  { machine, cutters, state }: MachineRecord,
  [x, y]: Point,
  sizes: readonly number[],
): HandDrills | undefined {
  if (state.board?.pocketed) return undefined;
  const { travel } = machine;
  const outside = x < travel.x[0] || x > travel.x[1] || y < travel.y[0] || y > travel.y[1];
  const byHand = outside || cutters.get(machine.cutters.drill) === undefined;
  if (!byHand && state.inserts.length === 0) return undefined;
  return { sizes, everyHole: byHand };
}

function apart(a: Point, b: Point): number {
  const [dx, dy] = [a[0] - b[0], a[1] - b[1]];
  return Math.sqrt(dx * dx + dy * dy);
}
