import { type Box, distance, type Point, type Region, voronoiCells } from '@bedledger/geometry';

/** A point of the board that needs a site within a distance of its own. */
export interface Demand {
  readonly at: Point;
  readonly within: number;
  readonly of: 'board' | 'edge' | 'corner';
}

export interface CoverRules {
  readonly board: Box;
  readonly region: Region;
  /** Farthest any point of the board may be from a site. */
  readonly radius: number;
  /** Farthest a point of each edge may be: front, right, back, left. */
  readonly edges: readonly [number, number, number, number];
  /** Farthest each corner may be: front left, front right, back right, back left. */
  readonly corners: readonly [number, number, number, number];
}

const EPS = 1e-6;

/** Corner points of a box, counter-clockwise from the front left. */
export function cornersOf(box: Box): readonly [Point, Point, Point, Point] {
  return [
    [box.minX, box.minY],
    [box.maxX, box.minY],
    [box.maxX, box.maxY],
    [box.minX, box.maxY],
  ];
}

/** The corners, and points spread over edges and board: a start that later cuts refine. */
export function firstDemands(rules: CoverRules, step: number): Demand[] {
  const corners = cornersOf(rules.board);
  const out: Demand[] = corners.map((at, i) => ({
    at,
    within: rules.corners[i] as number,
    of: 'corner' as const,
  }));
  for (let k = 0; k < 4; k++) {
    const a = corners[k] as Point;
    const b = corners[(k + 1) % 4] as Point;
    const n = Math.max(2, Math.round(distance(a, b) / step));
    for (let i = 1; i < n; i++) {
      const f = i / n;
      out.push({
        at: [a[0] + f * (b[0] - a[0]), a[1] + f * (b[1] - a[1])],
        within: rules.edges[k] as number,
        of: 'edge',
      });
    }
  }
  const width = rules.board.maxX - rules.board.minX;
  const depth = rules.board.maxY - rules.board.minY;
  const nx = Math.max(1, Math.round(width / step));
  const ny = Math.max(1, Math.round(depth / step));
  for (let i = 1; i < nx; i++) {
    for (let j = 1; j < ny; j++) {
      const at: Point = [rules.board.minX + (width * i) / nx, rules.board.minY + (depth * j) / ny];
      out.push({ at, within: rules.radius, of: 'board' });
    }
  }
  return out;
}

/**
 * Every local maximum of the distance that breaks a rule, on the whole board and on its edges: exact, so that none means
 * that the sites cover. On the board these are corners of clipped Voronoi cells; on an edge the middles of what the
 * sites' reach leaves open.
 */
export function brokenDemands(sites: readonly Point[], rules: CoverRules): Demand[] {
  const out: Demand[] = [];
  const seen = new Set<string>();
  const add = (d: Demand): void => {
    const k = `${d.of}${Math.round(d.at[0] * 100)},${Math.round(d.at[1] * 100)}`;
    if (seen.has(k)) return;
    seen.add(k);
    out.push(d);
  };
  for (const [i, cell] of voronoiCells(sites, rules.region).entries()) {
    const site = sites[i] as Point;
    for (const polygon of cell) {
      for (const ring of [polygon.outer, ...polygon.holes]) {
        for (const p of ring) {
          if (distance(p, site) > rules.radius + EPS) add({ at: p, within: rules.radius, of: 'board' });
        }
      }
    }
  }
  const corners = cornersOf(rules.board);
  for (let k = 0; k < 4; k++) {
    const at = corners[k] as Point;
    const within = rules.corners[k] as number;
    if (!sites.some((s) => distance(s, at) <= within + EPS)) add({ at, within, of: 'corner' });
    const end = corners[(k + 1) % 4] as Point;
    for (const gap of openOnEdge(sites, at, end, rules.edges[k] as number)) {
      add({ at: gap, within: rules.edges[k] as number, of: 'edge' });
    }
  }
  return out;
}

/** Middles of the parts of a segment that are farther than `reach` from every site. */
function openOnEdge(sites: readonly Point[], a: Point, b: Point, reach: number): Point[] {
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
  const out: Point[] = [];
  let done = 0;
  const open = (from: number, to: number): void => {
    if (to - from > 2 * EPS) {
      const t = (from + to) / 2;
      out.push([a[0] + t * u[0], a[1] + t * u[1]]);
    }
  };
  for (const [from, to] of covered) {
    if (from > done) open(done, Math.min(from, length));
    done = Math.max(done, to);
    if (done >= length) break;
  }
  if (done < length) open(done, length);
  return out;
}
