import type { Fixing } from '@bedledger/fasteners';
import type { Point } from '@bedledger/geometry';
import type { BedState, Ledger } from './ledger.ts';
import type { Machine } from './machine.ts';
import type { BoardStock, Cutter, House } from './shared.ts';

export interface SurveyFeature {
  readonly id: string;
  readonly nominal: Point;
  /** Null until somebody has measured it. */
  readonly measured: Point | null;
}

/** `survey.csv`: bed features as drawn and as measured, both in the bed frame, mm. */
export interface Survey {
  readonly file: string;
  readonly features: readonly SurveyFeature[];
}

/** `heights/*.csv`: points on the board's top, Z above the bed, mm. */
export interface HeightMap {
  readonly file: string;
  readonly points: readonly (readonly [x: number, y: number, z: number])[];
}

/** One input file, as read, for the manifest. `path` is relative to the fleet's root, with forward slashes. */
export interface SourceFile {
  readonly path: string;
  readonly sha256: string;
}

/** Everything known about one machine: the only thing that bedwork and checker are given. */
export interface MachineRecord {
  readonly machine: Machine;
  readonly ledger: Ledger;
  readonly state: BedState;
  readonly survey: Survey | null;
  readonly heights: readonly HeightMap[];
  readonly house: House;
  /** What the profile asks for. What stands on the bed is in `state`: see `asBuilt`. */
  readonly planned: Fixing;
  /** Of the board on the bed, as recorded; without one, what the profile asks for. */
  readonly stock: BoardStock;
  /** What the profile asks for: the next board. */
  readonly plannedStock: BoardStock;
  /** Every cutter of the shared list, by id. */
  readonly cutters: ReadonlyMap<string, Cutter>;
  /** Version of the machine's package: the revision on its papers. */
  readonly revision: string;
  readonly sources: readonly SourceFile[];
}

export interface Fleet {
  readonly root: string;
  readonly machines: readonly MachineRecord[];
}
