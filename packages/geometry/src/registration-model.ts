import type { Transform } from './transform.ts';
import type { Point } from './types.ts';

export type RegistrationModel = 'translation' | 'rigid' | 'similarity' | 'affine';

export interface PointPair {
  readonly id: string;
  readonly from: Point;
  readonly to: Point;
}

/** A mistake of scale that people make, for instance another unit: the measured set is `factor` times the nominal one. */
export interface ScaleSlip<Name extends string = string> {
  readonly name: Name;
  readonly factor: number;
}

/** How far one set of points may differ in shape from another: a machine is built to what its drawing says, nearly. */
export interface Shape {
  /** Largest difference of a scale from one, a share. */
  readonly stretch: number;
  /** Largest deviation from a right angle, radians. */
  readonly skew: number;
}

/**
 * A fit of one set of points onto another, with what can be said about its trustworthiness. `Slip`: names of the mistakes
 * of scale that were looked for.
 */
export interface Registration<Slip extends string = string> {
  readonly model: RegistrationModel;
  readonly transform: Transform;
  readonly residuals: readonly {
    readonly id: string;
    readonly dx: number;
    readonly dy: number;
    readonly length: number;
  }[];
  /** Degrees of freedom left over: 2n − parameters. 0: the fit cannot check itself. */
  readonly redundancy: number;
  /** Standard deviation of one coordinate as stated, and as the residuals say (null when redundancy is 0). */
  readonly sigmaStated: number;
  readonly sigmaFound: number | null;
  readonly rotation: number;
  readonly scaleX: number;
  readonly scaleY: number;
  /** Deviation from a right angle, radians. */
  readonly skew: number;
  /** Id of the point that fits far better when left out; null when none stands out. */
  readonly suspect: string | null;
  /** Whether the others by themselves tell the suspect from scatter; false: it is the likeliest explanation, no more. */
  readonly suspectIsSure: boolean;
  /** The residuals are greater than the stated sigma allows (chi-square, 1 %). */
  readonly contradicted: boolean;
  /** What the set looks like when it is not a plain fit: a mistake of scale by its name, a mirror image, two points exchanged. */
  readonly oddity: 'none' | Slip | 'mirrored' | { readonly swapped: readonly [string, string] };
  /** Position uncertainty at a `from` point, k = 2, mm. */
  readonly uncertaintyAt: (p: Point) => number;
}
