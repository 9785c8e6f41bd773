import type { Machine } from '@bedledger/fleet';
import { zoneRegion } from '@bedledger/fleet';
import {
  containsPoint,
  nearestOnBoundary,
  offset,
  type Point,
  type Region,
  union,
} from '@bedledger/geometry';
import { type LineScan, lineScan } from './line-scan.ts';

/** Between two zones, around all of them, or inside one. */
export type Land = 'divider' | 'outer' | 'zone';

export interface LandKinds {
  readonly zones: readonly { readonly id: string; readonly region: Region }[];
  /** All zones together, nominal frame. */
  readonly zonesRegion: Region;
  /** Zones grown by the bore: from here a hole touches a zone. */
  readonly bores: Region;
  /** Lines cut with the two. */
  readonly zoneScan: LineScan;
  readonly boreScan: LineScan;
  readonly kindAt: (p: Point) => { readonly land: Land; readonly zone: string | null };
}

/** Two zones farther apart than this have plain land between them, not a divider, mm. */
const WIDEST_DIVIDER = 160;
/** Cosine of the angle from which two sides count as opposite. */
const OPPOSITE = -0.8;

/**
 * Tells divider, outer land and land inside a zone apart, on the drawing of the bed.
 * A divider is land with two zones on opposite sides (143° apart or more), at most 160 mm apart there.
 */
export function landKinds(machine: Machine, boreRadius: number): LandKinds {
  const zones = machine.bed.zones.map((zone) => ({ id: zone.id, region: zoneRegion(zone) }));
  const all = union(...zones.map((z) => z.region));
  const betweenZones = (p: Point): boolean => {
    const near = zones
      .filter((z) => z.region.length > 0)
      .map((z) => nearestOnBoundary(z.region, p))
      .filter((n) => n.distance < WIDEST_DIVIDER);
    return near.some((a, i) =>
      near.slice(i + 1).some((b) => {
        const dot = (a.point[0] - p[0]) * (b.point[0] - p[0]) + (a.point[1] - p[1]) * (b.point[1] - p[1]);
        return dot <= OPPOSITE * a.distance * b.distance && a.distance + b.distance <= WIDEST_DIVIDER;
      }),
    );
  };
  const bores = offset(all, boreRadius);
  return {
    zones,
    zonesRegion: all,
    bores,
    zoneScan: lineScan(all),
    boreScan: lineScan(bores),
    kindAt: (p) => {
      const inside = zones.filter((z) => containsPoint(z.region, p));
      // On the line that two touching zones share, the hole is on the land between their outermost grooves.
      const first = inside[0];
      if (first && inside.length === 1) return { land: 'zone', zone: first.id };
      if (first) return { land: 'divider', zone: null };
      return { land: betweenZones(p) ? 'divider' : 'outer', zone: null };
    },
  };
}
