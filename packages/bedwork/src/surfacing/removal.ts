import { type Plane, planeAt, planeUnder } from './plane-under.ts';

/** What a skim starts from. */
export type SkimSource =
  | {
      readonly kind: 'map';
      readonly file: string;
      readonly points: readonly (readonly [number, number, number])[];
      /** How far the true surface may be from what the points interpolate, mm. */
      readonly interpolationError: number;
      /** Places that the map says nothing of, as high as the board may stand there. */
      readonly unmeasured: readonly (readonly [number, number, number])[];
    }
  | {
      readonly kind: 'stated';
      /** Highest and lowest thickness measured, mm. */
      readonly highest: number;
      readonly lowest: number;
      readonly depth: number;
    };

export interface SkimRules {
  readonly margin: number;
  readonly depthPerPass: number;
  /** Greatest slope of the finished plane, rad; 0: level. */
  readonly maxTilt: number;
  readonly centre: readonly [number, number];
}

/** The removal that a height map or a stated depth leads to, mm above the bed. */
export interface Removal {
  readonly source: SkimSource;
  readonly target: Plane;
  readonly highest: number;
  readonly lowest: number;
  /** Margin actually applied: the profile's and the interpolation error. */
  readonly margin: number;
  /** Most and mean depth taken off. */
  readonly most: number;
  readonly mean: number;
  readonly passes: number;
  readonly perPass: number;
}

/**
 * Target plane, depth and number of equal passes of a skim.
 *
 * From a map: target = z_min − margin (level), or the highest plane under all points within the tilt limit, less the
 * margin; R = greatest height over the target, measured or possible; passes ⌈R/a_p⌉, equal. From a stated depth: the target is that far
 * below the lowest measured thickness, and the first pass still meets the highest.
 */
export function planRemoval(source: SkimSource, rules: SkimRules): Removal {
  if (!(rules.depthPerPass > 0)) {
    throw new RangeError('the depth per pass must be greater than 0');
  }
  if (!(rules.margin >= 0)) throw new RangeError('the margin must be 0 or more');
  let target: Plane;
  let most = 0;
  let mean = 0;
  let highest: number;
  let lowest: number;
  let margin: number;
  if (source.kind === 'stated') {
    if (!(source.depth > 0)) throw new RangeError('the stated depth must be greater than 0');
    ({ highest, lowest } = source);
    margin = 0;
    target = { a: lowest - source.depth, b: 0, c: 0 };
    most = highest - target.a;
    mean = (highest + lowest) / 2 - target.a;
  } else {
    const { points } = source;
    margin = rules.margin + source.interpolationError;
    const under = planeUnder(points, rules.maxTilt, rules.centre);
    target = { a: under.a - margin, b: under.b, c: under.c };
    highest = Number.NEGATIVE_INFINITY;
    lowest = Number.POSITIVE_INFINITY;
    let sum = 0;
    for (const [x, y, z] of points) {
      const depth = z - planeAt(target, x, y);
      if (depth > most) most = depth;
      sum += depth;
      if (z > highest) highest = z;
      if (z < lowest) lowest = z;
    }
    mean = sum / points.length;
    // The first pass meets the thickest that may stand where nobody measured.
    for (const [x, y, z] of source.unmeasured) {
      most = Math.max(most, z - planeAt(target, x, y));
      highest = Math.max(highest, z);
    }
  }
  const passes = Math.max(1, Math.ceil(most / rules.depthPerPass - 1e-9));
  return { source, target, highest, lowest, margin, most, mean, passes, perPass: most / passes };
}
