import type { Cutter } from '@bedledger/fleet';

/**
 * The turned outline of a cutter's lower end, mm.
 * `rise(d)` of the three forms, d being the distance from the axis, d ≤ radius:
 * flat 0; cone d·slope; ball radius − √(radius² − d²).
 */
export interface CutterShape {
  readonly form: 'flat' | 'cone' | 'ball';
  readonly radius: number;
  /** Rise per millimetre from the axis, cone only. */
  readonly slope: number;
  /** Height of the point: how far the full diameter stands above the tip. */
  readonly pointLength: number;
}

/** A cylinder of the given diameter. Throws RangeError when it is not a positive length. */
export function flatShape(diameter: number): CutterShape {
  if (!(diameter > 0 && Number.isFinite(diameter))) {
    throw new RangeError(`cutter diameter must be a positive length in mm, found ${diameter}`);
  }
  return { form: 'flat', radius: diameter / 2, slope: 0, pointLength: 0 };
}

/**
 * Shape of a cutter of the shared list. A point angle of 180° is flat; a point of angle α rises by cot(α/2) per
 * millimetre from the axis (118°: 0.30043·D, as handbooks tabulate).
 */
export function shapeOf(cutter: Cutter): CutterShape {
  const flat = flatShape(cutter.diameter);
  if (cutter.kind === 'ball') return { ...flat, form: 'ball', pointLength: flat.radius };
  const pointed = cutter.kind === 'drill' || cutter.kind === 'v-point';
  if (!pointed || !(cutter.pointAngle > 0 && cutter.pointAngle < 180)) return flat;
  const slope = 1 / Math.tan((cutter.pointAngle * Math.PI) / 360);
  return { form: 'cone', radius: flat.radius, slope, pointLength: slope * flat.radius };
}

/** Half the width of the cutter at `height` above its tip, mm; 0 at the tip of a pointed one, the radius above the point. */
export function radiusAt({ form, radius, slope }: CutterShape, height: number): number {
  if (form === 'flat') return radius;
  const h = Math.max(0, height);
  if (form === 'cone') return h >= slope * radius ? radius : h / slope;
  return h >= radius ? radius : Math.sqrt(h * (2 * radius - h));
}
