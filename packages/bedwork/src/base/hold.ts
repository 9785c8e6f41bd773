import { holeAt, type Machine, type MachineRecord, pocketAt } from '@bedledger/fleet';
import { distance, type Point } from '@bedledger/geometry';
import { byName } from './words.ts';

/** A site of the board and its axis, surveyed frame. */
export interface SitePlace {
  readonly id: string;
  readonly actual: Point;
}

/** Where a board is held: its growth counts from there. */
export interface Hold {
  /** Null: no site holds it more than another. */
  readonly site: string | null;
  /** How far from a place the board may be held, mm. */
  readonly reachFrom: (at: Point) => number;
}

/** Sites as near the middle as this, mm, count as equally near: the first by name holds the board. */
const EQUALLY_NEAR = 0.1;
/** A hole that is narrower than all others by this, mm, holds a board that nobody recorded a holding site for. */
const NARROWER = 0.05;

/** Middle of the board, as the profile lays it. */
export function boardMiddle({ board }: Pick<Machine, 'board'>): Point {
  return [board.at[0] + board.size[0] / 2, board.at[1] + board.size[1] / 2];
}

/**
 * Where the board is held. One that is cut already: at the site that its facts name; without a word of it, at its one
 * narrowest hole, else nowhere in particular, so that each site may be as far from the hold as the farthest other. One that
 * is to be cut: at the site that the profile names, else at the one nearest the middle, because the longest way that it grows
 * is the shortest from there [TRADE.md section 2].
 */
export function holdOf(record: MachineRecord, sites: readonly SitePlace[]): Hold {
  const held = record.state.board?.pocketed ? builtHold(record, sites) : plannedHold(record.machine, sites);
  if (held) return { site: held.id, reachFrom: (at) => distance(held.actual, at) };
  return {
    site: null,
    reachFrom: (at) => Math.max(0, ...sites.map(({ actual }) => distance(actual, at))),
  };
}

function builtHold({ state }: MachineRecord, sites: readonly SitePlace[]): SitePlace | null {
  const recorded = state.board?.held ?? null;
  if (recorded !== null) {
    const at = state.sites.get(recorded)?.at;
    return sites.find(({ id }) => id === recorded) ?? (at ? { id: recorded, actual: at } : null);
  }
  const holes = sites.map((site) => {
    const pocket = pocketAt(state, site.id);
    return { site, hole: (pocket && holeAt(pocket, site.id)) ?? Number.NaN };
  });
  // Of a hole that nobody measured nothing is known: it may be the narrowest.
  if (holes.some(({ hole }) => Number.isNaN(hole))) return null;
  const [first, second] = holes.toSorted((a, b) => a.hole - b.hole);
  if (!first) return null;
  return second === undefined || second.hole - first.hole >= NARROWER ? first.site : null;
}

function plannedHold(machine: Machine, sites: readonly SitePlace[]): SitePlace | null {
  const named = sites.find(({ id }) => id === machine.fixing.held);
  if (named) return named;
  const middle = boardMiddle(machine);
  const least = Math.min(...sites.map(({ actual }) => distance(actual, middle)));
  const near = sites.filter(({ actual }) => distance(actual, middle) <= least + EQUALLY_NEAR);
  return near.toSorted((a, b) => byName(a.id, b.id))[0] ?? null;
}
