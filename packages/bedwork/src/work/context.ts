import type { Diagnostic, Finding } from '@bedledger/diagnostics';
import type { Stack } from '@bedledger/fasteners';
import type { House, Machine, MachineRecord } from '@bedledger/fleet';
import type { BoardWork } from '../base/board-work.ts';
import { profilePlace } from '../base/places.ts';
import { type Heights, safeHeights } from '../base/safe-heights.ts';
import type { SiteStack } from '../base/stack-input.ts';
import type { Layout, Site } from '../layout/model.ts';
import { report } from '../report.ts';
import type { BedworkCode } from '../rules/index.ts';
import { type BedProgress, bedProgress } from './bed-progress.ts';
import { type NextBoard, nextBoard } from './next-board.ts';
import { type PlannedChange, plannedChange } from './planned-change.ts';

/** What somebody asks of the next skim, instead of what the profile says. */
export interface SkimOptions {
  /** Depth of a skim without a height map, mm; default the profile's, then the house's. */
  readonly depth?: number;
  /** `level` or `best` (default: the profile's): the plane of least removal within the house's tilt limit. */
  readonly plane?: 'level' | 'best';
}

/** What every operation is made from. */
export interface WorkContext {
  readonly record: MachineRecord;
  readonly machine: Machine;
  readonly house: House;
  readonly layout: Layout;
  /** By site id. */
  readonly stacks: ReadonlyMap<string, Stack>;
  /** By site id: as built, to be driven into a pocket, planned, or unknown. */
  readonly standing: ReadonlyMap<string, SiteStack>;
  /** Where the board is held, and with which drills its holes are opened. */
  readonly work: BoardWork;
  /** What the profile wants changed about the screws that stand in the board; null when nothing. */
  readonly change: PlannedChange | null;
  /** The board after the one that is cut already; null while this one is still to be cut. */
  readonly nextBoard: NextBoard | null;
  readonly progress: BedProgress;
  readonly skim: SkimOptions;
  /** Grows while operations are made. */
  readonly findings: Diagnostic[];
  readonly overBed: Heights;
  readonly overBoard: Heights;
}

export function makeContext(parts: {
  readonly record: MachineRecord;
  readonly layout: Layout;
  readonly stacks: ReadonlyMap<string, Stack>;
  readonly standing: ReadonlyMap<string, SiteStack>;
  readonly work: BoardWork;
  readonly findings: Diagnostic[];
  readonly skim?: SkimOptions | undefined;
}): WorkContext {
  const { record, layout, standing } = parts;
  return {
    ...parts,
    skim: parts.skim ?? {},
    machine: record.machine,
    house: record.house,
    change: plannedChange(record, layout.sites, standing, parts.work),
    nextBoard: standing.size === layout.sites.length ? nextBoard(record, layout.sites) : null,
    progress: bedProgress(record, layout),
    overBed: safeHeights(record, 'bed'),
    overBoard: safeHeights(record, 'board'),
  };
}

/** Adds a finding about the machine's profile to those of the plan. */
export function addFinding(context: WorkContext, finding: Omit<Finding<BedworkCode>, 'place'>): void {
  context.findings.push(report({ ...finding, place: profilePlace(context.record) }));
}

/** The layout's sites in visiting order. */
export function sitesInOrder({ layout: { sites, order } }: WorkContext): readonly Site[] {
  return order.length === sites.length ? order.map((i) => sites[i]!) : sites;
}

/** The operator's time for one kind of hand work from the house's figures, minutes. */
export function handMinutes({ house }: WorkContext, kind: string, otherwise: number): number {
  return house.handTime[kind] ?? otherwise;
}
