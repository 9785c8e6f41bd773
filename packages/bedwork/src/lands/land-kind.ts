import type { Machine } from '@bedledger/fleet';
import { zoneRegion } from '@bedledger/fleet';
import { containsPoint, difference, offset, type Point, type Region, union } from '@bedledger/geometry';
import type { Site } from '../layout/model.ts';

export interface LandKinds {
  readonly zones: readonly { readonly id: string; readonly region: Region }[];
  /** All zones together, nominal frame. */
  readonly zonesRegion: Region;
  /** Zones grown by the bore: from here a hole touches a zone. */
  readonly bores: Region;
  /** The land between zones, nominal frame. */
  readonly dividers: Region;
  readonly kindAt: (p: Point) => { readonly land: Site['land']; readonly zone: string | null };
}

/** Two zones farther apart than this have plain land between them, not a divider, mm. */
const WIDEST_DIVIDER = 160;

/**
 * Tells divider, outer land and land inside a zone apart, on the drawing of the bed.
 * A divider is what closing the zones by half of 160 mm fills in between them.
 */
export function landKinds(machine: Machine, boreRadius: number): LandKinds {
  const zones = machine.bed.zones.map((zone) => ({ id: zone.id, region: zoneRegion(zone) }));
  const all = union(...zones.map((z) => z.region));
  const dividers =
    zones.length < 2 ? [] : difference(offset(offset(all, WIDEST_DIVIDER / 2), -WIDEST_DIVIDER / 2), all);
  return {
    zones,
    zonesRegion: all,
    bores: offset(all, boreRadius),
    dividers,
    kindAt: (p) => {
      const inside = zones.filter((z) => containsPoint(z.region, p));
      // On the line that two touching zones share, the hole is on the land between their outermost grooves.
      const first = inside[0];
      if (first && inside.length === 1) return { land: 'zone', zone: first.id };
      if (first) return { land: 'divider', zone: null };
      return { land: containsPoint(dividers, p) ? 'divider' : 'outer', zone: null };
    },
  };
}
