import { type Diagnostic, exactLength, fixed, fromUnits } from '@bedledger/diagnostics';
import type { MachineRecord, ManifestProgram } from '@bedledger/fleet';
import { type Case, gridStep, roundingOf } from '../programs/case.ts';
import { inFile, report } from '../report.ts';
import { ARC, CYCLE } from '../trace.ts';
import { dutyOf, onBoard, zeroHeightOf } from './operation.ts';

/** What a program must say of itself, computed from its text and the record; bed frame, mm. */
export interface OwnClaims {
  readonly cutter: string | null;
  readonly tool: number | null;
  readonly zZero: 'bed' | 'board-top';
  readonly keyIn: number | null;
  readonly extents: {
    readonly x: readonly [number, number];
    readonly y: readonly [number, number];
    readonly z: readonly [number, number];
  } | null;
  readonly deepestBed: number | null;
  readonly deepestBoard: number | null;
  readonly minutes: number;
  /** Operator's minutes at programmed stops, where the house has a figure; NaN where it has none. */
  readonly stopMinutes: number;
}

/** Hand time at one stop of an operation by the house's figures. */
function stopMinutesOf(c: Case, entry: ManifestProgram): number {
  // the stop at which the cutter is changed is hand work of its own on the run sheet
  const change = c.record.machine.controller.toolChange === 'manual-stop' && c.cutter !== null ? 1 : 0;
  const stops = c.trace.events.filter((e) => e.kind === 'stop').length - change;
  if (stops <= 0) return 0;
  const kind =
    entry.operation === 'air-pass'
      ? 'air-pass-site'
      : entry.operation === 'survey-visit'
        ? 'survey-point'
        : entry.operation === 'datum-mark'
          ? 'mark-by-hand'
          : 'stop';
  const each = c.record.house.handTime[kind];
  return each === undefined ? Number.NaN : each * stops;
}

/** Computes a program's claims anew. */
export function ownClaims(c: Case, entry: ManifestProgram): OwnClaims {
  const { record, simulation } = c;
  const { machine, state } = record;
  const overBoard = onBoard(entry.operation) || (entry.operation === 'air-pass' && state.board !== null);
  const top = overBoard && machine.zZero === 'board-top';
  const cutter = dutyOf(entry.operation, record);
  const e = simulation.extents;
  const rounding = roundingOf(machine.controller);
  const low = e ? e.minZ : Infinity;
  const boardTop = overBoard ? (state.board?.thickness ?? null) : null;
  return {
    cutter,
    tool: cutter === null ? null : (record.cutters.get(cutter)?.number ?? null),
    zZero: top ? 'board-top' : 'bed',
    keyIn: overBoard && state.board ? (top ? 0 : state.board.thickness) : null,
    extents:
      e && e.minX <= e.maxX && e.minY <= e.maxY && e.minZ <= e.maxZ
        ? { x: [e.minX, e.maxX], y: [e.minY, e.maxY], z: [e.minZ, e.maxZ] }
        : null,
    deepestBed: low < -rounding ? -low : null,
    deepestBoard: boardTop !== null && low < boardTop - rounding ? Math.max(low, 0) : null,
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
function bulgeSteps(c: Case): number {
  return c.trace.kind.includes(ARC) ? 1.6 : 0.55;
}

/** The header comments of a program against what it does. Controllers without comments have none. */
export function checkHeader(c: Case, entry: ManifestProgram, own: OwnClaims): Diagnostic[] {
  const { units } = c.record.machine;
  const { record, trace } = c;
  const { controller } = record.machine;
  if (controller.comments === 'none') return [];
  const found: Diagnostic[] = [];
  const unit = fromUnits(1, controller.units);
  const unitName = controller.units === 'mm' ? 'MM' : 'IN';
  const step = gridStep(controller);
  const lines = new Map<string, { value: string; line: number }>();
  for (const h of trace.header) if (!lines.has(h.key.toUpperCase())) lines.set(h.key.toUpperCase(), h);
  const wrong = (key: string, message: string): void => {
    found.push(
      report({
        code: 'documents/header',
        ...inFile(c.file, lines.get(key)?.line ?? 1),
        message,
        facts: { key },
      }),
    );
  };
  const value = (key: string): string | null => {
    const entryOf = lines.get(key);
    if (!entryOf) {
      wrong(key, `the header has no line ${key}`);
      return null;
    }
    return entryOf.value.trim().toUpperCase();
  };
  const same = (key: string, expected: string): void => {
    const text = value(key);
    if (text !== null && text !== expected.toUpperCase())
      wrong(key, `${key} is \`${text}\`, expected \`${expected.toUpperCase()}\``);
  };
  const begins = (key: string, expected: string): void => {
    const text = value(key);
    if (text !== null && text !== expected.toUpperCase() && !text.startsWith(`${expected.toUpperCase()} `)) {
      wrong(key, `${key} is \`${text}\`, expected it to begin with \`${expected.toUpperCase()}\``);
    }
  };
  const number = (key: string, text: string, expected: number, slack: number): void => {
    const read = /^-?\d*\.?\d+$/.test(text) ? Number(text) : Number.NaN;
    if (!(Math.abs(read * unit - expected) <= slack)) {
      wrong(key, `${key} says ${text} ${controller.units}, the text gives ${exactLength(expected, units)}`);
    }
  };

  begins('MACHINE', record.machine.id);
  value('TITLE');
  same('REVISION', record.revision);
  same('OPERATION', entry.form === null ? entry.operation : `${entry.operation} ${entry.form}`);
  same('PART', `${entry.part} OF ${entry.parts}`);
  const cutterLine = value('CUTTER');
  if (cutterLine !== null) {
    if (own.cutter === null) {
      if (cutterLine !== 'NONE')
        wrong('CUTTER', `CUTTER is \`${cutterLine}\`, nothing may be in the spindle or nothing turns`);
    } else {
      const cutter = record.cutters.get(own.cutter);
      const match = /^(\S+) D(-?\d*\.?\d+) T(\d+)$/.exec(cutterLine);
      if (!match || !cutter)
        wrong('CUTTER', `CUTTER is \`${cutterLine}\`, expected \`${own.cutter.toUpperCase()} D… T…\``);
      else {
        if (match[1] !== own.cutter.toUpperCase()) {
          wrong('CUTTER', `CUTTER names \`${match[1]}\`, the profile uses \`${own.cutter.toUpperCase()}\``);
        }
        number('CUTTER', match[2]!, cutter.diameter, step);
        if (Number(match[3]) !== cutter.number)
          wrong('CUTTER', `CUTTER says T${match[3]}, the shared list T${cutter.number}`);
      }
    }
  }
  same('UNITS', unitName);
  same('Z ZERO', own.zZero);
  const keyIn = value('KEY IN');
  if (keyIn !== null) {
    if (own.keyIn === null) {
      if (keyIn !== 'NONE') wrong('KEY IN', `KEY IN is \`${keyIn}\`, nothing is keyed in for this program`);
    } else {
      const match = new RegExp(`^(-?\\d*\\.?\\d+) ${unitName}$`).exec(keyIn);
      if (!match) wrong('KEY IN', `KEY IN is \`${keyIn}\`, expected a length in ${unitName}`);
      else number('KEY IN', match[1]!, own.keyIn, step * 0.51 + 1e-9);
    }
  }
  const lift = zeroHeightOf(entry.operation, entry, record);
  const bulge = bulgeSteps(c);
  for (const axis of ['X', 'Y', 'Z'] as const) {
    const key = `EXTENTS ${axis}`;
    const text = value(key);
    if (text === null) continue;
    const match = /^(-?\d*\.?\d+) TO (-?\d*\.?\d+)$/.exec(text);
    if (!match || !own.extents) {
      wrong(key, `${key} is \`${text}\`, expected \`a TO b\``);
      continue;
    }
    let [low, high] = own.extents[axis.toLowerCase() as 'x' | 'y' | 'z'];
    if (axis === 'Z') {
      [low, high] = [low - lift, high - lift];
      if (controller.zSign === -1) [low, high] = [-high, -low];
    }
    const slack = (axis === 'Z' ? 1.05 : bulge + 0.55) * step;
    number(key, match[1]!, low, slack);
    number(key, match[2]!, high, slack);
  }
  for (const [key, expected] of [
    ['DEEPEST BED', own.deepestBed],
    ['DEEPEST BOARD', own.deepestBoard],
  ] as const) {
    const text = value(key);
    if (text === null) continue;
    if (expected === null || text === 'NONE') {
      if (!(expected === null && text === 'NONE')) {
        wrong(
          key,
          `${key} is \`${text}\`, the text gives ${expected === null ? 'none' : exactLength(expected, units)}`,
        );
      }
    } else number(key, text, expected, 0.51 * step + 1e-9);
  }
  const minutes = value('MINUTES');
  if (minutes !== null) {
    const read = Number(minutes);
    if (!Number.isFinite(read)) wrong('MINUTES', `MINUTES is \`${minutes}\`, expected a number`);
    else if (!minutesFit(read, own, c, entry.parts)) {
      found.push(
        report({
          code: 'documents/minutes',
          ...inFile(c.file, lines.get('MINUTES')!.line),
          message: `MINUTES says ${minutes}, the motions take ${fixed(own.minutes, 1)} and the stops ${fixed(own.stopMinutes, 1)}`,
          facts: { found: read, expected: own.minutes + own.stopMinutes },
        }),
      );
    }
  }
  return found;
}

/** A program's entry in the manifest against what it does: sentences, empty when all is well. */
export function manifestDisagreements(
  c: Case,
  entry: ManifestProgram,
  own: OwnClaims,
  record: MachineRecord,
): string[] {
  const { units } = c.record.machine;
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
