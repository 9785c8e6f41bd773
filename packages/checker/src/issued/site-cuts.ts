import { UNITS } from '../simulation/height-field.ts';
import { forEachPiece } from '../simulation/motions.ts';
import type { Simulation } from '../simulation/simulate.ts';
import type { Site } from './hole-table.ts';

/** What one program did at one site, measured on its motions and on what the simulation left standing. */
export interface SiteCut {
  readonly site: Site;
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

/** Collects what happens at one site. */
class SiteCutBuilder {
  readonly site: Site;
  floor = Infinity;
  widest = 0;
  arrivals = 0;
  #floorLine: number;
  #widestLine: number;
  readonly #firstLine: number;
  #lastLine: number;
  #box = { minX: Infinity, maxX: -Infinity, minY: Infinity, maxY: -Infinity };
  #atFloor = false;

  constructor(site: Site, line: number) {
    this.site = site;
    this.#floorLine = line;
    this.#widestLine = line;
    this.#firstLine = line;
    this.#lastLine = line;
  }

  /** Takes in where a motion goes; `width` is twice what the cutter's rim reaches from the axis. */
  reach(line: number, way: Way, width: number): void {
    if (way.low < this.floor) {
      this.floor = way.low;
      this.#floorLine = line;
    }
    if (width > this.widest + 1e-9) {
      this.widest = width;
      this.#widestLine = line;
    }
    this.#box.minX = Math.min(this.#box.minX, way.minX);
    this.#box.maxX = Math.max(this.#box.maxX, way.maxX);
    this.#box.minY = Math.min(this.#box.minY, way.minY);
    this.#box.maxY = Math.max(this.#box.maxY, way.maxY);
    this.#lastLine = line;
  }

  /** Counts arrivals at the floor, once its height is known. */
  arriveAt(z: number): void {
    const low = z <= this.floor + 1e-6;
    if (low && !this.#atFloor) this.arrivals++;
    this.#atFloor = low;
  }

  finish(): SiteCut {
    const { minX, maxX, minY, maxY } = this.#box;
    return {
      site: this.site,
      floor: this.floor,
      floorLine: this.#floorLine,
      widest: this.widest,
      widestLine: this.#widestLine,
      middleX: (minX + maxX) / 2,
      middleY: (minY + maxY) / 2,
      arrivals: this.arrivals,
      firstLine: this.#firstLine,
      lastLine: this.#lastLine,
    };
  }
}

/** Where one motion goes. */
interface Way {
  readonly minX: number;
  readonly maxX: number;
  readonly minY: number;
  readonly maxY: number;
  /** Lowest tip height, mm above the bed. */
  readonly low: number;
  /** Farthest that the tip comes from the axis of the nearest site, mm. */
  readonly farthest: number;
}

/**
 * Sorts every motion that is in the material to the site it belongs to: the nearest one, when the whole motion stays
 * within `around` of its axis. Everything else is a stray cut.
 */
export function cutsBySite(
  simulation: Simulation,
  sites: readonly Site[],
  around: (site: Site) => number,
): { cuts: SiteCut[]; strays: StrayCut[] } {
  const { motions: m, inside, removed, cutter } = simulation;
  const builders = new Map<string, SiteCutBuilder>();
  const strays: StrayCut[] = [];
  const arrivals: { builder: SiteCutBuilder; z: number }[] = [];
  for (let i = 0; i < m.length; i++) {
    if (inside[i] !== 1 && !(removed[i]! > 0.005)) continue;
    const line = m.trace.line[i]!;
    const [x, y] = [m.toX(i), m.toY(i)];
    const nearest = nearestSite(sites, x, y);
    const way = wayOf(simulation, i, nearest);
    if (!nearest || way.farthest > around(nearest)) {
      strays.push({ line, x, y, z: way.low, nearest: nearest?.site ?? 'none', distance: way.farthest });
      continue;
    }
    let builder = builders.get(nearest.site);
    if (!builder) {
      builder = new SiteCutBuilder(nearest, line);
      builders.set(nearest.site, builder);
    }
    builder.reach(line, way, 2 * (way.farthest + cutter.shape.radius));
    arrivals.push({ builder, z: m.toZ(i) });
  }
  for (const { builder, z } of arrivals) builder.arriveAt(z);
  return { cuts: [...builders.values()].map((builder) => builder.finish()), strays };
}

function nearestSite(sites: readonly Site[], x: number, y: number): Site | null {
  let nearest: Site | null = null;
  let least = Infinity;
  for (const site of sites) {
    const d2 = (site.x - x) * (site.x - x) + (site.y - y) * (site.y - y);
    if (d2 < least) {
      least = d2;
      nearest = site;
    }
  }
  return nearest;
}

function wayOf({ motions: m }: Simulation, motion: number, site: Site | null): Way {
  const way = {
    minX: Infinity,
    maxX: -Infinity,
    minY: Infinity,
    maxY: -Infinity,
    low: Infinity,
    farthest: 0,
  };
  let far2 = 0;
  forEachPiece(m, motion, 0.0005, (ax, ay, az, bx, by, bz) => {
    if (site) {
      const da = (ax - site.x) * (ax - site.x) + (ay - site.y) * (ay - site.y);
      const db = (bx - site.x) * (bx - site.x) + (by - site.y) * (by - site.y);
      far2 = Math.max(far2, da, db);
    }
    way.minX = Math.min(way.minX, ax, bx);
    way.maxX = Math.max(way.maxX, ax, bx);
    way.minY = Math.min(way.minY, ay, by);
    way.maxY = Math.max(way.maxY, ay, by);
    way.low = Math.min(way.low, az, bz);
  });
  return { ...way, farthest: Math.sqrt(far2) };
}

/** What stands in and around one round cut after the program, from the height field. */
export interface RoundMeasure {
  /** Diameter of the circle whose area is that of the cells at the floor, mm. */
  readonly floorDiameter: number;
  /** Highest material inside `within` of the axis, mm above the bed. */
  readonly highestInside: number;
  readonly cell: number;
}

/** What to measure about an axis, mm. */
interface RoundQuestion {
  /** Cells no higher than this above the bed count as floor. */
  readonly floor: number;
  /** How far from the axis cells are counted. */
  readonly reach: number;
  /** How far from the axis standing material is looked for. */
  readonly within: number;
}

/** Measures a round cut about a site; null when nothing was simulated in cells. */
export function measureRound(
  { field }: Simulation,
  { x, y }: Site,
  { floor, reach, within }: RoundQuestion,
): RoundMeasure | null {
  if (!field) return null;
  const { cell } = field;
  const limit = Math.round(floor * UNITS);
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
