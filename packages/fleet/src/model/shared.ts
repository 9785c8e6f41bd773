import type { Severity, Units } from '@bedledger/diagnostics';
import type { StackRules } from '@bedledger/fasteners';

export const CUTTER_KINDS = [
  'end-mill-up',
  'end-mill-down',
  'end-mill-straight',
  'drill',
  'surfacing',
  'v-point',
  'ball',
] as const;
export type CutterKind = (typeof CUTTER_KINDS)[number];

export interface Cutter {
  readonly id: string;
  readonly title: string;
  readonly kind: CutterKind;
  readonly diameter: number;
  readonly cuttingLength: number;
  /** From the collet's face to the tip as usually set; null unknown. */
  readonly stickOut: number | null;
  readonly shankDiameter: number;
  readonly flutes: number;
  readonly canPlunge: boolean;
  /** Marked on the cutter, rpm; null when not marked. */
  readonly maxRpm: number | null;
  /** Full point angle, degrees: drills and v-points. 180 = flat. */
  readonly pointAngle: number;
  /** mm per tooth, by material. */
  readonly chipLoad: Readonly<Record<string, readonly [number, number]>>;
  /** Tool number where the controller wants one. */
  readonly number: number;
}

export interface BoardStock {
  readonly id: string;
  readonly title: string;
  readonly material: string;
  readonly thickness: number;
  readonly sheet: readonly [number, number];
  /** Bending modulus, GPa, and Poisson's ratio. */
  readonly modulus: number;
  readonly poisson: number;
  /** kg/m³. */
  readonly density: number;
  /** m²; null: never calibrated. */
  readonly permeability: number | null;
}

export interface House {
  readonly stack: StackRules;
  /** Wall the bed must keep around an insert, as a multiple of the insert's outside diameter. */
  readonly insertWall: number;
  /** Extra distance kept from grooves, ports and keep-outs, mm. */
  readonly landMargin: number;
  /** Plate load for the default pitch: Pa, and allowed deflection, mm. */
  readonly lift: { readonly pressure: number; readonly deflection: number };
  readonly survey: {
    /** Standard deviation of one measured coordinate, mm. */
    readonly sigma: number;
    /** Largest residual that is accepted, mm. */
    readonly limit: number;
    /** Largest difference of a scale from that of the drawing that is believed, a share. */
    readonly stretch: number;
    /** Largest deviation from a right angle that is believed, radians. */
    readonly skew: number;
  };
  readonly thicknessUncertainty: number;
  /** How far Z 0 may lie from the bed surface where it was set, mm. */
  readonly zZeroError: number;
  /** How far places of the bed surface lie above or below the place where Z 0 was set, mm. */
  readonly bedUnevenness: number;
  /** Drills at hand for holes in boards, mm, ascending; by the units of the machines that they are for. */
  readonly drills: Readonly<Record<Units, readonly number[]>>;
  readonly feed: {
    readonly plungeShare: number;
    /** Steepest ramp or helix, radians. */
    readonly rampAngle: number;
    readonly powerShare: number;
    readonly specificForce: number;
  };
  /** Steepest plane that surfacing may follow, radians. */
  readonly surfacing: { readonly maxTilt: number };
  /** Minutes of hand time by kind of step. */
  readonly handTime: Readonly<Record<string, number>>;
  /** Spare share for the bill of materials, 0.1 = 10 %. */
  readonly spares: number;
  readonly friction: number;
  /** Rules whose severity the house raises. */
  readonly raise: Readonly<Record<string, Severity>>;
}
