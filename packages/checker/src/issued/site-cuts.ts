import { UNITS } from '../simulation/height-field.ts';
import { forEachPiece } from '../simulation/motions.ts';
import type { Simulation } from '../simulation/simulate.ts';
import { RAPID } from '../trace.ts';
import type { HoleRow } from './hole-table.ts';

/** What one program did at one site, measured on its motions and on what the simulation left standing. */
export interface SiteCut {
  readonly hole: HoleRow;
  /** Lowest tip height, mm above the bed. */
  readonly floor: number;
  readonly floorLine: number;
  /** Twice the farthest that the cutter's rim came from the site's axis, mm. */
  readonly widest: number;
  readonly widestLine: number;
  /** Middle of the path's box below the material's top, mm. */
  readonly middleX: number;
  readonly middleY: number;
  /** How many times the tip arrived at the floor from above. */
  readonly arrivals: number;
  readonly firstLine: number;
  readonly lastLine: number;
}

export interface StrayCut {
  readonly line: number;
  readonly x: number;
  readonly y: number;
  readonly z: number;
  readonly nearest: string;
  readonly distance: number;
}

interface Building {
  hole: HoleRow;
  floor: number;
  floorLine: number;
  widest: number;
  widestLine: number;
  minX: number;
  maxX: number;
  minY: number;
  maxY: number;
  arrivals: number;
  low: boolean;
  firstLine: number;
  lastLine: number;
}

/**
 * Sorts every motion that is in the material to the site it belongs to: the nearest one, when the whole motion stays
 * within `around` of its axis. Everything else is a stray cut.
 */
export function cutsBySite(
  simulation: Simulation,
  holes: readonly HoleRow[],
  around: (hole: HoleRow) => number,
): { cuts: SiteCut[]; strays: StrayCut[] } {
  const { motions: m, inside, removed, cutter } = simulation;
  const r = cutter.shape.radius;
  const found = new Map<string, Building>();
  const strays: StrayCut[] = [];

  for (let pass = 0; pass < 2; pass++) {
    // first pass: the lowest height of every site; second: arrivals at it
    for (let i = 0; i < m.length; i++) {
      const line = m.trace.line[i]!;
      const touches = inside[i] === 1 || removed[i]! > 0.005;
      if (!touches) continue;
      const x = m.toX(i);
      const y = m.toY(i);
      let nearest: HoleRow | null = null;
      let least = Infinity;
      for (const hole of holes) {
        const d2 = (hole.x - x) * (hole.x - x) + (hole.y - y) * (hole.y - y);
        if (d2 < least) {
          least = d2;
          nearest = hole;
        }
      }
      let farthest = 0;
      let minX = Infinity;
      let maxX = -Infinity;
      let minY = Infinity;
      let maxY = -Infinity;
      let low = Infinity;
      forEachPiece(m, i, 0.0005, (ax, ay, az, bx, by, bz) => {
        if (nearest) {
          const da = (ax - nearest.x) * (ax - nearest.x) + (ay - nearest.y) * (ay - nearest.y);
          const db = (bx - nearest.x) * (bx - nearest.x) + (by - nearest.y) * (by - nearest.y);
          farthest = Math.max(farthest, da, db);
        }
        minX = Math.min(minX, ax, bx);
        maxX = Math.max(maxX, ax, bx);
        minY = Math.min(minY, ay, by);
        maxY = Math.max(maxY, ay, by);
        low = Math.min(low, az, bz);
      });
      farthest = Math.sqrt(farthest);
      if (!nearest || farthest > around(nearest)) {
        if (pass === 0) {
          strays.push({
            line,
            x,
            y,
            z: low,
            nearest: nearest?.site ?? 'none',
            distance: farthest,
          });
        }
        continue;
      }
      let b = found.get(nearest.site);
      if (!b) {
        b = {
          hole: nearest,
          floor: Infinity,
          floorLine: line,
          widest: 0,
          widestLine: line,
          minX: Infinity,
          maxX: -Infinity,
          minY: Infinity,
          maxY: -Infinity,
          arrivals: 0,
          low: false,
          firstLine: line,
          lastLine: line,
        };
        found.set(nearest.site, b);
      }
      if (pass === 0) {
        if (low < b.floor) {
          b.floor = low;
          b.floorLine = line;
        }
        const wide = 2 * (farthest + r);
        if (wide > b.widest + 1e-9) {
          b.widest = wide;
          b.widestLine = line;
        }
        b.minX = Math.min(b.minX, minX);
        b.maxX = Math.max(b.maxX, maxX);
        b.minY = Math.min(b.minY, minY);
        b.maxY = Math.max(b.maxY, maxY);
        b.lastLine = line;
      } else {
        const isLow = m.toZ(i) <= b.floor + 1e-6;
        if (isLow && !b.low && m.trace.kind[i] !== RAPID) b.arrivals++;
        if (isLow && !b.low && m.trace.kind[i] === RAPID) b.arrivals++;
        b.low = isLow;
      }
    }
  }
  const cuts = [...found.values()].map(
    (b): SiteCut => ({
      hole: b.hole,
      floor: b.floor,
      floorLine: b.floorLine,
      widest: b.widest,
      widestLine: b.widestLine,
      middleX: (b.minX + b.maxX) / 2,
      middleY: (b.minY + b.maxY) / 2,
      arrivals: b.arrivals,
      firstLine: b.firstLine,
      lastLine: b.lastLine,
    }),
  );
  return { cuts, strays };
}

/** What stands in and around one round cut after the program, from the height field. */
export interface RoundMeasure {
  /** Diameter of the circle whose area is that of the cells at the floor, mm. */
  readonly floorDiameter: number;
  /** Highest material inside `within` of the axis, mm above the bed. */
  readonly highestInside: number;
  readonly cell: number;
}

/** Measures a round cut about (x, y): cells no higher than `floor` + `slack` within `reach`, and what stands inside `within`. */
export function measureRound(
  simulation: Simulation,
  x: number,
  y: number,
  floor: number,
  slack: number,
  reach: number,
  within: number,
): RoundMeasure | null {
  const field = simulation.field;
  if (!field) return null;
  const { cell } = field;
  const limit = Math.round((floor + slack) * UNITS);
  let count = 0;
  let highest = -Infinity;
  const c0 = Math.floor((x - reach - field.x0) / cell);
  const c1 = Math.ceil((x + reach - field.x0) / cell);
  const r0 = Math.floor((y - reach - field.y0) / cell);
  const r1 = Math.ceil((y + reach - field.y0) / cell);
  for (let row = r0; row <= r1; row++) {
    const dy = field.y0 + (row + 0.5) * cell - y;
    for (let column = c0; column <= c1; column++) {
      const dx = field.x0 + (column + 0.5) * cell - x;
      const d2 = dx * dx + dy * dy;
      if (d2 > reach * reach) continue;
      const height = field.heightAt(column, row);
      if (height <= limit) count++;
      if (d2 <= within * within && height > highest) highest = height;
    }
  }
  return {
    floorDiameter: 2 * Math.sqrt((count * cell * cell) / Math.PI),
    highestInside: highest / UNITS,
    cell,
  };
}
