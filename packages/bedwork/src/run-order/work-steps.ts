import { lengthText, PRESSURE_UNIT } from '@bedledger/diagnostics';
import type { OperationName } from '@bedledger/fleet';
import { OPERATIONS_IN_ORDER } from '../base/operation-facts.ts';
import {
  countersinkPockets,
  drillBores,
  driveScrews,
  finishHoles,
  fitNewBoard,
  glueInserts,
  layBoard,
  recordSkim,
  swapScrews,
  turnBoardOver,
  undrilledSites,
  writeSurveyDown,
} from './hand-work.ts';
import { type ProgramExtras, programStep } from './program-step.ts';
import { recordUnknown } from './record-unknown.ts';
import type { HandStep, Sheet, WorkStep } from './step.ts';

/** Where an operation's programs stand among the hand work, and what the sheet adds to their headers. */
interface PlaceInOrder {
  readonly before: readonly HandStep[];
  readonly extras: (sheet: Sheet) => ProgramExtras;
  readonly after: readonly HandStep[];
}

const nothingMore = (): ProgramExtras => ({ lines: [], record: [], done: false });

/** Once the bed is bored its marks are made and its sites are found. */
function begun({ context: { progress } }: Sheet): boolean {
  return progress.withInsert.length > 0 || progress.bored.size > 0;
}

/**
 * The bed is marked while it is bare, drilled by hand, the board is pocketed and bored before inserts are glued, screws
 * are driven with the vacuum on, the skim comes last.
 */
const ORDER: Readonly<Record<OperationName, PlaceInOrder>> = {
  'survey-visit': {
    before: [],
    extras: ({ context: { machine, record } }) => ({
      lines: [],
      record: [{ label: 'X Y of every feature', unit: machine.units }],
      done: (record.survey?.features ?? []).every((feature) => feature.measured !== null),
    }),
    after: [writeSurveyDown],
  },
  'datum-mark': {
    before: [],
    extras: (sheet) => ({ ...nothingMore(), done: begun(sheet) }),
    after: [],
  },
  'air-pass': {
    before: [],
    extras: (sheet) => ({
      lines: [],
      record: [{ label: 'site and how far it must move', unit: sheet.context.machine.units }],
      done: begun(sheet) && undrilledSites(sheet.context).length === 0,
    }),
    after: [],
  },
  'bed-mark': { before: [], extras: nothingMore, after: [drillBores] },
  'underside-skim': {
    before: [layBoard],
    extras: ({ context: { machine } }) => ({
      lines: [],
      record: [{ label: 'thickness after the skim', unit: machine.units }],
      done: false,
    }),
    after: [turnBoardOver],
  },
  'socket-pockets': {
    before: [],
    extras: ({ context: { machine } }) => ({
      lines: [],
      record: [{ label: 'pocket depth at two sites', unit: machine.units }],
      done: false,
    }),
    after: [],
  },
  'clearance-holes': { before: [], extras: nothingMore, after: [] },
  'rim-break': {
    before: [],
    extras: ({ context: { machine } }) => ({
      lines: [],
      record: [{ label: 'width of the chamfer at two sites', unit: machine.units }],
      done: false,
    }),
    after: [countersinkPockets, finishHoles, glueInserts, driveScrews],
  },
  trim: { before: [], extras: nothingMore, after: [] },
  patch: {
    before: [],
    extras: ({ context: { machine } }) => ({
      lines: [],
      record: [{ label: 'depth of the patch at its corners', unit: machine.units }],
      done: false,
    }),
    after: [],
  },
  surface: {
    before: [recordUnknown, swapScrews],
    extras: ({ context: { machine }, skim }) => ({
      lines:
        skim === null ? [] : [`expected thickness afterwards: ${lengthText(skim.expected, machine.units)}`],
      record: [
        { label: 'thickness in four places', unit: machine.units },
        { label: 'gauge, covered and uncovered', unit: PRESSURE_UNIT[machine.units] },
      ],
      done: false,
    }),
    after: [recordSkim, fitNewBoard],
  },
};

/** The run sheet: programs and hand work in the order of work. */
export function workSteps(sheet: Sheet): WorkStep[] {
  const steps: WorkStep[] = [];
  const byHand = (work: readonly HandStep[]): void => {
    for (const step of work) {
      const made = step(sheet);
      if (made !== null) steps.push(made);
    }
  };
  for (const operation of OPERATIONS_IN_ORDER) {
    const { before, extras, after } = ORDER[operation];
    byHand(before);
    for (const program of sheet.programs) {
      if (program.operation === operation) steps.push(programStep(sheet, program, extras(sheet)));
    }
    byHand(after);
  }
  return steps;
}

/**
 * The next thing a person must do, one sentence.
 * @param board - how the board on the bed lies, in words; null without one
 */
export function nextHandWork(steps: readonly WorkStep[], board: string | null): string {
  // A program counts as coming first where it stands before the hand work that follows it.
  const open = steps.filter((step) => !step.done);
  const hand = open.find((step) => step.kind === 'hand');
  if (!hand) return board === null ? 'nothing to do by hand' : `nothing to do by hand: ${board}`;
  const before = open.slice(0, open.indexOf(hand)).map((step) => step.program);
  const first = hand.lines[0] ?? '';
  const lead = before.length > 0 ? `run ${before.join(', ')}, then ` : '';
  return `${lead}${lowerFirst(hand.title)}: ${first}`;
}

function lowerFirst(text: string): string {
  return text.slice(0, 1).toLowerCase() + text.slice(1);
}
