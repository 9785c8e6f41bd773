import Flatbush from 'flatbush';
import { distance, hypotenuse } from './numbers.ts';
import { ON_BOUNDARY, ringsOf } from './region.ts';
import type { Point, Region, Ring } from './types.ts';

/** One answer: whose feature, how far its boundary is (negative when the point is inside it), and where. */
export interface NearestFeature<T> {
  readonly value: T;
  readonly distance: number;
  readonly at: Point;
}

/**
 * Answers "which feature is nearest, how far, where" in microseconds. Distances are to the features'
 * boundaries and negative inside a feature, so of two features that contain the point the one it lies
 * deepest in counts as nearest. Ties go to the feature listed first. Empty regions are never found.
 */
export class FeatureIndex<T> {
  readonly #values: T[] = [];
  readonly #owner: Int32Array;
  /** Per segment: x1 y1 x2 y2. */
  readonly #segments: Float64Array;
  readonly #tree: Flatbush | null;
  readonly #boxes: Flatbush | null;
  readonly #boxOwner: number[] = [];
  readonly #slabs: Slabs[] = [];
  readonly #trees: (Flatbush | null)[] = [];
  readonly #firstSegment: number[] = [];

  /** @throws RangeError when a coordinate is not finite */
  constructor(items: readonly { readonly region: Region; readonly value: T }[]) {
    const coordinates: number[] = [];
    const owners: number[] = [];
    items.forEach((item, k) => {
      this.#values.push(item.value);
      this.#firstSegment.push(owners.length);
      for (const ring of ringsOf(item.region)) pushRing(ring, k, coordinates, owners);
    });
    this.#firstSegment.push(owners.length);
    this.#segments = Float64Array.from(coordinates);
    this.#owner = Int32Array.from(owners);
    this.#tree = buildTree(this.#segments, 0, owners.length);
    const filled: number[] = [];
    for (let k = 0; k < items.length; k++) {
      const from = this.#firstSegment[k]!;
      const to = this.#firstSegment[k + 1]!;
      this.#slabs.push(new Slabs(this.#segments, from, to));
      this.#trees.push(null);
      if (to > from) filled.push(k);
    }
    this.#boxOwner = filled;
    this.#boxes = filled.length === 0 ? null : new Flatbush(filled.length);
    for (const k of filled) {
      const s = this.#slabs[k]!;
      this.#boxes!.add(s.minX, s.minY, s.maxX, s.maxY);
    }
    this.#boxes?.finish();
  }

  /** The nearest feature, or null when there is none. */
  nearest(p: Point): NearestFeature<T> | null {
    return this.#find(p, null);
  }

  /** The nearest of the features whose value passes the predicate, or null when none does. */
  nearestOf(p: Point, predicate: (value: T) => boolean): NearestFeature<T> | null {
    const verdicts = new Int8Array(this.#values.length);
    return this.#find(p, (k) => {
      if (verdicts[k] === 0) verdicts[k] = predicate(this.#values[k]!) ? 1 : -1;
      return verdicts[k] === 1;
    });
  }

  /** Every feature whose boundary is within `radius` or that contains p, nearest first. */
  within(p: Point, radius: number): NearestFeature<T>[] {
    checkPoint(p);
    const found = new Map<number, { d: number; at: Point }>();
    if (this.#tree !== null && radius >= 0) {
      for (const i of around(this.#tree, p, radius)) {
        const at = this.#onSegment(i, p);
        const d = distance(at, p);
        const k = this.#owner[i]!;
        const known = found.get(k);
        if (d <= radius && (known === undefined || d < known.d)) found.set(k, { d, at });
      }
    }
    for (const k of this.#containing(p)) {
      const own = this.#boundaryOf(k, p);
      found.set(k, { d: -own.d, at: own.at });
    }
    return [...found.entries()]
      .sort((a, b) => a[1].d - b[1].d || a[0] - b[0])
      .map(([k, { d, at }]) => ({ value: this.#values[k]!, distance: d + 0, at }));
  }

  #find(p: Point, accept: ((k: number) => boolean) | null): NearestFeature<T> | null {
    checkPoint(p);
    if (this.#tree === null) return null;
    let best = -1;
    let least = Infinity;
    let where: Point = p;
    for (const k of this.#containing(p)) {
      if (accept !== null && !accept(k)) continue;
      const own = this.#boundaryOf(k, p);
      if (-own.d < least || (-own.d === least && k < best)) {
        best = k;
        least = -own.d;
        where = own.at;
      }
    }
    if (best < 0) {
      // Any segment gives a bound; the boxes of nearby segments give a good one. Then all within it are compared.
      const bySegment = accept === null ? undefined : (i: number) => accept(this.#owner[i]!);
      const start = this.#tree.neighbors(p[0], p[1], 1, Infinity, bySegment)[0];
      if (start === undefined) return null;
      best = this.#owner[start]!;
      where = this.#onSegment(start, p);
      least = distance(where, p);
      for (const i of around(this.#tree, p, least)) {
        const k = this.#owner[i]!;
        if (accept !== null && !accept(k)) continue;
        const at = this.#onSegment(i, p);
        const d = distance(at, p);
        if (d < least || (d === least && k < best)) {
          best = k;
          least = d;
          where = at;
        }
      }
    }
    return { value: this.#values[best]!, distance: least + 0, at: where };
  }

  /** Items that contain p or have it on their boundary. */
  #containing(p: Point): number[] {
    if (this.#boxes === null) return [];
    const hits: number[] = [];
    const e = ON_BOUNDARY;
    for (const i of this.#boxes.search(p[0] - e, p[1] - e, p[0] + e, p[1] + e)) {
      const k = this.#boxOwner[i]!;
      if (this.#slabs[k]!.contains(p[0], p[1])) hits.push(k);
    }
    return hits;
  }

  #boundaryOf(k: number, p: Point): { d: number; at: Point } {
    const from = this.#firstSegment[k]!;
    const to = this.#firstSegment[k + 1]!;
    let least = Infinity;
    let at: Point = p;
    const visit = (i: number): void => {
      const q = this.#onSegment(i, p);
      const d = distance(q, p);
      if (d < least) {
        least = d;
        at = q;
      }
    };
    if (to - from <= 32) {
      for (let i = from; i < to; i++) visit(i);
      return { d: least, at };
    }
    let tree = this.#trees[k];
    if (!tree) {
      tree = buildTree(this.#segments, from, to)!;
      this.#trees[k] = tree;
    }
    visit(from + tree.neighbors(p[0], p[1], 1)[0]!);
    for (const i of around(tree, p, least)) visit(from + i);
    return { d: least, at };
  }

  #onSegment(i: number, p: Point): Point {
    const s = this.#segments;
    const ax = s[4 * i]!;
    const ay = s[4 * i + 1]!;
    const dx = s[4 * i + 2]! - ax;
    const dy = s[4 * i + 3]! - ay;
    const length2 = dx * dx + dy * dy;
    const t = length2 === 0 ? 0 : ((p[0] - ax) * dx + (p[1] - ay) * dy) / length2;
    if (t <= 0) return [ax, ay];
    if (t >= 1) return [s[4 * i + 2]!, s[4 * i + 3]!];
    return [ax + t * dx, ay + t * dy];
  }
}

/** Edges of one region sorted into horizontal strips, so that a containment test looks at one strip only. */
class Slabs {
  minX = Infinity;
  minY = Infinity;
  maxX = -Infinity;
  maxY = -Infinity;
  readonly #segments: Float64Array;
  readonly #from: number;
  readonly #to: number;
  #height = 0;
  #strips: Int32Array[] | null = null;

  constructor(segments: Float64Array, from: number, to: number) {
    this.#segments = segments;
    this.#from = from;
    this.#to = to;
    for (let i = 4 * from; i < 4 * to; i += 2) {
      this.minX = Math.min(this.minX, segments[i]!);
      this.maxX = Math.max(this.maxX, segments[i]!);
      this.minY = Math.min(this.minY, segments[i + 1]!);
      this.maxY = Math.max(this.maxY, segments[i + 1]!);
    }
  }

  contains(x: number, y: number): boolean {
    const e = ON_BOUNDARY;
    if (x < this.minX - e || x > this.maxX + e || y < this.minY - e || y > this.maxY + e) return false;
    const strips = this.#strips ?? this.#build();
    const strip =
      strips[Math.min(strips.length - 1, Math.max(0, Math.floor((y - this.minY) / this.#height)))]!;
    const s = this.#segments;
    let inside = false;
    for (let n = 0; n < strip.length; n++) {
      const i = 4 * strip[n]!;
      const ax = s[i]!;
      const ay = s[i + 1]!;
      const bx = s[i + 2]!;
      const by = s[i + 3]!;
      if (
        x >= Math.min(ax, bx) - e &&
        x <= Math.max(ax, bx) + e &&
        y >= Math.min(ay, by) - e &&
        y <= Math.max(ay, by) + e
      ) {
        const dx = bx - ax;
        const dy = by - ay;
        const length = hypotenuse(dx, dy);
        if (Math.abs((x - ax) * dy - (y - ay) * dx) <= e * length) return true;
      }
      if (ay > y !== by > y && x < ax + ((y - ay) / (by - ay)) * (bx - ax)) inside = !inside;
    }
    return inside;
  }

  #build(): Int32Array[] {
    const n = this.#to - this.#from;
    const count = Math.max(1, Math.min(512, n >> 2));
    this.#height = (this.maxY - this.minY) / count || 1;
    const lists: number[][] = Array.from({ length: count }, () => []);
    for (let i = this.#from; i < this.#to; i++) {
      const low = Math.min(this.#segments[4 * i + 1]!, this.#segments[4 * i + 3]!) - 2 * ON_BOUNDARY;
      const high = Math.max(this.#segments[4 * i + 1]!, this.#segments[4 * i + 3]!) + 2 * ON_BOUNDARY;
      const first = Math.max(0, Math.floor((low - this.minY) / this.#height));
      const last = Math.min(count - 1, Math.floor((high - this.minY) / this.#height));
      for (let k = first; k <= last; k++) lists[k]!.push(i);
    }
    this.#strips = lists.map((list) => Int32Array.from(list));
    return this.#strips;
  }
}

function pushRing(ring: Ring, owner: number, coordinates: number[], owners: number[]): void {
  let a = ring[ring.length - 1];
  for (const b of ring) {
    if (!Number.isFinite(b[0]) || !Number.isFinite(b[1])) {
      throw new RangeError(
        `feature ${owner} has a corner at [${b[0]}, ${b[1]}]: expected finite coordinates`,
      );
    }
    coordinates.push(a![0], a![1], b[0], b[1]);
    owners.push(owner);
    a = b;
  }
}

function buildTree(segments: Float64Array, from: number, to: number): Flatbush | null {
  if (to <= from) return null;
  const tree = new Flatbush(to - from, 8);
  for (let i = from; i < to; i++) {
    const x1 = segments[4 * i]!;
    const y1 = segments[4 * i + 1]!;
    const x2 = segments[4 * i + 2]!;
    const y2 = segments[4 * i + 3]!;
    tree.add(Math.min(x1, x2), Math.min(y1, y2), Math.max(x1, x2), Math.max(y1, y2));
  }
  tree.finish();
  return tree;
}

/** Segments whose box comes within `radius`; a little more, so that rounding of the box loses none. */
function around(tree: Flatbush, p: Point, radius: number): number[] {
  const r = radius * (1 + 1e-12) + ON_BOUNDARY;
  return tree.search(p[0] - r, p[1] - r, p[0] + r, p[1] + r);
}

function checkPoint(p: Point): void {
  if (!Number.isFinite(p[0]) || !Number.isFinite(p[1])) {
    throw new RangeError(`query at [${p[0]}, ${p[1]}]: expected finite coordinates`);
  }
}
