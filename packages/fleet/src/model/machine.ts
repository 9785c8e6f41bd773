import type { Units } from '@bedledger/diagnostics';
import type { Point } from '@bedledger/geometry';
import type { Controller } from './controller.ts';
import type { Shape } from './shape.ts';

/**
 * What a cutter is named for in a profile: holes in the board, socket pockets, surfacing, marks on the bed, the edges,
 * the rims of the pockets.
 */
export const DUTIES = ['drill', 'pocket', 'surface', 'mark', 'trim', 'rim'] as const;
export type Duty = (typeof DUTIES)[number];

/** Duties that a profile may leave without a cutter. */
type OptionalDuty = Extract<Duty, 'trim' | 'rim'>;

/** Where programs have their Z 0. */
export const Z_ZEROS = ['bed', 'board-top'] as const;
export type ZZero = (typeof Z_ZEROS)[number];

/** How sites are placed: rows and columns, least sites that still cover, or positions written out. */
export const LAYOUT_PATTERNS = ['aligned', 'fewest', 'given'] as const;
export type LayoutPattern = (typeof LAYOUT_PATTERNS)[number];

/** Order and direction of the rows of a surfacing. */
export const SURFACING_STYLES = ['serpentine', 'one-way-climb', 'one-way-conventional', 'inward'] as const;
export type SurfacingStyle = (typeof SURFACING_STYLES)[number];

/** Inclusive range `[least, greatest]`. */
export type Range = readonly [number, number];

export interface GrooveGrid {
  readonly kind: 'grid';
  readonly pitch: Point;
  readonly width: number;
  readonly depth: number;
  /** First groove centre line from the zone's lower-left corner of its box. Default: the grid is centred in the box. */
  readonly offset?: Point;
}
export interface GrooveChannels {
  readonly kind: 'channels';
  readonly channels: readonly {
    readonly points: readonly Point[];
    readonly width: number;
    readonly depth: number;
  }[];
}
export type Grooves = GrooveGrid | GrooveChannels | { readonly kind: 'none' };

export interface Port {
  readonly at: Point;
  readonly diameter: number;
}

export interface Gasket {
  /** Centre line of the channel; default: the zone's outline moved in by `inset`. */
  readonly path?: readonly Point[];
  readonly inset: number;
  readonly width: number;
  readonly depth: number;
  readonly cord?: { readonly form: 'round' | 'square'; readonly size: number };
}

export interface Zone {
  readonly id: string;
  readonly shape: Shape;
  readonly grooves: Grooves;
  readonly ports: readonly Port[];
  readonly gasket?: Gasket;
}

export interface Bed {
  readonly outline: Shape;
  readonly material: string;
  readonly thickness: number;
  /** Deepest any program may go below the bed surface (positive). */
  readonly cutLimit: number;
  /** Least bed left under a hand-drilled hole. */
  readonly floor: number;
  readonly zones: readonly Zone[];
  /** Areas nothing may enter. `height` above the bed, mm, when something stands there (null: flat, only kept clear of holes). */
  readonly keepOuts: readonly {
    readonly id: string;
    readonly shape: Shape;
    readonly height: number | null;
    readonly metal: boolean;
  }[];
  readonly holes: readonly { readonly id: string; readonly at: Point; readonly diameter: number }[];
  readonly slots: readonly {
    readonly id: string;
    readonly from: Point;
    readonly to: Point;
    readonly width: number;
  }[];
}

export type SiteName = string;

export interface LayoutRules {
  readonly pattern: LayoutPattern;
  /** Greatest pitch between rows and columns; null: from the plate formula at the board's least thickness. */
  readonly pitchMax: number | null;
  /** Distance of the outer rows from the board's edge: least and greatest. */
  readonly edge: Range;
  /** How far the layout may move a crossing off its row and column. */
  readonly nudgeMax: number;
  /** Only with `given`. */
  readonly sites: readonly { readonly id: SiteName; readonly at: Point }[];
}

export interface Machine {
  readonly id: string;
  readonly title: string;
  /** What the profile is written in and what its people read; everything here is millimetres all the same. */
  readonly units: Units;
  readonly travel: { readonly x: Range; readonly y: Range; readonly z: Range };
  readonly motion: {
    /** Per axis, mm/min. */
    readonly rapid: { readonly x: number; readonly y: number; readonly z: number };
    readonly maxFeed: { readonly xy: number; readonly z: number };
    /** mm/s². */
    readonly acceleration: { readonly xy: number; readonly z: number };
    readonly corner:
      | { readonly mode: 'tolerance'; readonly tolerance: number }
      | { readonly mode: 'exact-stop' };
  };
  readonly spindle: {
    readonly powerKw: number;
    readonly rpm: Range;
    readonly spinUp: number;
    /** Solids above the cutter, for collision: nose and collet nut, mm. Null where not given. */
    readonly nose: { readonly diameter: number; readonly length: number } | null;
    readonly collet: { readonly diameter: number; readonly length: number } | null;
  };
  readonly controller: Controller;
  readonly bed: Bed;
  readonly datum: {
    /** Where the marks are now, in the work offset in force. */
    readonly mark: Point;
    readonly second: Point;
    /** Where the profile has them, and what moved along with them; absent while nobody found them elsewhere. */
    readonly drawn?: {
      readonly mark: Point;
      readonly second: Point;
      readonly board: Machine['board'];
      readonly clamps: Machine['clamps'];
    };
    readonly made: 'by-hand' | 'cut';
    readonly depth: number;
    /** 1 = G54. */
    readonly workOffset: number;
  };
  /** Where programs have their Z 0. */
  readonly zZero: ZZero;
  readonly board: {
    readonly stock: string;
    readonly at: Point;
    readonly size: Point;
    /**
     * How far the board lies turned against the axes since the machine was moved, radians; `at` and `size` are then of the
     * box around it. Absent: not at all.
     */
    readonly turn?: number;
    readonly leastThickness: number;
    readonly undersideSkim: number | null;
    readonly trim: boolean;
    /** Width, seen from above, of the chamfer on the rims of pockets and holes, mm; null: rims stay sharp. */
    readonly rimBreak: number | null;
    /** A rectangle to be cut down by a depth, where the board is damaged; mm, machine frame. Null: none. */
    readonly patch: { readonly at: Point; readonly size: Point; readonly depth: number } | null;
  };
  readonly fixing: {
    readonly use: string;
    /** Site that is to hold the board; null: the one nearest its middle. */
    readonly held: SiteName | null;
    readonly layout: LayoutRules;
    readonly nudges: readonly { readonly site: SiteName; readonly by: Point; readonly reason: string }[];
  };
  /** Cutter ids by duty; null where the profile names none. */
  readonly cutters: Readonly<
    Record<Exclude<Duty, OptionalDuty>, string> & Record<OptionalDuty, string | null>
  >;
  readonly clearHeight: number;
  readonly park: Point;
  /**
   * Where the machine stands at home: machine coordinate 0 of its axes, and the place that G28 goes to. Bed frame; `z` is
   * the height of the tip of the longest cutter in use, so that no other tip is lower. Null: not known.
   */
  readonly home: { readonly at: Point | null; readonly z: number } | null;
  readonly surfacing: {
    readonly rows: 'x' | 'y';
    readonly style: SurfacingStyle;
    /** Stepover as a share of the cutter's diameter. */
    readonly stepover: number;
    readonly depthPerPass: number;
    readonly overrun: number;
    readonly margin: number;
    readonly perimeterPass: boolean;
    readonly skim: {
      /** `heights`: the current height map where there is one, else the depth; `depth`: always the depth. */
      readonly from: 'heights' | 'depth';
      /** Taken off below the thinnest place measured, mm; null: the house's skim. */
      readonly depth: number | null;
      /** Target of a skim from heights: level, or the plane of least removal within the house's tilt limit. */
      readonly plane: 'level' | 'best';
    };
  };
  readonly vacuum: {
    readonly altitude: number;
    /** Design gauge reading, Pa. */
    readonly gauge: number;
    /** Pump flow at that reading, m³/h of free air; null unknown. */
    readonly flow: number | null;
  };
  /** Tilt of the spindle from tram readings, radians: across X and across Y; null when never measured. */
  readonly tram: { readonly x: number; readonly y: number } | null;
  /** Solids standing on the board or bed while the board is machined. */
  readonly clamps: readonly { readonly id: string; readonly shape: Shape; readonly height: number }[];
}
