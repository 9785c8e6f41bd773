import type { Region } from '@bedledger/geometry';
import { type InitialSurface, NOTHING, TILE, UNITS } from './height-field.ts';

/** A region at one height; later layers stand over (or are cut into) earlier ones. */
export interface Layer {
  readonly region: Region;
  /** mm above the bed surface. */
  readonly height: number;
}

interface Prepared {
  readonly height: number;
  readonly minX: number;
  readonly minY: number;
  readonly maxX: number;
  readonly maxY: number;
  /** x1 y1 x2 y2 of every edge that is not level. */
  readonly edges: Float64Array;
  /** The polygon is its own box. */
  readonly isBox: boolean;
}

/** One entry a polygon, so that a bed of a thousand grooves only costs where a tile meets one. */
function prepare(layer: Layer): Prepared[] {
  return layer.region.map((polygon) => {
    const edges: number[] = [];
    let minX = Infinity;
    let minY = Infinity;
    let maxX = -Infinity;
    let maxY = -Infinity;
    for (const ring of [polygon.outer, ...polygon.holes]) {
      for (let k = 0; k < ring.length; k++) {
        const [x1, y1] = ring[k]!;
        const [x2, y2] = ring[(k + 1) % ring.length]!;
        if (x1 < minX) minX = x1;
        if (x1 > maxX) maxX = x1;
        if (y1 < minY) minY = y1;
        if (y1 > maxY) maxY = y1;
        if (y1 !== y2) edges.push(x1, y1, x2, y2);
      }
    }
    return {
      height: Math.round(layer.height * UNITS),
      minX,
      minY,
      maxX,
      maxY,
      edges: Float64Array.from(edges),
      isBox:
        polygon.holes.length === 0 &&
        polygon.outer.length === 4 &&
        polygon.outer.every(([x, y]) => (x === minX || x === maxX) && (y === minY || y === maxY)),
    };
  });
}

/** A surface of flat regions painted over one another: bed, what is cut into it, the board. */
export function layeredSurface(layers: readonly Layer[]): InitialSurface {
  const prepared = layers.flatMap(prepare);
  let highest = -Infinity;
  for (const layer of layers) if (layer.region.length > 0) highest = Math.max(highest, layer.height);
  const crossings: number[] = [];
  return {
    highest,
    fillTile(out, x0, y0, cell) {
      const side = TILE * cell;
      // whatever lies under a box that covers the whole tile does not show
      let first = 0;
      let ground = NOTHING;
      for (let k = prepared.length - 1; k >= 0; k--) {
        const p = prepared[k]!;
        if (p.isBox && p.minX <= x0 && p.minY <= y0 && p.maxX >= x0 + side && p.maxY >= y0 + side) {
          first = k + 1;
          ground = p.height;
          break;
        }
      }
      out.fill(ground);
      for (let k = first; k < prepared.length; k++) {
        const p = prepared[k]!;
        if (p.minX > x0 + side || p.maxX < x0 || p.minY > y0 + side || p.maxY < y0) continue;
        for (let row = 0; row < TILE; row++) {
          const y = y0 + (row + 0.5) * cell;
          if (y < p.minY || y > p.maxY) continue;
          crossings.length = 0;
          for (let k = 0; k < p.edges.length; k += 4) {
            const y1 = p.edges[k + 1]!;
            const y2 = p.edges[k + 3]!;
            if (y1 <= y !== y2 <= y) {
              const x1 = p.edges[k]!;
              crossings.push(x1 + ((y - y1) * (p.edges[k + 2]! - x1)) / (y2 - y1));
            }
          }
          crossings.sort((a, b) => a - b);
          for (let k = 0; k + 1 < crossings.length; k += 2) {
            const from = Math.max(0, Math.ceil((crossings[k]! - x0) / cell - 0.5));
            const to = Math.min(TILE - 1, Math.floor((crossings[k + 1]! - x0) / cell - 0.5));
            if (from <= to) out.fill(p.height, row * TILE + from, row * TILE + to + 1);
          }
        }
      }
    },
  };
}
