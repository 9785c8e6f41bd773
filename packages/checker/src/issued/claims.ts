import { exactLength } from '@bedledger/diagnostics';
import type { ManifestProgram } from '@bedledger/fleet';
import type { ProgramFigures } from '../model.ts';
import { type Case, gridStep, roundingOf } from '../programs/case.ts';
import { knownExtents } from '../simulation/motions.ts';
import { ARC, CYCLE } from '../trace.ts';
import { cutterOf, OPERATION_VIEWS, worksOverBoard } from './operations.ts';

/** What a program must say of itself, computed from its text and the record; bed frame, mm. */
export interface OwnClaims {
  readonly cutter: string | null;
  readonly tool: number | null;
  readonly zZero: 'bed' | 'board-top';
  readonly keyIn: number | null;
  readonly extents: ProgramFigures['extents'];
  readonly deepestBed: number | null;
  readonly deepestBoard: number | null;
  readonly minutes: number;
  /** Operator's minutes at programmed stops, where the house has a figure; NaN where it has none. */
  readonly stopMinutes: number;
}

/** Hand time at the stops of a program by the house's figures, minutes; NaN where the house has none. */
function stopMinutesOf(c: Case, { operation }: ManifestProgram): number {
  // the stop at which the cutter is changed is hand work of its own on the run sheet
  const change = c.record.machine.controller.toolChange === 'manual-stop' && c.cutter !== null ? 1 : 0;
  const stops = c.trace.events.filter((e) => e.kind === 'stop').length - change;
  if (stops <= 0) return 0;
  const each = c.record.house.handTime[OPERATION_VIEWS[operation].handTime];
  return each === undefined ? Number.NaN : each * stops;
}

/** Computes a program's claims anew. */
export function ownClaims(c: Case, entry: ManifestProgram): OwnClaims {
  const { record, simulation } = c;
  const { machine, state } = record;
  const overBoard = worksOverBoard(entry.operation, record);
  const board = overBoard ? state.board : null;
  const onTop = overBoard && machine.zZero === 'board-top';
  const cutter = cutterOf(entry.operation, record);
  const rounding = roundingOf(machine.controller);
  const low = simulation.extents?.minZ ?? Infinity;
  return {
    cutter,
    tool: cutter === null ? null : (record.cutters.get(cutter)?.number ?? null),
    zZero: onTop ? 'board-top' : 'bed',
    keyIn: board ? (onTop ? 0 : board.thickness) : null,
    extents: knownExtents(simulation.extents),
    deepestBed: low < -rounding ? -low : null,
    deepestBoard: board && low < board.thickness - rounding ? Math.max(low, 0) : null,
    minutes: simulation.totalSeconds / 60,
    stopMinutes: stopMinutesOf(c, entry),
  };
}

/** Claimed minutes may differ from the checker's by this share and this much: header minutes are rounded up to a tenth. */
const MINUTES_SHARE = 0.03;
const MINUTES_SLACK = 0.2;
/** Parts share a program's time by their length of text, not by their own motions. */
const PART_SHARE = 0.25;
/** How far a peck retracts is the controller's own choice (RS274/NGC leaves it open), and so is its time. */
const CYCLE_SHARE = 0.2;
/** Where circles are written as chords, every corner costs time that an estimate made on circles does not know. */
const CHORD_SHARE = 0.5;

/** Does a claimed time fit the motions? */
export function minutesFit(claimed: number, own: OwnClaims, c: Case, parts: number): boolean {
  if (Number.isNaN(own.stopMinutes)) return true;
  const expected = own.minutes + own.stopMinutes;
  const cycles = c.trace.flags.some((flag) => (flag & CYCLE) !== 0);
  const chords = c.record.machine.controller.arcs.form === 'none';
  const share = chords ? CHORD_SHARE : parts > 1 ? PART_SHARE : cycles ? CYCLE_SHARE : MINUTES_SHARE;
  const slack = MINUTES_SLACK + share * expected;
  // Stops of the controller's own making, to change the cutter or start the spindle by hand, are the operator's minutes
  // in the house's figures and in no program's account: with them any time between is honest.
  const { toolChange, spindle } = c.record.machine.controller;
  if (toolChange === 'manual-stop' || spindle.start === 'manual') {
    return claimed >= own.minutes - slack && claimed <= expected + slack;
  }
  return Math.abs(claimed - expected) <= slack;
}

/** Steps by which an extent may differ: an arc's bulge moves with the rounding of its centre and ends. */
export function bulgeSteps(c: Case): number {
  return c.trace.kind.includes(ARC) ? 1.6 : 0.55;
}

/** A program's entry in the manifest against what it does: sentences, empty when all is well. */
export function manifestDisagreements(c: Case, entry: ManifestProgram, own: OwnClaims): string[] {
  const { record } = c;
  const { units } = record.machine;
  const wrong: string[] = [];
  const step = gridStep(record.machine.controller);
  const differs = (name: string, claimed: number | null, expected: number | null, slack: number): void => {
    if (claimed === null || expected === null) {
      if (claimed !== expected)
        wrong.push(
          `${name} is ${claimed === null ? 'none' : exactLength(claimed, units)}, found ${expected === null ? 'none' : exactLength(expected, units)}`,
        );
    } else if (!(Math.abs(claimed - expected) <= slack))
      wrong.push(`${name} is ${exactLength(claimed, units)}, found ${exactLength(expected, units)}`);
  };
  if (entry.cutter !== own.cutter)
    wrong.push(`cutter is \`${entry.cutter ?? 'none'}\`, the profile uses \`${own.cutter ?? 'none'}\``);
  if (entry.tool !== own.tool)
    wrong.push(`tool is ${entry.tool ?? 'none'}, the shared list has ${own.tool ?? 'none'}`);
  if (entry.zZero !== own.zZero)
    wrong.push(`Z zero is \`${entry.zZero}\`, the profile’s habit gives \`${own.zZero}\``);
  differs('the value to key in', entry.keyIn, own.keyIn, 1e-6);
  if (entry.lines !== c.trace.lines)
    wrong.push(`${entry.lines} lines are claimed, the file has ${c.trace.lines}`);
  if (own.extents) {
    for (const axis of ['x', 'y', 'z'] as const) {
      const slack = (axis === 'z' ? 0.55 : bulgeSteps(c)) * step;
      differs(`least ${axis.toUpperCase()}`, entry.extents[axis][0], own.extents[axis][0], slack);
      differs(`greatest ${axis.toUpperCase()}`, entry.extents[axis][1], own.extents[axis][1], slack);
    }
  }
  differs('deepest in the bed', entry.deepest.bed, own.deepestBed, 0.1 * step);
  differs('deepest in the board', entry.deepest.board, own.deepestBoard, 0.1 * step);
  return wrong;
}
