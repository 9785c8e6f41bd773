import type { Units } from '@bedledger/diagnostics';
/** How well a published figure is supported: A two or more sources agree, B one source, C from memory. */
export type Grade = 'A' | 'B' | 'C';

/** Where a figure comes from. `measured` replaces a published figure by the owner's own caliper. */
export interface Provenance {
  readonly standard: string;
  readonly table?: string;
  readonly grade: Grade | 'measured';
  readonly note?: string;
}

/** A length that remembers where it came from and how far off it may be (half width, mm). */
export interface Dimension {
  readonly value: number;
  readonly uncertainty: number;
  readonly from: Provenance;
}

export interface Thread {
  /** `M6`, `1/4-20`. */
  readonly designation: string;
  readonly majorDiameter: number;
  readonly pitch: number;
  /** Tensile stress area, mm². */
  readonly stressArea: number;
  readonly external: { readonly majorMin: number; readonly pitchMin: number };
  readonly internal: { readonly minorMax: number; readonly pitchMax: number };
  readonly from: Provenance;
}

/** A screw of a named combination, all lengths in millimetres. */
export interface Screw {
  readonly thread: Thread;
  /** Catalogue id of the head form, e.g. `iso4017-hex`, `iso4762-socket-cap`, `iso10642-countersunk`. */
  readonly head: string;
  readonly headDiameter: Dimension;
  readonly headHeight: Dimension;
  readonly countersunk: boolean;
  /** Diameter on which the head bears: across flats of a hexagon head. The head's own diameter when left out. */
  readonly bearing?: Dimension;
  /** Full angle of a countersunk head, degrees. */
  readonly headAngle?: number;
  readonly drive: { readonly kind: 'hex-outside' | 'hex-socket' | 'cross' | 'slot'; readonly size: number };
  readonly material: 'pa66' | 'steel' | 'brass' | 'stainless';
  /** Tensile and shear strength, N/mm². */
  readonly tensileStrength: number;
  readonly shearStrength: number;
  /** Lengths one can buy, ascending; measured the way the standard measures them (under the head, or over all if countersunk). */
  readonly lengths: readonly number[];
  readonly lengthsFrom?: Provenance;
  /** Published breaking load, N, and the torque printed beside it, N·m, where a list of such screws is at hand. */
  readonly published?: { readonly breakingLoad: number; readonly torque?: number; readonly from: Provenance };
  readonly strengthFrom?: Provenance;
}

export interface Insert {
  readonly id: string;
  readonly thread: Thread;
  readonly outside: Dimension;
  readonly length: Dimension;
  /** Full taper angle of the outside, degrees; 0 for a parallel body. */
  readonly taper: number;
  readonly material: 'brass' | 'steel' | 'stainless' | 'zinc' | 'pa66';
  readonly shearStrength: number;
  /** True when the bore is open at the bottom, so that a long screw passes through it. */
  readonly through: boolean;
  /** Bore the insert asks for, where its standard says so (screw-in inserts); outside plus the glue gap otherwise. */
  readonly bore?: Dimension;
  /** Core diameter of an outer thread: what displaces adhesive. The outside when left out. */
  readonly core?: Dimension;
  readonly strengthFrom?: Provenance;
}

export interface Washer {
  readonly inside: Dimension;
  readonly outside: Dimension;
  readonly thickness: Dimension;
  /** Takes a countersunk head flush; thickness is then its height above the pocket's floor. */
  readonly cup?: boolean;
}

export interface Socket {
  /** Outside diameter of the driving socket or bit holder that must enter the pocket. */
  readonly outside: Dimension;
}

/** A named combination, resolved against the catalogue: insert + screw + washer or none + driving socket. */
export interface Fixing {
  readonly id: string;
  readonly title: string;
  readonly screw: Screw;
  readonly insert: Insert;
  readonly washer?: Washer;
  readonly socket: Socket;
  /** Smallest clearance hole for the screw by the standard (ISO 273 or ASME B18.2.8, medium/normal unless said). */
  readonly clearanceHole: Dimension;
  /** The same in the close (fine) series: the hole of the site that holds the board. */
  readonly closeHole: Dimension;
}

/** House rules that the stack obeys, millimetres unless said. */
export interface StackRules {
  readonly webMin: number;
  readonly coverMin: number;
  /** Safety factor on punching of the head through the web, and on stripping. */
  readonly safetyFactor: number;
  /** Shear strength of the board across its face, N/mm² (from memory: 2–4). */
  readonly boardShear: number;
  /** Design pull on one site, N: what the site must hold without punching or stripping. */
  readonly pull: number;
  /** Diametral clearance of socket, head or washer in its pocket. */
  readonly pocketClearance: number;
  /** Bore deeper than the insert by this much (common practice 2–3). */
  readonly boreReserve: number;
  /** Bore diameter over the insert's outside: the glue gap, diametral. */
  readonly adhesiveGap: number;
  /** Extra adhesive as a share, 0.2 = 20 % (common practice). */
  readonly adhesiveSpare: number;
  /** Thread turns at the insert's mouth that do not count, and the least gap between screw end and bore bottom. */
  readonly entryLoss: number;
  readonly endGap: number;
  /** Moisture swing of the shop, percentage points. */
  readonly moistureSwing: number;
  /** In-plane growth per percentage point of moisture, as a share (0.0005; published: mdf-info.eu). */
  readonly growthPerPercent: number;
  /** Least radial ring on which head or washer still bears outside the clearance hole. */
  readonly bearingMin: number;
  /** One surfacing takes this much off, for the life figure. */
  readonly skim: number;
  /** Refit stops this far above the bed. */
  readonly refitSkin: number;
  /**
   * `absorb` (default): every hole takes the whole growth. `restrain`: a hole takes the position error and as much
   * growth as the bearing leaves; the rest is held by the screws and stated in `Stack.lateral.restrained`.
   */
  readonly growth?: 'absorb' | 'restrain';
}

export interface StackInput {
  readonly fixing: Fixing;
  readonly rules: StackRules;
  /** Board thickness as measured now, and the half width of that measurement. */
  readonly thickness: number;
  readonly thicknessUncertainty: number;
  /** Least thickness the board may reach for reasons other than this site. */
  readonly leastThickness: number;
  /** `cutLimit`: deepest that the machine may be told to cut, whatever is kept back from the profile's limit included. */
  readonly bed: { readonly thickness: number; readonly floor: number; readonly cutLimit: number };
  /** Distance of the site from the one that holds the board, for growth. */
  readonly reach: number;
  /** The board is held here, by a close hole. Default false: the hole floats. */
  readonly held?: boolean;
  /** Drills for holes that are opened by hand; absent: every hole comes from the machine, to a tenth of a millimetre. */
  readonly drills?: HandDrills;
  /** Standard uncertainty of the site's position, k = 2, mm. */
  readonly positionUncertainty: number;
  /** Units in which remedies and descriptions speak; figures stay millimetres. Default mm. */
  readonly units?: Units;
  /** Fixed already at these values (a refit onto a board already pocketed, a screw already in stock). */
  readonly given?: { readonly screwLength?: number; readonly pocketFloor?: number };
}

/** How the holes of a board that no machine finishes are made. */
export interface HandDrills {
  /** Diameters at hand, mm. */
  readonly sizes: readonly number[];
  /** Every hole is drilled by hand; else only one that is wider than the machine leaves it over an insert. */
  readonly everyHole: boolean;
}

/** One inequality of the stack: `value` must be ≥ or ≤ `limit`; margin ≥ 0 means it holds. */
export interface Bound {
  readonly id: string;
  readonly title: string;
  readonly sense: '>=' | '<=';
  readonly value: number;
  readonly limit: number;
  readonly margin: number;
  readonly unit: 'mm' | 'N';
  /** Formula and source, one line. */
  readonly source: string;
  readonly governs: boolean;
}

/** Everything along a site's axis, heights above the bed surface, millimetres. */
export interface Stack {
  readonly screwLength: number;
  /** Height of the pocket's floor above the bed: the web left under the head. */
  readonly web: number;
  readonly pocketDepth: number;
  readonly pocketDiameter: number;
  readonly clearanceDiameter: number;
  /** Conservative clearance diameter of the refit form. */
  readonly refitDiameter: number;
  /** Least diameter that takes growth and position error, mm; `opened`: a drill in a hand makes the hole that wide. */
  readonly holeNeed: { readonly diameter: number; readonly opened: boolean };
  /** Top of head (and its washer) above the bed. */
  readonly headTop: number;
  /** Board above the head now. */
  readonly cover: number;
  readonly engagement: number;
  /** Screw end below the bed surface. */
  readonly endDepth: number;
  /**
   * Drilled by hand: `depth` is the full-diameter depth below the bed, `tipDepth` adds the drill's point.
   * `name` is the drill's name in its series (`9.9`, `25/64`).
   */
  readonly handDrill: {
    readonly diameter: number;
    readonly depth: number;
    readonly name: string;
    readonly pointLength: number;
    readonly tipDepth: number;
  };
  /** Countersink of a countersunk head: largest diameter (at the pocket's floor), full angle in degrees, depth below the floor. */
  readonly countersink?: { readonly diameter: number; readonly angle: number; readonly depth: number };
  /**
   * How far the screw may stand off the axis of its hole, mm: growth of the board at this reach, position error,
   * what the hole takes of both together, and what is left for the screws to hold back.
   */
  readonly lateral: {
    readonly growth: number;
    readonly position: number;
    readonly total: number;
    readonly restrained: number;
  };
  /** What decided each choice. Floor: a bound's id. */
  readonly governs: {
    readonly floor: string;
    readonly pocket: 'head' | 'socket' | 'washer';
    readonly clearance: 'standard' | 'float';
    readonly torque: 'screw' | 'thread' | 'web';
  };
  /** Engagement that the design pull needs, and at which the screw breaks before a thread strips, mm. */
  readonly engagementNeed: {
    readonly pull: number;
    readonly full: number;
    readonly strips: 'screw' | 'insert';
  };
  /** Entry relief for a tapered insert: diameter and depth, or none. */
  readonly entryRelief?: { readonly diameter: number; readonly depth: number };
  readonly adhesiveVolume: number;
  readonly workingTorque: number;
  readonly preload: number;
  readonly life: { readonly skims: number; readonly replaceAt: number; readonly governs: string };
  readonly bounds: readonly Bound[];
}

export type StackResult =
  | { readonly feasible: true; readonly stack: Stack }
  | {
      readonly feasible: false;
      readonly bounds: readonly Bound[];
      /** The two bounds that cannot both hold. */
      readonly conflict: readonly [string, string];
      /** Changes that would free it, each one sentence, best first. */
      readonly remedies: readonly string[];
    };
