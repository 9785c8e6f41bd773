import type { Point } from '@bedledger/geometry';

/** Heights on a raster: `z[row][column]` at `x[column]`, `y[row]`. */
export interface Raster {
  readonly x: readonly number[];
  readonly y: readonly number[];
  readonly z: readonly (readonly number[])[];
}

/**
 * Segments of the contour at `level`: each cell is split at its middle into four triangles, over which the height is linear, so that
 * the contour is never ambiguous. Ends of neighbouring segments coincide exactly.
 */
export function contour(raster: Raster, level: number): (readonly [Point, Point])[] {
  const { x, y, z } = raster;
  const segments: (readonly [Point, Point])[] = [];
  const at = (i: number, j: number): readonly [number, number, number] => [
    x[i] as number,
    y[j] as number,
    (z[j] as readonly number[])[i] as number,
  ];
  for (let j = 0; j + 1 < y.length; j++) {
    for (let i = 0; i + 1 < x.length; i++) {
      const corners = [at(i, j), at(i + 1, j), at(i + 1, j + 1), at(i, j + 1)] as const;
      const zs = corners.map((c) => c[2]);
      if (zs.every((v) => v < level) || zs.every((v) => v >= level)) continue;
      const middle = [
        (corners[0][0] + corners[1][0]) / 2,
        (corners[0][1] + corners[3][1]) / 2,
        ((zs[0] as number) + (zs[1] as number) + (zs[2] as number) + (zs[3] as number)) / 4,
      ] as const;
      for (let k = 0; k < 4; k++) {
        const a = corners[k] as (typeof corners)[number];
        const b = corners[(k + 1) % 4] as (typeof corners)[number];
        const cut = crossTriangle(a, b, middle, level);
        if (cut !== null) segments.push(cut);
      }
    }
  }
  return segments;
}

type Corner = readonly [number, number, number];

function crossTriangle(a: Corner, b: Corner, c: Corner, level: number): readonly [Point, Point] | null {
  const ends: Point[] = [];
  for (const [p, q] of [
    [a, b],
    [b, c],
    [c, a],
  ] as const) {
    if (p[2] < level === q[2] < level) continue;
    const t = (level - p[2]) / (q[2] - p[2]);
    ends.push([p[0] + t * (q[0] - p[0]), p[1] + t * (q[1] - p[1])]);
  }
  return ends.length === 2 ? [ends[0] as Point, ends[1] as Point] : null;
}
