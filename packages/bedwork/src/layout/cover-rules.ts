import type { MachineRecord } from '@bedledger/fleet';
import { type Box, bounds, distance, hypotenuse, type Point } from '@bedledger/geometry';
import { boxCorners } from '../base/board.ts';
import type { Lands } from '../lands/lands.ts';
import type { CoverRules } from './demand.ts';
import type { PitchRule } from './pitch.ts';

/** Sides of a board in the order of {@link CoverRules.edges}. */
export const SIDES = ['front', 'right', 'back', 'left'] as const;

/** Half the diagonal of a full pitch square: the farthest a point can be from the sites of a square grid. */
export function coverageLimit(pitch: Pick<PitchRule, 'limit'>): number {
  return pitch.limit * Math.SQRT1_2;
}

/** How far the lands begin from each edge of the board, mm: front, right, back, left. */
export function landBehindEdges(lands: Lands): readonly [number, number, number, number] {
  const board = lands.boardBox;
  const land = bounds(lands.actual);
  return [land.minY - board.minY, board.maxX - land.maxX, board.maxY - land.maxY, land.minX - board.minX];
}

/**
 * How near sites have to be, in the surveyed frame.
 *
 * Board: within half the diagonal of a pitch square. Edges and corners: as near as the outer rows would have them, that is
 * rows at the edge rule, or where the lands begin if that is farther in, with full outer gaps along them.
 */
export function coverRules(record: MachineRecord, lands: Lands, pitch: PitchRule): CoverRules {
  const radius = coverageLimit(pitch);
  const edge = record.machine.fixing.layout.edge[1];
  const half = pitch.outer / 2;
  const rows = landBehindEdges(lands).map((d) => Math.max(edge, d)) as unknown as CoverRules['edges'];
  const [front, right, back, left] = rows;
  const reach = (a: number, b: number): number => Math.min(radius, hypotenuse(a, b));
  return {
    board: lands.boardBox,
    radius,
    edges: [reach(front, half), reach(right, half), reach(back, half), reach(left, half)],
    corners: [reach(front, left), reach(front, right), reach(back, right), reach(back, left)],
    landDistance: landDistance(lands),
  };
}

/** Distance to the nearest land; the point of it that was met last is good enough where it is near enough. */
function landDistance(lands: Lands): CoverRules['landDistance'] {
  let last: Point | null = null;
  return (p, enough) => {
    if (last !== null) {
      const d = distance(last, p);
      if (d <= enough) return d;
    }
    last = lands.nearestActual(p);
    return last === null ? Number.POSITIVE_INFINITY : distance(last, p);
  };
}

/** Squares smaller than this are not divided any more when the farthest point from land is looked for, mm. */
const FINE = 0.5;
/** A farthest point is told this exactly, mm: no more is looked for once one is known. */
const CLOSE = 0.05;

/** A rectangle of the board by its middle and its half sides. */
interface Part {
  readonly at: Point;
  readonly hx: number;
  readonly hy: number;
}

/**
 * The point of the board that is farthest from any land, when some point is farther than `limit`; null when every point
 * of the board has land within it. By division of rectangles: one of whose points none can be farther is left out,
 * because distance grows no faster than the way.
 * @param besides single points that count as land too
 */
export function farthestFromLand(
  lands: Lands,
  limit: number,
  besides: readonly Point[] = [],
): { readonly at: Point; readonly distance: number } | null {
  const board = lands.boardBox;
  const corners = boxCorners(board);
  const toLand = landDistance(lands);
  const to = (p: Point, enough: number): number =>
    besides.reduce((least, q) => Math.min(least, distance(q, p)), toLand(p, enough));
  let worst: { at: Point; distance: number } | null = null;
  let beyond = limit;
  const look = (at: Point, half: number): number => {
    const near = to(at, beyond - half);
    if (near > beyond) {
      worst = { at, distance: near };
      beyond = near;
    }
    return near;
  };
  for (const c of corners) look(c, 0);
  let parts = tiled(board, Math.max(limit / 3, 1));
  while (parts.length > 0) {
    // All middles first: a far one leaves out most of the others.
    const seen = parts.map((part) => {
      const half = hypotenuse(part.hx, part.hy);
      return { part, half, near: look(part.at, half) };
    });
    const enough = beyond + (worst === null ? 0 : CLOSE);
    parts = seen.flatMap(({ part, half, near }) =>
      near + half <= enough || half < FINE ? [] : divided(part),
    );
  }
  return worst;
}

function tiled(box: Box, side: number): Part[] {
  const nx = Math.ceil((box.maxX - box.minX) / side);
  const ny = Math.ceil((box.maxY - box.minY) / side);
  const [hx, hy] = [(box.maxX - box.minX) / nx / 2, (box.maxY - box.minY) / ny / 2];
  const out: Part[] = [];
  for (let i = 0; i < nx; i++) {
    for (let j = 0; j < ny; j++) {
      out.push({ at: [box.minX + (2 * i + 1) * hx, box.minY + (2 * j + 1) * hy], hx, hy });
    }
  }
  return out;
}

function divided({ at, hx, hy }: Part): Part[] {
  return [-1, 1].flatMap((sx) =>
    [-1, 1].map(
      (sy): Part => ({ at: [at[0] + (sx * hx) / 2, at[1] + (sy * hy) / 2], hx: hx / 2, hy: hy / 2 }),
    ),
  );
}
