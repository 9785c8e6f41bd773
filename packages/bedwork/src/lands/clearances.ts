import type { MachineRecord } from '@bedledger/fleet';
import { containsPoint, distance, nearestOnBoundary, type Point } from '@bedledger/geometry';
import type { Lands } from './lands.ts';
import type { SiteNeeds } from './needs.ts';

export interface Clearance {
  /** `groove`, `port`, `gasket`, `edge`, `keep-out`, `hole`, `slot`, `travel`, `board-edge`, `site`. */
  readonly kind: string;
  /** Name of the thing, e.g. `zone A groove x 3`. */
  readonly name: string;
  /** Distance from the site's axis to the thing, mm, in the surveyed frame, before the uncertainty is taken off. */
  readonly distance: number;
  /** What is needed there, uncertainty included. */
  readonly needed: number;
}

/**
 * Distances from an axis to the nearest thing of every kind, surveyed frame, mm, with what is needed there.
 * A negative distance: the axis is inside the thing, or outside of what it must be inside of.
 * @param site the axis, and the uncertainty of its position, k = 2
 * @param others the axes of the other sites with their names
 * @param needs room that the site takes
 */
export function clearancesAt(
  record: MachineRecord,
  lands: Lands,
  site: { readonly at: Point; readonly uncertainty: number },
  others: readonly { readonly id: string; readonly at: Point }[],
  needs: SiteNeeds = lands.needs,
): Clearance[] {
  const { at, uncertainty } = site;
  const out: Clearance[] = [];
  const inBed = needs.bed + uncertainty;
  for (const kind of lands.featureKinds) {
    const hit = lands.features.nearestOf(at, (v) => v.kind === kind);
    if (hit) out.push({ kind, name: hit.value.name, distance: hit.distance, needed: inBed });
  }
  out.push({ kind: 'edge', name: 'edge of the bed', distance: depthInside(lands.bed, at), needed: inBed });
  out.push({
    kind: 'board-edge',
    name: 'edge of the board',
    distance: depthInside(lands.board, at),
    needed: needs.boardEdge + uncertainty,
  });
  let corner = Number.POSITIVE_INFINITY;
  for (const c of lands.boardCorners) corner = Math.min(corner, distance(c, at));
  if (corner < Number.POSITIVE_INFINITY) {
    out.push({
      kind: 'board-edge',
      name: 'corner of the board',
      distance: corner,
      needed: needs.boardCorner + uncertainty,
    });
  }
  const { x, y } = record.machine.travel;
  const limits: readonly (readonly [string, number])[] = [
    ['least X', at[0] - x[0]],
    ['greatest X', x[1] - at[0]],
    ['least Y', at[1] - y[0]],
    ['greatest Y', y[1] - at[1]],
  ];
  let nearest = limits[0] as readonly [string, number];
  for (const l of limits) if (l[1] < nearest[1]) nearest = l;
  out.push({
    kind: 'travel',
    name: `travel limit, ${nearest[0]}`,
    distance: nearest[1],
    needed: needs.overhang,
  });
  let neighbour: Clearance | null = null;
  for (const o of others) {
    const d = distance(o.at, at);
    if (neighbour === null || d < neighbour.distance) {
      neighbour = { kind: 'site', name: `site ${o.id}`, distance: d, needed: needs.between + uncertainty };
    }
  }
  if (neighbour) out.push(neighbour);
  return out;
}

function depthInside(region: Lands['bed'], p: Point): number {
  if (region.length === 0) return Number.NEGATIVE_INFINITY;
  const d = nearestOnBoundary(region, p).distance;
  return containsPoint(region, p) ? d : -d;
}
