import type { Solid } from '../scene/solid.ts';
import { planDistance } from '../scene/solid.ts';

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

/** Remembers, for each solid, how near any turning part came to it. */
export class ProximityMap {
  private readonly solids: readonly Solid[];
  private readonly parts: readonly Turning[];
  private readonly best: (Approach | undefined)[];
  private readonly buckets = new Map<number, number[]>();
  private readonly bucket = 96;
  private readonly reach: number;
  private readonly highest: number;
  private readonly outer = { minX: Infinity, minY: Infinity, maxX: -Infinity, maxY: -Infinity };

  constructor(solids: readonly Solid[], parts: readonly Turning[]) {
    this.solids = solids;
    this.parts = parts;
    this.best = new Array<Approach | undefined>(solids.length);
    this.reach = HORIZON + parts.reduce((m, p) => Math.max(m, p.radius), 0);
    this.highest = solids.reduce((m, s) => Math.max(m, s.top), -Infinity);
    solids.forEach((solid, index) => {
      const b = solid.box;
      const o = this.outer;
      o.minX = Math.min(o.minX, b.minX);
      o.minY = Math.min(o.minY, b.minY);
      o.maxX = Math.max(o.maxX, b.maxX);
      o.maxY = Math.max(o.maxY, b.maxY);
      this.eachBucket(b.minX, b.minY, b.maxX, b.maxY, (key) => {
        const list = this.buckets.get(key);
        if (list) list.push(index);
        else this.buckets.set(key, [index]);
      });
    });
  }

  private eachBucket(
    minX: number,
    minY: number,
    maxX: number,
    maxY: number,
    visit: (key: number) => void,
  ): void {
    for (let j = Math.floor(minY / this.bucket); j <= Math.floor(maxY / this.bucket); j++) {
      for (let i = Math.floor(minX / this.bucket); i <= Math.floor(maxX / this.bucket); i++) {
        visit(i * 65536 + j);
      }
    }
  }

  /** Takes the straight move of the tip from a to b into account. */
  add(motion: number, ax: number, ay: number, az: number, bx: number, by: number, bz: number): void {
    if (this.solids.length === 0 || Math.min(az, bz) > this.highest + HORIZON) return;
    const r = this.reach;
    const o = this.outer;
    if (
      Math.max(ax, bx) + r < o.minX ||
      Math.max(ay, by) + r < o.minY ||
      Math.min(ax, bx) - r > o.maxX ||
      Math.min(ay, by) - r > o.maxY
    ) {
      return;
    }
    const span = Math.max(Math.abs(bx - ax), Math.abs(by - ay));
    if (span > 4000) {
      // a long diagonal would visit every bucket of its box: halve it
      const mx = (ax + bx) / 2;
      const my = (ay + by) / 2;
      const mz = (az + bz) / 2;
      this.add(motion, ax, ay, az, mx, my, mz);
      this.add(motion, mx, my, mz, bx, by, bz);
      return;
    }
    const seen = new Set<number>();
    this.eachBucket(
      Math.min(ax, bx) - r,
      Math.min(ay, by) - r,
      Math.max(ax, bx) + r,
      Math.max(ay, by) + r,
      (key) => {
        for (const index of this.buckets.get(key) ?? []) {
          if (seen.has(index)) continue;
          seen.add(index);
          this.measure(index, motion, ax, ay, az, bx, by, bz);
        }
      },
    );
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
      dz < 1e-9 || dxy < 1e-9 ? 1 : Math.min(400, Math.max(1, Math.ceil(Math.min(dz / 0.05, dxy / 0.05))));
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
      for (const part of this.parts) {
        const aside = plan - part.radius;
        const above = low + part.from - solid.top;
        const below = solid.bottom - (high + part.to);
        const apart = Math.max(above, below);
        const distance =
          aside > 0 && apart > 0 ? Math.sqrt(aside * aside + apart * apart) : Math.max(aside, apart);
        const best = this.best[index];
        if (distance < HORIZON && (!best || distance < best.distance)) {
          this.best[index] = {
            solid,
            distance,
            motion,
            part: part.name,
            x: (x0 + x1) / 2,
            y: (y0 + y1) / 2,
            z: low,
          };
        }
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
