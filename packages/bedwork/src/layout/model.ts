import type { Diagnostic } from '@bedledger/diagnostics';
import type { Machine, SiteState } from '@bedledger/fleet';
import type { Point, Region, Registration } from '@bedledger/geometry';
import type { Clearance } from '../lands/clearances.ts';
import type { Land } from '../lands/land-kind.ts';
import type { SiteNeeds } from '../lands/needs.ts';
import type { BoardLie } from './board-lie.ts';

/** One place where the board is fixed. */
export interface Site {
  /** Row letter from the operator's side, column number from the left: `B3`. Sites of the ledger keep their recorded name. */
  readonly id: string;
  readonly row: number;
  readonly column: number;
  /** On the drawing of the bed. */
  readonly nominal: Point;
  /** In the surveyed frame: where programs go. A site of the ledger is exactly where the ledger says. */
  readonly actual: Point;
  readonly placedBy: 'layout' | 'given' | 'ledger';
  readonly nudges: readonly {
    readonly by: Point;
    readonly why: 'layout' | 'air-pass';
    readonly reason: string;
  }[];
  readonly land: Land;
  readonly zone: string | null;
  /** Position uncertainty from the survey fit, k = 2, mm. */
  readonly uncertainty: number;
  readonly clearances: readonly Clearance[];
  /** Sentences that tell why the site is here, the most important first. */
  readonly reasons: readonly string[];
  readonly state: SiteState;
}

/** One change to the profile or the bed with which a layout is possible: it was tried on the whole layout. */
export interface Remedy {
  readonly say: string;
  /** The machine as it was tried, and the sites of that layout. */
  readonly machine: Machine;
  readonly sites: number;
}

export interface Layout {
  /** Units in which sentences about the layout are written; figures stay millimetres. */
  readonly units: 'mm' | 'in';
  readonly pattern: 'aligned' | 'fewest' | 'given';
  readonly sites: readonly Site[];
  /** Nominal row and column lines, mm; empty unless `aligned`. */
  readonly rows: readonly number[];
  readonly columns: readonly number[];
  readonly pitch: { readonly limit: number; readonly from: string };
  /** Farthest point of the board from any site: proven on the continuous board. */
  readonly coverage: { readonly radius: number; readonly at: Point; readonly allowed: number };
  readonly bound: { readonly lower: number; readonly proven: boolean; readonly by: string };
  /** Where an axis may be placed, surveyed frame. */
  readonly lands: Region;
  readonly registration: Registration | null;
  readonly boardLie: BoardLie;
  /** Visiting order, indexes into `sites`. */
  readonly order: readonly number[];
  /** Which mirror images of the layout (nominal, about the board's middle) are the layout itself. */
  readonly symmetric: 'none' | 'left-right' | 'front-back' | 'both';
  /** What the house's lift load does to the board at its least thickness, mm: an inner panel, and a corner panel at its worst. */
  readonly deflection: { readonly inner: number; readonly corner: number };
  /** Room that one site takes. */
  readonly needs: SiteNeeds;
  /** Largest position uncertainty on this bed, k = 2, mm: grown into the lands. */
  readonly uncertainty: number;
  /** Where a stop says that no layout is possible: changes with which one is, each tried on the whole layout, cheapest first. */
  readonly remedies: readonly Remedy[];
  readonly findings: readonly Diagnostic[];
}
