import {
  type Built,
  type Fixing,
  fixingFromFigures,
  type Insert,
  insertFromFigures,
  type ScrewFigures,
} from '@bedledger/fasteners';
import type { BedState, PocketFigures } from '../model/ledger.ts';

/** What a fact that somebody has to add would tell. */
export type Unknown = 'screw' | 'floor';

/** A site of the board that is on the bed, as it was made. Heights above the bed, mm. */
export interface AsBuilt {
  readonly fixing: Fixing;
  readonly built: Built;
  readonly pocket: PocketFigures;
  readonly screw: ScrewFigures;
}

/** The insert that is in the bed at a site, by its recorded figures; null where none is, or none of it is known. */
export function insertAt(state: BedState, site: string): Insert | null {
  const entry = state.sites.get(site);
  if (entry?.state !== 'set' || entry.insert === undefined || !entry.figures) return null;
  return insertFromFigures(entry.insert, entry.figures);
}

/** The pocket at a site of the fitted board; null where the ledger has none. */
export function pocketAt(state: BedState, site: string): PocketFigures | null {
  const { board } = state;
  if (!board) return null;
  return board.built.sites.get(site)?.pocket ?? board.built.everywhere.pocket ?? null;
}

/** The screw that stands in the board at a site; null where the ledger has none. */
export function screwAt(state: BedState, site: string): ScrewFigures | null {
  const { board } = state;
  if (!board) return null;
  return board.built.sites.get(site)?.screw ?? board.built.everywhere.screw ?? null;
}

/**
 * What stands at a site of the board that is on the bed, from recorded figures alone; or what is not known of it. Shared
 * files and the profile are not looked at: they say what somebody wants now, not what was driven then.
 *
 * @param insertElse - taken for an insert whose figures an old ledger does not have: it decides engagement, never cover
 */
export function asBuilt(
  state: BedState,
  site: string,
  insertElse: Insert,
): AsBuilt | { readonly unknown: readonly Unknown[] } {
  const pocket = pocketAt(state, site);
  const screw = screwAt(state, site);
  const floor = pocket ? floorAt(pocket, site) : null;
  const fixing = screw && fixingFromFigures(screw, insertAt(state, site) ?? insertElse);
  if (!screw || !fixing || !pocket || floor === null) {
    const unknown: Unknown[] = [];
    if (!fixing) unknown.push('screw');
    if (floor === null) unknown.push('floor');
    return { unknown };
  }
  return {
    fixing,
    pocket,
    screw,
    built: {
      screwLength: screw.length,
      pocketFloor: floor,
      pocketDiameter: pocketWidthAt(pocket, site),
      holeDiameter: holeAt(pocket, site),
    },
  };
}

/** Height of the pocket's floor at a site above the bed, mm; null where nobody recorded it. */
export function floorAt(pocket: PocketFigures, site: string): number | null {
  return pocket.floors?.[site] ?? pocket.pocketFloor ?? null;
}

/** Diameter of the pocket at a site, mm; null where nobody recorded it. */
export function pocketWidthAt(pocket: PocketFigures, site: string): number | null {
  return pocket.pockets?.[site] ?? pocket.pocketDiameter ?? null;
}

/** Diameter of the hole at a site, mm; null where nobody recorded it. */
export function holeAt(pocket: PocketFigures, site: string): number | null {
  return pocket.holes?.[site] ?? pocket.holeDiameter ?? null;
}
