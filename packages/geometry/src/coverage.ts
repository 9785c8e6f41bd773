import { Delaunay } from 'd3-delaunay';
import { containsPoint, ringsOf } from './region.ts';
import type { Box, Point, Region, Ring } from './types.ts';

/**
 * The farthest any point of a region lies from its nearest site, exactly: the distance to the nearest site
 * has its maxima only at Voronoi vertices inside the region, at corners of the region, and where a Voronoi
 * edge crosses the boundary, and all of these are visited.
 * @returns the radius (mm), a point where it is reached and the index of the nearest site there
 * @throws RangeError for no sites, an empty region or a coordinate that is not finite
 */
export function coverageRadius(
  sites: readonly Point[],
  region: Region,
): { radius: number; at: Point; site: number } {
  if (sites.length === 0) throw new RangeError('coverage radius of no sites: expected at least one');
  if (region.length === 0)
    throw new RangeError('coverage radius over an empty region: expected at least one polygon');
  const search = new FarthestPoint(sites);
  for (const ring of ringsOf(region)) search.lookAlong(ring);
  search.lookAtVertices(region);
  return search.found;
}

/** The point farthest from its nearest site, of all that are looked at. */
class FarthestPoint {
  readonly #sites: readonly Point[];
  readonly #xs: Float64Array;
  readonly #ys: Float64Array;
  #worst = -1;
  #at: Point = [0, 0];
  #site = 0;

  constructor(sites: readonly Point[]) {
    this.#sites = sites;
    this.#xs = new Float64Array(sites.length);
    this.#ys = new Float64Array(sites.length);
    sites.forEach((p, i) => {
      if (!Number.isFinite(p[0]) || !Number.isFinite(p[1])) {
        throw new RangeError(`site ${i} at [${p[0]}, ${p[1]}]: expected finite coordinates`);
      }
      this.#xs[i] = p[0];
      this.#ys[i] = p[1];
    });
  }

  get found(): { radius: number; at: Point; site: number } {
    return { radius: Math.sqrt(this.#worst), at: this.#at, site: this.#site };
  }

  /** Corners, and Voronoi edges crossed on the way from corner to corner. */
  lookAlong(ring: Ring): void {
    let a = ring[ring.length - 1]!;
    let site = this.#nearest(a[0], a[1]);
    for (const b of ring) {
      const dx = b[0] - a[0];
      const dy = b[1] - a[1];
      let t = 0;
      // At most every site once: along a straight line no cell is entered twice.
      for (let hop = 0; hop <= this.#xs.length; hop++) {
        const { leave, next } = this.#exit(a, dx, dy, site);
        if (next < 0 || leave >= 1) break;
        t = Math.max(t, leave);
        this.#offer(a[0] + t * dx, a[1] + t * dy, site);
        site = next;
      }
      site = this.#nearest(b[0], b[1]);
      this.#offer(b[0], b[1], site);
      a = b;
    }
  }

  /**
   * Where a line from `a` leaves the cell of a site, as a share of its way, and whose cell it enters; next is −1 where
   * it never leaves. |p − s|² − |p − i|² is linear along the line; the cell is left where it first becomes positive.
   */
  #exit(a: Point, dx: number, dy: number, site: number): { leave: number; next: number } {
    const xs = this.#xs;
    const ys = this.#ys;
    const sx = xs[site]!;
    const sy = ys[site]!;
    const gap0 = (a[0] - sx) * (a[0] - sx) + (a[1] - sy) * (a[1] - sy);
    let leave = Infinity;
    let next = -1;
    for (let i = 0; i < xs.length; i++) {
      const rate = 2 * (dx * (xs[i]! - sx) + dy * (ys[i]! - sy));
      if (rate <= 0) continue;
      const gap = (a[0] - xs[i]!) * (a[0] - xs[i]!) + (a[1] - ys[i]!) * (a[1] - ys[i]!) - gap0;
      const crossing = gap / rate;
      if (crossing < leave) {
        leave = crossing;
        next = i;
      } else if (crossing === leave && next >= 0) {
        // Of several met at one place the one that wins beyond it is the one approached fastest.
        const other = 2 * (dx * (xs[next]! - sx) + dy * (ys[next]! - sy));
        if (rate > other) next = i;
      }
    }
    return { leave, next };
  }

  /** Voronoi vertices: circumcentres of the Delaunay triangles, where they lie in the region. */
  lookAtVertices(region: Region): void {
    for (const [x, y] of delaunayOf(this.#sites).centres) {
      // Cheap test first: only a centre that would raise the maximum needs the point-in-region test.
      const site = this.#nearest(x, y);
      const d = this.#squared(x, y, site);
      if (d > this.#worst && Number.isFinite(d) && containsPoint(region, [x, y])) this.#offer(x, y, site);
    }
  }

  #squared(x: number, y: number, site: number): number {
    const dx = this.#xs[site]! - x;
    const dy = this.#ys[site]! - y;
    return dx * dx + dy * dy;
  }

  #nearest(x: number, y: number): number {
    let best = 0;
    let least = Infinity;
    for (let i = 0; i < this.#xs.length; i++) {
      const d = this.#squared(x, y, i);
      if (d < least) {
        least = d;
        best = i;
      }
    }
    return best;
  }

  #offer(x: number, y: number, site: number): void {
    const d = this.#squared(x, y, site);
    if (d <= this.#worst) return;
    this.#worst = d;
    this.#at = [x, y];
    this.#site = site;
  }
}

/**
 * Every local maximum of the distance to the nearest site, over a box, that is greater than `radius`: corners of the
 * box, Voronoi vertices inside it, and crossings of Voronoi edges with its sides. None means that the sites cover the
 * box within `radius`, exactly.
 * @throws RangeError for no sites
 */
export function placesBeyond(sites: readonly Point[], box: Box, radius: number): Point[] {
  if (sites.length === 0) throw new RangeError('places beyond the reach of no sites: expected at least one');
  const out: Point[] = [];
  const seen = new Set<string>();
  const play = 1e-7;
  /** Takes a place whose nearest site is `own` away, no other one nearer, and farther than the radius. */
  const offer = (x: number, y: number, own: number): void => {
    if (!(own > radius)) return;
    if (x < box.minX - play || x > box.maxX + play || y < box.minY - play || y > box.maxY + play) return;
    const limit = (own - play) * (own - play);
    for (const s of sites) {
      if ((s[0] - x) * (s[0] - x) + (s[1] - y) * (s[1] - y) < limit) return;
    }
    const key = `${Math.round(x * 1e4)},${Math.round(y * 1e4)}`;
    if (seen.has(key)) return;
    seen.add(key);
    out.push([x, y]);
  };
  for (const x of [box.minX, box.maxX]) {
    for (const y of [box.minY, box.maxY]) {
      let least = Infinity;
      for (const s of sites) least = Math.min(least, (s[0] - x) * (s[0] - x) + (s[1] - y) * (s[1] - y));
      offer(x, y, Math.sqrt(least));
    }
  }
  const { centres, neighbours } = delaunayOf(sites);
  for (const [x, y, own] of centres) offer(x, y, own);
  for (const [a, b] of neighbours) {
    // The bisector of two neighbours: |p − a|² = |p − b|², a line.
    const p = sites[a]!;
    const q = sites[b]!;
    const nx = 2 * (q[0] - p[0]);
    const ny = 2 * (q[1] - p[1]);
    const c = q[0] * q[0] + q[1] * q[1] - p[0] * p[0] - p[1] * p[1];
    const to = (x: number, y: number): number => Math.sqrt((x - p[0]) * (x - p[0]) + (y - p[1]) * (y - p[1]));
    if (ny !== 0) {
      for (const x of [box.minX, box.maxX]) offer(x, (c - nx * x) / ny, to(x, (c - nx * x) / ny));
    }
    if (nx !== 0) {
      for (const y of [box.minY, box.maxY]) offer((c - ny * y) / nx, y, to((c - ny * y) / nx, y));
    }
  }
  return out;
}

/** Circumcentres with their radius, and the pairs of neighbours; of sites in one line every pair counts. */
function delaunayOf(sites: readonly Point[]): {
  readonly centres: readonly (readonly [x: number, y: number, radius: number])[];
  readonly neighbours: readonly (readonly [number, number])[];
} {
  const neighbours: [number, number][] = [];
  const triangles = sites.length < 3 ? [] : Delaunay.from(sites as readonly [number, number][]).triangles;
  if (triangles.length === 0) {
    for (let a = 0; a < sites.length; a++) for (let b = a + 1; b < sites.length; b++) neighbours.push([a, b]);
    return { centres: [], neighbours };
  }
  const centres: [number, number, number][] = [];
  for (let i = 0; i + 2 < triangles.length; i += 3) {
    const [a, b, c] = [triangles[i]!, triangles[i + 1]!, triangles[i + 2]!];
    for (const [p, q] of [
      [a, b],
      [b, c],
      [c, a],
    ] as const) {
      // Edges on the hull stand in one triangle only, so both directions are taken.
      neighbours.push(p < q ? [p, q] : [q, p]);
    }
    const [ax, ay] = sites[a]!;
    const ux = sites[b]![0] - ax;
    const uy = sites[b]![1] - ay;
    const vx = sites[c]![0] - ax;
    const vy = sites[c]![1] - ay;
    const cross = 2 * (ux * vy - uy * vx);
    if (!(Math.abs(cross) > 0)) continue;
    const u2 = ux * ux + uy * uy;
    const v2 = vx * vx + vy * vy;
    const dx = (vy * u2 - uy * v2) / cross;
    const dy = (ux * v2 - vx * u2) / cross;
    if (Number.isFinite(dx) && Number.isFinite(dy)) {
      centres.push([ax + dx, ay + dy, Math.sqrt(dx * dx + dy * dy)]);
    }
  }
  return { centres, neighbours };
}
