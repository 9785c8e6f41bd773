import type { Diagnostic } from '@bedledger/diagnostics';
import type { Stack } from '@bedledger/fasteners';
import type { Duty, Form, MachineRecord, ManifestProgram } from '@bedledger/fleet';
import type { Case } from '../programs/case.ts';
import type { CheckerCode } from '../rules/table.ts';
import type { Setting } from '../scene/scene.ts';
import type { HoleRow, Site } from './hole-table.ts';
import type { SiteCut } from './site-cuts.ts';

/** What an operation is to make at a site. */
export interface Target {
  readonly diameter: number;
  readonly floor: number;
  /** The floor must be flat and empty. */
  readonly flat: boolean;
  /** Height at which a through hole must be open at its full diameter, mm above the bed. */
  readonly openAt?: number;
}

/** The rim of a pocket, to be chamfered with a cone; mm, heights above the bed. */
export interface RimTarget {
  /** Of the pocket. */
  readonly radius: number;
  /** Of its floor, and of the board's top. */
  readonly floor: number;
  readonly top: number;
  /** Of the chamfer, seen from above. */
  readonly width: number;
}

/** A place that a visiting program stops above. */
export interface Place {
  readonly name: string;
  readonly x: number;
  readonly y: number;
}

/** The hole table as read, and the checker's own stack of each of its sites. */
export interface SitesOfRecord {
  readonly holes: readonly HoleRow[];
  readonly stacks: ReadonlyMap<string, Stack>;
  /** Sites where something stands that no fact tells of: there is no stack to compare with. */
  readonly unknown: ReadonlySet<string>;
}

/** Round cuts, each about the axis of a site. */
interface RoundCuts {
  readonly sites: (record: MachineRecord, holes: readonly HoleRow[]) => readonly Site[];
  /** What each site is to get, by the checker's own stack; null where nothing can be said. */
  readonly target: (c: Case, form: Form | null, own: SitesOfRecord) => (site: Site) => Target | null;
  /** What else holds for the cuts of this operation. */
  readonly also?: (c: Case, cuts: readonly SiteCut[]) => Diagnostic[];
}

/** What a program of an operation does, and with it the rules that judge it. */
export type Work =
  /** Nothing turns and nothing goes below the clear height; the operator looks. */
  | {
      readonly kind: 'visits';
      readonly places: (record: MachineRecord, holes: readonly HoleRow[]) => readonly Place[];
    }
  /** The sites that the manifest names for the program. */
  | ({ readonly kind: 'sites' } & RoundCuts)
  /** All sites, made alike. */
  | ({ readonly kind: 'marks' } & RoundCuts)
  /** The rims of the pockets at the sites that the manifest names; pockets and holes are open. */
  | { readonly kind: 'rims' }
  /** A whole face of the board to one height; its parts go on where the one before ended. */
  | { readonly kind: 'skim' }
  /** Along the edges of the board. */
  | { readonly kind: 'trim' }
  /** A rectangle of the board, down to a flat floor. */
  | { readonly kind: 'patch' };

/** The checker's own view of an operation, written anew from the trade and not from the planner. */
export interface OperationView {
  /** Every form that is issued or withheld; `[null]` for an operation without forms. */
  readonly forms: readonly (Form | null)[];
  /** What stands on the bed while it runs. */
  readonly setting: (record: MachineRecord) => Setting;
  /** What Z 0 may lie on: the bed alone, the board, or the board once one is fitted. */
  readonly zero: 'bed' | 'board' | 'board-if-fitted';
  /** What the profile names its cutter for; null when nothing is in the spindle. */
  readonly duty: Duty | null;
  /** May the cutter go below the surface of the bed? */
  readonly mayCutBed: (form: Form | null) => boolean;
  /** Name of the house's hand time for one stop of the program. */
  readonly handTime: string;
  /** Why it may not be issued today, by the ledger alone; null when it may. */
  readonly forbidden: (record: MachineRecord, entry: ManifestProgram) => string | null;
  /** Rule that an issued program breaks when it is forbidden. */
  readonly interlock: (form: Form | null) => CheckerCode;
  readonly work: (record: MachineRecord) => Work;
}
