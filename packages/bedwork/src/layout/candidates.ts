import type { Machine } from '@bedledger/fleet';
import {
  difference,
  distance,
  mapRegion,
  offset,
  type Point,
  regionArea,
  type Transform,
} from '@bedledger/geometry';
import { boardBox } from '../base/board.ts';
import { includes } from '../lands/intervals.ts';
import { type Lands, nearestIn } from '../lands/lands.ts';

/** Places a site may take in the pattern `fewest`, nominal frame, and how their mirror images belong together. */
export interface Candidates {
  readonly points: readonly Point[];
  /** 0 divider, 1 outer land, 2 inside a zone: what a hole there costs in leaks. */
  readonly rank: readonly (0 | 1 | 2)[];
  /** Candidates that are each other's images, when every candidate has all its images; else one each. */
  readonly orbits: readonly (readonly number[])[];
  readonly symmetric: 'none' | 'left-right' | 'front-back' | 'both';
  /** True when the lands are symmetric but for a thousandth: then the layout has to be. */
  readonly exact: boolean;
}

/** Candidates on the whole bed, about: more find shorter covers, fewer can be proven. */
const WANTED = 300;
/** Room beyond the needed clearance that a candidate takes where there is some, mm. */
const COMFORT = 2;
/** Share of the lands that may lack their image: symmetric, and nearly so (a tool setter in one corner). */
const EXACT = 1e-3;
const NEARLY = 0.05;
/** Images count as equal within this, mm. */
const IMAGE_PLAY = 0.05;

/**
 * A lattice over the board, each point moved to the nearest land: outside the zones if there is one within half a step,
 * else between the grooves. Where the lands are symmetric so are the candidates.
 * @param fixed sites that are in the bed already: the first candidates, wherever they are
 * @param known places that some other layout takes
 */
export function landCandidates(
  machine: Machine,
  lands: Lands,
  pitch: number,
  fixed: readonly Point[],
  known: readonly Point[],
): Candidates {
  const board = boardBox(machine);
  const width = board.maxX - board.minX;
  const depth = board.maxY - board.minY;
  const step = Math.max(pitch / 7, Math.sqrt((width * depth) / WANTED));
  const comfort = offset(lands.nominal, -COMFORT);
  const roomy = comfort.length > 0 ? comfort : lands.nominal;
  const free = nearestIn(difference(roomy, lands.kinds.bores));
  const tight = nearestIn(difference(lands.nominal, lands.kinds.bores));
  const wide = nearestIn(roomy);
  const edge = machine.fixing.layout.edge[1];
  const xs = lattice(board.minX, board.maxX, edge, step);
  const ys = lattice(board.minY, board.maxY, edge, step);

  const mid: Point = [(board.minX + board.maxX) / 2, (board.minY + board.maxY) / 2];
  const raw: Point[] = [];
  for (const y of ys) {
    for (const x of xs) {
      const p: Point = [x, y];
      // Off the zones first: a hole there leaks nothing. A point well inside a zone keeps a place of its own as well.
      const outside = nearestWithin(free, p, 0.6 * step) ?? nearestWithin(tight, p, 0.6 * step);
      if (outside) raw.push(outside);
      if (!outside || distance(outside, p) > 0.3 * step) {
        const inside =
          nearestWithin(wide, p, 0.75 * step) ?? nearestWithin(lands.nearestLand, p, 0.75 * step);
        if (inside) raw.push(inside);
      }
    }
  }
  const unique = dedupe([...known, ...raw].map(hundredth).filter((p) => onLand(lands, p)));
  const mirrorX = (p: Point): Point => [2 * mid[0] - p[0], p[1]];
  const mirrorY = (p: Point): Point => [p[0], 2 * mid[1] - p[1]];
  const whole = regionArea(lands.nominal);
  // Grown a little, so that rounding leaves no slivers.
  const lacks = (t: Transform): number =>
    regionArea(difference(lands.nominal, offset(mapRegion(lands.nominal, t), IMAGE_PLAY))) / whole;
  const lackX = fixed.length > 0 ? 1 : lacks({ a: -1, b: 0, c: 2 * mid[0], d: 0, e: 1, f: 0 });
  const lackY = fixed.length > 0 ? 1 : lacks({ a: 1, b: 0, c: 0, d: 0, e: -1, f: 2 * mid[1] });
  const exact = lackX <= EXACT || lackY <= EXACT;
  const x = lackX <= (exact ? EXACT : NEARLY);
  const y = lackY <= (exact ? EXACT : NEARLY);
  const images: ((p: Point) => Point)[] = [(p) => p];
  if (x) images.push(mirrorX);
  if (y) images.push(mirrorY);
  if (x && y) images.push((p) => mirrorX(mirrorY(p)));

  const points: Point[] = [...fixed];
  const orbits: number[][] = fixed.map((_, i) => [i]);
  const seen = new Map<string, number>(points.map((p, i) => [key(p), i]));
  for (const p of unique) {
    const set = images.map((image) => hundredth(image(p)));
    const all = set.every((q) => onLand(lands, q));
    const orbit: number[] = [];
    for (const q of all ? set : [p]) {
      const k = key(q);
      if (seen.has(k)) continue;
      seen.set(k, points.length);
      orbit.push(points.length);
      points.push(q);
    }
    if (orbit.length > 0 && (all || !(x || y))) orbits.push(orbit);
  }
  const rank = points.map((p) => {
    const { land } = lands.kinds.kindAt(p);
    return land === 'divider' ? 0 : land === 'outer' ? 1 : 2;
  });
  return {
    points,
    rank,
    orbits,
    exact,
    symmetric: x && y ? 'both' : x ? 'left-right' : y ? 'front-back' : 'none',
  };
}
function onLand(lands: Lands, p: Point): boolean {
  return includes(lands.scan.alongY(p[0]), p[1]);
}

function nearestWithin(nearest: (p: Point) => Point | null, p: Point, reach: number): Point | null {
  const q = nearest(p);
  return q !== null && distance(p, q) <= reach ? q : null;
}

function lattice(from: number, to: number, edge: number, step: number): number[] {
  const span = to - from - 2 * edge;
  if (!(span > 0)) return [(from + to) / 2];
  const n = Math.max(1, Math.round(span / step));
  return Array.from({ length: n + 1 }, (_, i) => from + edge + (span * i) / n);
}

function hundredth(p: Point): Point {
  return [Math.round(p[0] * 100) / 100 + 0, Math.round(p[1] * 100) / 100 + 0];
}

function key(p: Point): string {
  return `${Math.round(p[0] * 10)},${Math.round(p[1] * 10)}`;
}

function dedupe(points: readonly Point[]): Point[] {
  const seen = new Set<string>();
  return points.filter((p) => {
    const k = key(p);
    if (seen.has(k)) return false;
    seen.add(k);
    return true;
  });
}
