import { type Box, coverSet, distance, type Point } from '@bedledger/geometry';
import { brokenDemands, type CoverRules, type Demand } from './demand.ts';

/** Which mirror images about the middle of a board. */
export type Symmetry = 'none' | 'left-right' | 'front-back' | 'both';

/** A mirror image that is this near to a site is that site, mm: what a survey or a rounding can make of it. */
const SAME = 0.05;

type Image = (p: Point) => Point;

function mirrors(box: Box): { readonly leftRight: Image; readonly frontBack: Image } {
  return {
    leftRight: (p) => [box.minX + box.maxX - p[0], p[1]],
    frontBack: (p) => [p[0], box.minY + box.maxY - p[1]],
  };
}

/** Which mirror images of the points, about the middle of the box, are the points themselves. */
export function symmetryOf(points: readonly Point[], box: Box): Symmetry {
  const holds = (image: Image): boolean =>
    points.length > 0 && points.every((p) => points.some((q) => distance(image(p), q) <= SAME));
  const { leftRight, frontBack } = mirrors(box);
  return named(holds(leftRight), holds(frontBack));
}

function named(leftRight: boolean, frontBack: boolean): Symmetry {
  if (leftRight && frontBack) return 'both';
  if (leftRight) return 'left-right';
  return frontBack ? 'front-back' : 'none';
}

/** Places whose images may miss the land, as a share: nearly symmetric (a tool setter in one corner). */
const NEARLY = 0.05;
const ROUNDS = 60;
const SEARCH_STEPS = 3000;
/** One site costs so much that no preference for land off the zones outweighs it. */
const SITE_COST = 1000;
const IN_ZONE_COST = 12;

export interface SymmetricTask {
  readonly rules: CoverRules;
  readonly places: readonly Point[];
  readonly demands: readonly Demand[];
  /** The point, or land beside it that only a rounding sets apart; null off the land. */
  readonly onLand: (p: Point) => Point | null;
  readonly inZone: (p: Point) => boolean;
  /** Least distance between two sites, mm. */
  readonly apart: number;
}

export interface SymmetricCover {
  readonly sites: readonly Point[];
  /** True when every place has its image on land: the lands themselves are symmetric. */
  readonly exact: boolean;
}

/**
 * A cover of which the lands' mirror images are the cover itself, over places and their images; null when the lands are
 * not nearly symmetric, or none was found. The best of a fixed search, not proven.
 */
export function symmetricCover(task: SymmetricTask): SymmetricCover | null {
  const found = orbitsOf(task);
  if (found === null) return null;
  const { orbits, exact } = found;
  const cost = orbits.map((o) => o.length * SITE_COST + o.filter(task.inZone).length * IN_ZONE_COST);
  const demands = [...task.demands];
  const rows: number[][] = [];
  let start: readonly number[] = [];
  for (let round = 0; round < ROUNDS; round++) {
    for (const d of demands.slice(rows.length)) {
      rows.push(orbitsMeeting(orbits, d));
    }
    if (rows.some((row) => row.length === 0)) return null;
    start = coverSet({ columns: orbits.length, rows, cost }, { start, steps: SEARCH_STEPS, proof: 0 }).chosen;
    const sites = start.flatMap((k) => orbits[k] as Point[]);
    const open = brokenDemands(sites, task.rules);
    if (open.length > 0) {
      demands.push(...open);
      continue;
    }
    const close = sites.some((p, i) => sites.some((q, j) => j > i && distance(p, q) < task.apart));
    return close ? null : { sites, exact };
  }
  return null;
}

/** Numbers of the orbits of which some point is near enough to a demand. */
function orbitsMeeting(orbits: readonly Point[][], { at, within }: Demand): number[] {
  const reach = (within + 1e-6) * (within + 1e-6);
  const out: number[] = [];
  for (const [k, orbit] of orbits.entries()) {
    for (const p of orbit) {
      const dx = p[0] - at[0];
      const dy = p[1] - at[1];
      if (dx * dx + dy * dy > reach) continue;
      out.push(k);
      break;
    }
  }
  return out;
}

/** Places together with their images, each set once; null when the lands have no mirror that most places obey. */
function orbitsOf(task: SymmetricTask): { readonly orbits: Point[][]; readonly exact: boolean } | null {
  const { leftRight, frontBack } = mirrors(task.rules.board);
  const missing = (image: Image): number => task.places.filter((p) => task.onLand(image(p)) === null).length;
  const [lackX, lackY] = [missing(leftRight), missing(frontBack)];
  const exact = lackX === 0 || lackY === 0;
  const most = exact ? 0 : NEARLY * task.places.length;
  const [x, y] = [lackX <= most, lackY <= most];
  if (!x && !y) return null;
  const images: Image[] = [(p) => p];
  if (x) images.push(leftRight);
  if (y) images.push(frontBack);
  if (x && y) images.push((p) => leftRight(frontBack(p)));
  const seen = new Set<string>();
  const key = (p: Point): string => `${Math.round(p[0] * 100)},${Math.round(p[1] * 100)}`;
  const orbits: Point[][] = [];
  for (const p of task.places) {
    if (seen.has(key(p))) continue;
    const orbit: Point[] = [];
    let whole = true;
    for (const image of images) {
      seen.add(key(image(p)));
      const q = task.onLand(image(p));
      if (q === null) whole = false;
      else if (orbit.every((o) => distance(o, q) > SAME)) orbit.push(q);
    }
    const apart = orbit.every((a, i) => orbit.every((b, j) => j <= i || distance(a, b) >= task.apart));
    if (apart && whole) orbits.push(orbit);
  }
  return { orbits, exact };
}
