import { type Box, distance, type Point, placesBeyond } from '@bedledger/geometry';
import { boxCorners } from '../base/board.ts';

/** A point of the board that needs a site within a distance of its own. */
export interface Demand {
  readonly at: Point;
  readonly within: number;
  readonly of: 'board' | 'edge' | 'corner';
}

/** How near the sites have to be, all in the frame in which the board lies along the axes. */
export interface CoverRules {
  readonly board: Box;
  /** Farthest any point of the board may be from a site. */
  readonly radius: number;
  /** Farthest a point of each edge may be: front, right, back, left. */
  readonly edges: readonly [number, number, number, number];
  /** Farthest each corner may be: front left, front right, back right, back left. */
  readonly corners: readonly [number, number, number, number];
  /**
   * Distance from a point to the nearest land: where no land is within reach, the nearest has to do. Where some land is
   * not farther than `enough`, its distance may stand for the least.
   */
  readonly landDistance: (p: Point, enough: number) => number;
}

const EPS = 1e-6;
/** Where the nearest land is farther than a rule asks for, a site may be this much farther still, mm. */
export const REACH_ROOM = 12;
/** Where no land reaches a point at all, the nearest land has to do, give or take the rounding of a place, mm. */
const ROUNDING = 0.05;
/** An open stretch of an edge is looked at this often, mm, where lands are too far for the plain rule. */
const EDGE_STEP = 10;

/** What a point needs when its rule says `limit`: no less than the lands allow. */
function within(rules: CoverRules, p: Point, limit: number): number {
  const near = rules.landDistance(p, limit - REACH_ROOM);
  return near > limit - REACH_ROOM
    ? Math.max(limit, Math.min(rules.radius, near + REACH_ROOM), near + ROUNDING)
    : limit;
}

function demandAt(rules: CoverRules, at: Point, limit: number, of: Demand['of']): Demand {
  return { at, within: within(rules, at, limit), of };
}

/** The corners, and points spread over edges and board: a start that later cuts refine. */
export function firstDemands(rules: CoverRules, step: number): Demand[] {
  const corners = boxCorners(rules.board);
  const out: Demand[] = corners.map((at, i) => demandAt(rules, at, rules.corners[i] as number, 'corner'));
  for (let k = 0; k < 4; k++) {
    const a = corners[k] as Point;
    const b = corners[(k + 1) % 4] as Point;
    const n = Math.max(2, Math.round(distance(a, b) / step));
    for (let i = 1; i < n; i++) {
      const f = i / n;
      const at: Point = [a[0] + f * (b[0] - a[0]), a[1] + f * (b[1] - a[1])];
      out.push(demandAt(rules, at, rules.edges[k] as number, 'edge'));
    }
  }
  const width = rules.board.maxX - rules.board.minX;
  const depth = rules.board.maxY - rules.board.minY;
  const nx = Math.max(1, Math.round(width / step));
  const ny = Math.max(1, Math.round(depth / step));
  for (let i = 1; i < nx; i++) {
    for (let j = 1; j < ny; j++) {
      const at: Point = [rules.board.minX + (width * i) / nx, rules.board.minY + (depth * j) / ny];
      out.push(demandAt(rules, at, rules.radius, 'board'));
    }
  }
  return out;
}

/**
 * Every local maximum of the distance that breaks a rule, on the whole board and on its edges: exact, so that none means
 * that the sites cover. On the board these are corners of clipped Voronoi cells; on an edge the middles of what the
 * sites' reach leaves open. A point that no land reaches counts with what the lands allow.
 */
export function brokenDemands(sites: readonly Point[], rules: CoverRules): Demand[] {
  const out: Demand[] = [];
  const near = (p: Point): number => {
    let least = Number.POSITIVE_INFINITY;
    for (const s of sites) least = Math.min(least, distance(s, p));
    return least;
  };
  const addOpen = (at: Point, limit: number, of: Demand['of']): void => {
    const demand = demandAt(rules, at, limit, of);
    if (near(at) > demand.within + EPS) out.push(demand);
  };
  if (sites.length === 0) return firstDemands(rules, rules.radius);
  for (const p of placesBeyond(sites, rules.board, rules.radius + EPS)) addOpen(p, rules.radius, 'board');
  const corners = boxCorners(rules.board);
  for (let k = 0; k < 4; k++) {
    const at = corners[k] as Point;
    addOpen(at, rules.corners[k] as number, 'corner');
    const limit = rules.edges[k] as number;
    for (const [from, to] of openOnEdge(sites, at, corners[(k + 1) % 4] as Point, limit)) {
      const middle: Point = [(from[0] + to[0]) / 2, (from[1] + to[1]) / 2];
      const before = out.length;
      addOpen(middle, limit, 'edge');
      if (out.length > before) continue;
      // No land is near enough for the plain rule at the middle: the rest of the stretch is looked at step by step.
      const n = Math.min(40, Math.ceil(distance(from, to) / EDGE_STEP));
      for (let i = 1; i < n; i++) {
        const f = i / n;
        addOpen([from[0] + f * (to[0] - from[0]), from[1] + f * (to[1] - from[1])], limit, 'edge');
      }
    }
  }
  return out;
}

/** The parts of a segment that are farther than `reach` from every site. */
function openOnEdge(sites: readonly Point[], a: Point, b: Point, reach: number): (readonly [Point, Point])[] {
  const length = distance(a, b);
  const u: Point = [(b[0] - a[0]) / length, (b[1] - a[1]) / length];
  const covered: [number, number][] = [];
  for (const s of sites) {
    const t = (s[0] - a[0]) * u[0] + (s[1] - a[1]) * u[1];
    const off = Math.abs((s[0] - a[0]) * u[1] - (s[1] - a[1]) * u[0]);
    if (off > reach) continue;
    const h = Math.sqrt(reach * reach - off * off);
    covered.push([t - h, t + h]);
  }
  covered.sort((p, q) => p[0] - q[0]);
  const out: (readonly [Point, Point])[] = [];
  let done = 0;
  const open = (from: number, to: number): void => {
    if (to - from <= 2 * EPS) return;
    out.push([
      [a[0] + from * u[0], a[1] + from * u[1]],
      [a[0] + to * u[0], a[1] + to * u[1]],
    ]);
  };
  for (const [from, to] of covered) {
    if (from > done) open(done, Math.min(from, length));
    done = Math.max(done, to);
    if (done >= length) break;
  }
  if (done < length) open(done, length);
  return out;
}
