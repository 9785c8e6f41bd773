import {
  asBuilt,
  type FactKind,
  type MachineRecord,
  type ManifestProgram,
  type OperationName,
  throughMarks,
} from '@bedledger/fleet';
import { applyTransform } from '@bedledger/geometry';
import type { Setting } from '../scene/scene.ts';
import { checkBedMarks } from './bed-mark-rules.ts';
import { checkBreakThrough } from './break-through-rules.ts';
import type { HoleRow, Site } from './hole-table.ts';
import type { OperationView, Place, Work } from './operation-view.ts';
import { bedMarkTarget, clearanceHoleTarget, datumMarkTarget, pocketTarget } from './targets.ts';

const NO_BOARD = 'the ledger has no fitted board with a measured thickness';

const never = (): boolean => false;
const always = (): boolean => true;
const withheld = (): 'interlock/withheld' => 'interlock/withheld';
const tableSites = (_: MachineRecord, holes: readonly HoleRow[]): readonly HoleRow[] => holes;

function bareBed(): Setting {
  return { board: 'none', screws: false, clamps: false };
}

/** A board on the bed that clamps or vacuum hold, without its screws. */
function boardUnscrewed(): Setting {
  return { board: 'fitted', screws: false, clamps: true };
}

function screwsInBoard({ state }: MachineRecord): boolean {
  return state.board?.pocketed === true && state.inserts.length > 0;
}

function boardInUse(record: MachineRecord): Setting {
  return { board: 'fitted', screws: screwsInBoard(record), clamps: true };
}

/** The bed as the ledger has it, whatever stands there. */
export function bedAsItStands(record: MachineRecord): Setting {
  const fitted = record.state.board !== null;
  return { board: fitted ? 'fitted' : 'none', screws: screwsInBoard(record), clamps: fitted };
}

function needsBoard({ state }: MachineRecord): string | null {
  return state.board ? null : NO_BOARD;
}

/** How low a skim may go follows from the heads that stand in the board: each must be on record. */
function needsKnownScrews(record: MachineRecord): string | null {
  const { state, planned } = record;
  if (!state.board) return NO_BOARD;
  if (!state.board.pocketed) return 'the board is not recorded as pocketed';
  const open = state.inserts.find(({ site }) => !('fixing' in asBuilt(state, site, planned.insert)));
  return open ? `the ledger does not say which screw stands in the board at ${open.site}` : null;
}

/** Pockets and holes are cut once in the life of a board. */
function needsUncutBoard({ state }: MachineRecord): string | null {
  if (!state.board) return NO_BOARD;
  return state.board.pocketed ? 'the board is pocketed and bored already' : null;
}

/**
 * Facts after which a board no longer lies as it was pocketed, or no longer without screws: the bed was worked on bare, the
 * zero was moved, screws were driven, the board was skimmed under them.
 */
const MOVES_BOARD: Readonly<Record<FactKind, boolean>> = {
  board: true,
  mark: true,
  bore: true,
  insert: true,
  fill: true,
  skim: true,
  survey: true,
  datum: true,
  screws: true,
  pocket: false,
  heights: false,
  vacuum: false,
  moisture: false,
  time: false,
  vouch: false,
  withdraw: false,
  note: false,
};

/** Rims are broken where the board was pocketed, before it is lifted or screwed down. */
function rimsForbidden({ machine, state, ledger }: MachineRecord, { form }: ManifestProgram): string | null {
  if (machine.board.rimBreak === null) return 'the profile asks for no rim break';
  if (form !== 'top') return 'nothing in the ledger locates a board that is turned over';
  if (!state.board) return NO_BOARD;
  if (!state.board.pocketed) return null;
  let cut = false;
  let moved: string | null = null;
  for (const fact of ledger.facts) {
    if (fact.fact === 'board') {
      cut = fact.pocketed;
      moved = cut ? 'the board came with its pockets, which were not cut where it lies' : null;
    } else if (fact.fact === 'pocket') cut = true;
    else if (cut && MOVES_BOARD[fact.fact]) {
      moved ??= `the entry \`${fact.fact}\` of ${fact.date} means that the board was lifted or screwed down after its pockets were cut`;
    }
  }
  return moved;
}

/** A patch is let into a board that is in use, with its screws on record. */
function patchForbidden(record: MachineRecord): string | null {
  if (record.machine.board.patch === null) return 'the profile asks for no patch';
  return needsBoard(record) ?? needsKnownScrews(record);
}

function inTravel({ machine }: MachineRecord, x: number, y: number): boolean {
  const { travel } = machine;
  return x >= travel.x[0] && x <= travel.x[1] && y >= travel.y[0] && y <= travel.y[1];
}

/** Survey features are visited where the drawing has them, from where the marks are. */
function surveyPlaces(record: MachineRecord): Place[] {
  const marks = throughMarks(record.machine);
  return (record.survey?.features ?? [])
    .map(({ id, nominal }) => {
      const [x, y] = applyTransform(marks, nominal);
      return { name: id, x, y };
    })
    .filter(({ x, y }) => inTravel(record, x, y));
}

function sitePlaces(record: MachineRecord, holes: readonly HoleRow[]): Place[] {
  return holes.filter(({ x, y }) => inTravel(record, x, y)).map(({ site, x, y }) => ({ name: site, x, y }));
}

function datumMarks({ machine }: MachineRecord): Site[] {
  const { mark, second } = machine.datum;
  return [
    { site: 'datum mark', x: mark[0], y: mark[1] },
    { site: 'second mark', x: second[0], y: second[1] },
  ];
}

function datumWork(record: MachineRecord): Work {
  if (record.machine.datum.made === 'cut') {
    return { kind: 'marks', sites: datumMarks, target: datumMarkTarget };
  }
  return { kind: 'visits', places: () => datumMarks(record).map(({ site, x, y }) => ({ name: site, x, y })) };
}

/** Every operation as the checker sees it. An operation without a view does not compile. */
export const OPERATION_VIEWS: Readonly<Record<OperationName, OperationView>> = {
  'survey-visit': {
    forms: [null],
    setting: bareBed,
    zero: 'bed',
    duty: null,
    mayCutBed: never,
    handTime: 'survey-point',
    forbidden: () => null,
    interlock: withheld,
    work: () => ({ kind: 'visits', places: surveyPlaces }),
  },
  'air-pass': {
    forms: [null],
    setting: bedAsItStands,
    zero: 'board-if-fitted',
    duty: null,
    mayCutBed: never,
    handTime: 'air-pass-site',
    forbidden: () => null,
    interlock: withheld,
    work: () => ({ kind: 'visits', places: sitePlaces }),
  },
  'datum-mark': {
    forms: [null],
    setting: bareBed,
    zero: 'bed',
    duty: 'mark',
    mayCutBed: always,
    handTime: 'mark-by-hand',
    forbidden: ({ machine, state }) =>
      machine.datum.made === 'cut' && state.inserts.length > 0
        ? 'inserts are in the bed, so its datum marks are made already'
        : null,
    interlock: withheld,
    work: datumWork,
  },
  'bed-mark': {
    forms: [null],
    setting: bareBed,
    zero: 'bed',
    duty: 'mark',
    mayCutBed: always,
    handTime: 'stop',
    forbidden: ({ state }, { sites }) => {
      const set = sites.find((site) => state.inserts.some((insert) => insert.site === site));
      return set === undefined ? null : `site ${set} has its insert`;
    },
    interlock: () => 'interlock/bed-mark',
    work: () => ({ kind: 'sites', sites: tableSites, target: bedMarkTarget, also: checkBedMarks }),
  },
  'underside-skim': {
    forms: [null],
    setting: boardUnscrewed,
    zero: 'board',
    duty: 'surface',
    mayCutBed: never,
    handTime: 'stop',
    forbidden: ({ state }) => {
      if (!state.board) return NO_BOARD;
      return state.board.pocketed ? 'the board is pocketed, so its underside lies on the bed' : null;
    },
    interlock: withheld,
    work: () => ({ kind: 'skim' }),
  },
  'socket-pockets': {
    forms: [null],
    setting: boardUnscrewed,
    zero: 'board',
    duty: 'pocket',
    mayCutBed: never,
    handTime: 'stop',
    forbidden: needsUncutBoard,
    interlock: withheld,
    work: () => ({ kind: 'sites', sites: tableSites, target: pocketTarget }),
  },
  'clearance-holes': {
    forms: ['first-fit', 'refit'],
    setting: boardUnscrewed,
    zero: 'board',
    duty: 'drill',
    mayCutBed: (form) => form === 'first-fit',
    handTime: 'stop',
    forbidden: (record, { form }) => {
      const inserts = record.state.inserts.length;
      return form === 'first-fit' && inserts > 0
        ? `the ledger has ${inserts} ${inserts === 1 ? 'insert' : 'inserts'} in the bed, so holes are no longer bored through`
        : needsUncutBoard(record);
    },
    interlock: (form) => (form === 'first-fit' ? 'interlock/first-fit' : 'interlock/withheld'),
    work: () => ({ kind: 'sites', sites: tableSites, target: clearanceHoleTarget, also: checkBreakThrough }),
  },
  'rim-break': {
    forms: ['top', 'underside'],
    setting: boardUnscrewed,
    zero: 'board',
    duty: 'rim',
    mayCutBed: never,
    handTime: 'stop',
    forbidden: rimsForbidden,
    interlock: withheld,
    work: () => ({ kind: 'rims' }),
  },
  surface: {
    forms: [null],
    setting: boardInUse,
    zero: 'board',
    duty: 'surface',
    mayCutBed: never,
    handTime: 'stop',
    forbidden: needsKnownScrews,
    interlock: withheld,
    work: () => ({ kind: 'skim' }),
  },
  trim: {
    forms: [null],
    setting: boardInUse,
    zero: 'board',
    duty: 'trim',
    mayCutBed: never,
    handTime: 'stop',
    forbidden: needsBoard,
    interlock: withheld,
    work: () => ({ kind: 'trim' }),
  },
  patch: {
    forms: [null],
    setting: boardInUse,
    zero: 'board',
    duty: 'pocket',
    mayCutBed: never,
    handTime: 'stop',
    forbidden: patchForbidden,
    interlock: withheld,
    work: () => ({ kind: 'patch' }),
  },
};

/**
 * The cutter that the profile names for an operation; null when none may be in the spindle. A program that only looks has
 * the cutter for marks where the controller keeps lengths: without one nobody knows how high the tip is.
 */
export function cutterOf(operation: OperationName, record: MachineRecord): string | null {
  const { duty, work } = OPERATION_VIEWS[operation];
  const { cutters, controller } = record.machine;
  if (work(record).kind === 'visits') return controller.toolLength === 'G43' ? cutters.mark : null;
  return duty === null ? null : cutters[duty];
}

/** Is the operation's Z 0 counted from the board, where the machine's habit is the top of the board? */
export function worksOverBoard(operation: OperationName, { state }: MachineRecord): boolean {
  const { zero } = OPERATION_VIEWS[operation];
  return zero === 'board' || (zero === 'board-if-fitted' && state.board !== null);
}

/** Height of a program's Z 0 above the bed, from the profile's habit and the ledger's board, mm. */
export function zeroHeightOf(operation: OperationName, record: MachineRecord): number {
  const onTop = record.machine.zZero === 'board-top' && worksOverBoard(operation, record);
  return onTop ? (record.state.board?.thickness ?? 0) : 0;
}
