/** A point or vector in the plane, millimetres: `[x, y]`. */
export type Point = readonly [x: number, y: number];

/** An axis-aligned box, millimetres. */
export interface Box {
  readonly minX: number;
  readonly minY: number;
  readonly maxX: number;
  readonly maxY: number;
}

/** A closed ring of points without a repeated last point. */
export type Ring = readonly Point[];

/** One outer ring (counter-clockwise) and its holes (clockwise). */
export interface Polygon {
  readonly outer: Ring;
  readonly holes: readonly Ring[];
}

/** Any number of disjoint polygons: the result of every boolean operation. */
export type Region = readonly Polygon[];
