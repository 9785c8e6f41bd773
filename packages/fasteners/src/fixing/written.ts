/**
 * A fixing as `shared/fixings.yaml` writes it: what people type, before anything is looked up.
 * Every length is already in millimetres.
 */
export interface FixingWritten {
  readonly title: string;
  /** `M6`, `1/4-20`, `#10-24`. */
  readonly thread: string;
  readonly screw: ScrewWritten;
  readonly insert: InsertWritten;
  /** A washer of the catalogue by name, one of your own by its three dimensions, or none (default). */
  readonly washer?: WasherName | 'none' | WasherWritten;
  readonly socket: SocketWritten;
  /** Which series of the clearance hole standard; `medium` when left out. */
  readonly clearance?: ClearanceSeries;
}

export type ClearanceSeries = 'close' | 'medium' | 'loose';
export type WasherName = 'iso7089' | 'asme-b18.21.1-narrow' | 'asme-b18.21.1-wide';
export type ScrewMaterial = 'pa66' | 'steel' | 'brass' | 'stainless';
export type InsertMaterial = 'brass' | 'steel' | 'stainless' | 'zinc' | 'pa66';

/** How a dimension was taken, and its half width, mm. */
export interface Measuring {
  /** `caliper`, `micrometer`, `gauge`. */
  readonly by: string;
  /** Half width of the measurement, mm: the true dimension lies within value ± uncertainty. */
  readonly uncertainty: number;
}

export interface ScrewWritten {
  /** Catalogue id of the head form: `iso4017-hex`, `iso4762-socket-cap`, `asme-b18.2.1-hex` … */
  readonly head: string;
  /** `pa66` when left out. */
  readonly material?: ScrewMaterial;
  /** Lengths in stock, mm, when they are not the published ones. */
  readonly lengths?: readonly number[];
  /** Your own screw under your own caliper, in place of the published head. */
  readonly measured?: Measuring & { readonly head_diameter?: number; readonly head_height?: number };
  /** Strength of your own screws, N/mm², from their data sheet. */
  readonly strength?: { readonly tensile: number; readonly shear: number; readonly source: string };
}

export interface InsertWritten {
  /** `bush`: any threaded bush, its dimensions are yours to give; `din7965`: from the catalogue. `bush` when left out. */
  readonly kind?: 'bush' | 'din7965';
  /** Inner thread, when it is to be checked against the screw's; the fixing's thread when left out. */
  readonly size?: string;
  /** `brass` when left out. */
  readonly material?: InsertMaterial;
  /** Nominal outside diameter and length of a bush, mm, from its maker; a measurement is better. */
  readonly outside?: number;
  readonly length?: number;
  /** Full taper angle of the outside, degrees; 0 when left out. */
  readonly taper?: number;
  /** True when the thread is open at the bottom. False when left out: the safe reading. */
  readonly through?: boolean;
  readonly measured?: Measuring & {
    readonly outside?: number;
    readonly length?: number;
    readonly taper?: number;
  };
  readonly strength?: { readonly shear: number; readonly source: string };
}

export interface WasherWritten {
  readonly inside: number;
  readonly outside: number;
  readonly thickness: number;
  /** Half width of the three dimensions, mm. */
  readonly uncertainty?: number;
  readonly by?: string;
  /** A cup washer that takes a countersunk head flush: thickness is then its height above the pocket's floor. */
  readonly cup?: boolean;
}

export interface SocketWritten {
  /** Width across flats (hexagon outside or socket), mm; the screw's own when left out. */
  readonly size?: number;
  /** `socket`: hand socket; `ring`: ring wrench; `bit`: bit holder or key. By the screw's drive when left out. */
  readonly kind?: 'socket' | 'ring' | 'bit';
  readonly outside?: number;
  readonly measured?: Measuring & { readonly outside: number };
}
