import type { Region, Ring } from '../types.ts';

/**
 * Area of a boolean of two even-odd polygon sets, independent of any clipping: the plane is cut into
 * vertical strips at every corner and every crossing; inside a strip edges do not cross, so the area is a sum
 * of trapezoids.
 */
export function slabArea(a: Region, b: Region, keep: (inA: boolean, inB: boolean) => boolean): number {
  const edges = [...edgesOf(a, 0), ...edgesOf(b, 1)];
  const cuts = new Set<number>();
  for (const e of edges) {
    cuts.add(e.x1);
    cuts.add(e.x2);
  }
  for (let i = 0; i < edges.length; i++) {
    for (let k = 0; k < i; k++) {
      const p = edges[i]!;
      const q = edges[k]!;
      const x = (q.y1 - q.slope * q.x1 - (p.y1 - p.slope * p.x1)) / (p.slope - q.slope);
      if (x > Math.max(p.x1, q.x1) && x < Math.min(p.x2, q.x2)) cuts.add(x);
    }
  }
  const xs = [...cuts].sort((p, q) => p - q);
  let area = 0;
  for (let i = 0; i + 1 < xs.length; i++) {
    const middle = (xs[i]! + xs[i + 1]!) / 2;
    const width = xs[i + 1]! - xs[i]!;
    const crossed = edges
      .filter((e) => e.x1 < middle && middle < e.x2)
      .map((e) => ({ set: e.set, y: e.y1 + e.slope * (middle - e.x1) }))
      .sort((p, q) => p.y - q.y);
    const inside = [false, false];
    for (let k = 0; k + 1 < crossed.length; k++) {
      inside[crossed[k]!.set] = !inside[crossed[k]!.set];
      if (keep(inside[0]!, inside[1]!)) area += width * (crossed[k + 1]!.y - crossed[k]!.y);
    }
  }
  return area;
}

interface Edge {
  readonly x1: number;
  readonly y1: number;
  readonly x2: number;
  readonly slope: number;
  readonly set: 0 | 1;
}

function edgesOf(region: Region, set: 0 | 1): Edge[] {
  const rings: Ring[] = region.flatMap((p) => [p.outer, ...p.holes]);
  return rings.flatMap((ring) =>
    ring.flatMap((p, i): Edge[] => {
      const q = ring[(i + 1) % ring.length]!;
      if (p[0] === q[0]) return [];
      const [l, r] = p[0] < q[0] ? [p, q] : [q, p];
      return [{ x1: l[0], y1: l[1], x2: r[0], slope: (r[1] - l[1]) / (r[0] - l[0]), set }];
    }),
  );
}
