import type { Solid } from '../scene/solid.ts';
import { planDistance, regionDistance } from '../scene/solid.ts';

/** An upright cylinder that moves with the cutter: `from` and `to` are heights above the tip. */
export interface Turning {
  readonly name: string;
  readonly radius: number;
  readonly from: number;
  readonly to: number;
}

export interface Approach {
  readonly solid: Solid;
  /** mm; 0 or less: they meet (less the solid's uncertainty of place). */
  readonly distance: number;
  readonly motion: number;
  readonly part: string;
  readonly x: number;
  readonly y: number;
  readonly z: number;
}

/** Beyond this an approach is of no interest, mm. */
const HORIZON = 40;

/** What one look at a solid's box costs, and one straight piece measured against it; an edge of its outline costs another. */
const STEPS_A_LOOK = 5;
const STEPS_A_PIECE = 100;
const STEPS_AN_EDGE = 40;

function edgesOf(rings: readonly { readonly length: number }[]): number {
  let edges = 0;
  for (const ring of rings) edges += ring.length;
  return edges * STEPS_AN_EDGE;
}

/** Remembers, for each solid, how near any turning part came to it. */
export class ProximityMap {
  private readonly solids: readonly Solid[];
  private readonly parts: readonly Turning[];
  private readonly best: (Approach | undefined)[];
  private readonly reach: number;
  /** Work that was done, see `Simulation.steps`. */
  steps = 0;

  constructor(solids: readonly Solid[], parts: readonly Turning[]) {
    this.solids = solids;
    this.parts = parts;
    this.best = new Array<Approach | undefined>(solids.length);
    this.reach = HORIZON + parts.reduce((m, p) => Math.max(m, p.radius), 0);
  }

  /**
   * Takes motion `i` into account, cut into straight pieces by `pieces`. Its box is looked at first, so that the many
   * chords of an arc are only made where a solid may be nearer than it has been.
   */
  addMotion(
    motion: number,
    box: { minX: number; minY: number; maxX: number; maxY: number; minZ: number; maxZ: number },
    pieces: (visit: (ax: number, ay: number, az: number, bx: number, by: number, bz: number) => void) => void,
  ): void {
    const r = this.reach;
    const near: number[] = [];
    for (let index = 0; index < this.solids.length; index++) {
      const solid = this.solids[index]!;
      const b = solid.box;
      if (box.maxX + r < b.minX || box.minX - r > b.maxX || box.maxY + r < b.minY || box.minY - r > b.maxY)
        continue;
      const best = this.best[index];
      // the tip is the lowest part: nothing can come nearer than the tip is above the solid
      if (box.minZ - solid.top > Math.min(HORIZON, best ? best.distance : Infinity)) continue;
      near.push(index);
    }
    this.steps += this.solids.length * STEPS_A_LOOK;
    if (near.length === 0) return;
    pieces((ax, ay, az, bx, by, bz) => {
      for (const index of near) {
        const b = this.solids[index]!.box;
        if (
          Math.max(ax, bx) + r < b.minX ||
          Math.min(ax, bx) - r > b.maxX ||
          Math.max(ay, by) + r < b.minY ||
          Math.min(ay, by) - r > b.maxY
        ) {
          continue;
        }
        this.measure(index, motion, ax, ay, az, bx, by, bz);
      }
    });
  }

  /**
   * Takes a motion into account that may pass anywhere in its box: a rapid of several axes that each run at their own
   * speed.
   */
  addRegion(
    motion: number,
    box: { minX: number; minY: number; maxX: number; maxY: number; minZ: number; maxZ: number },
  ): void {
    const r = this.reach;
    const middle = { x: (box.minX + box.maxX) / 2, y: (box.minY + box.maxY) / 2 };
    for (let index = 0; index < this.solids.length; index++) {
      const solid = this.solids[index]!;
      const b = solid.box;
      if (box.maxX + r < b.minX || box.minX - r > b.maxX || box.maxY + r < b.minY || box.minY - r > b.maxY)
        continue;
      const plan = regionDistance(solid, box) - solid.uncertainty;
      this.keep(index, plan, { motion, low: box.minZ, high: box.maxZ, ...middle });
    }
  }

  private measure(
    index: number,
    motion: number,
    ax: number,
    ay: number,
    az: number,
    bx: number,
    by: number,
    bz: number,
  ): void {
    const solid = this.solids[index]!;
    const dz = Math.abs(bz - az);
    const dxy = Math.sqrt((bx - ax) * (bx - ax) + (by - ay) * (by - ay));
    // where height changes along the way, short pieces keep "lowest point of the piece" honest
    const pieces =
      dz < 1e-9 || dxy < 1e-9 ? 1 : Math.min(4000, Math.max(1, Math.ceil(Math.min(dz, dxy) / 0.02)));
    this.steps +=
      pieces * (STEPS_A_PIECE + (solid.outline.form === 'rings' ? edgesOf(solid.outline.rings) : 0));
    for (let k = 0; k < pieces; k++) {
      const f0 = k / pieces;
      const f1 = (k + 1) / pieces;
      const x0 = ax + (bx - ax) * f0;
      const y0 = ay + (by - ay) * f0;
      const z0 = az + (bz - az) * f0;
      const x1 = ax + (bx - ax) * f1;
      const y1 = ay + (by - ay) * f1;
      const z1 = az + (bz - az) * f1;
      const plan = planDistance(solid, x0, y0, x1, y1) - solid.uncertainty;
      const low = Math.min(z0, z1);
      const high = Math.max(z0, z1);
      this.keep(index, plan, { motion, low, high, x: (x0 + x1) / 2, y: (y0 + y1) / 2 });
    }
  }

  /** Remembers how near each part comes to a solid whose outline is `plan` away from the axis, if it is the nearest yet. */
  private keep(
    index: number,
    plan: number,
    { motion, low, high, x, y }: { motion: number; low: number; high: number; x: number; y: number },
  ): void {
    const solid = this.solids[index]!;
    for (const part of this.parts) {
      const aside = plan - part.radius;
      const above = low + part.from - solid.top;
      const below = solid.bottom - (high + part.to);
      const apart = Math.max(above, below);
      const distance =
        aside > 0 && apart > 0 ? Math.sqrt(aside * aside + apart * apart) : Math.max(aside, apart);
      const best = this.best[index];
      if (distance < HORIZON && (!best || distance < best.distance)) {
        this.best[index] = { solid, distance, motion, part: part.name, x, y, z: low };
      }
    }
  }

  /** Nearest first. */
  approaches(): Approach[] {
    const list: Approach[] = [];
    for (const approach of this.best) if (approach) list.push(approach);
    return list.sort((a, b) => a.distance - b.distance || (a.solid.name < b.solid.name ? -1 : 1));
  }
}
