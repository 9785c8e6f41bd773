import { fineLength, lengthText } from '@bedledger/diagnostics';
import type { BuiltBoard, BuiltSite, FactOf, PocketFigures } from '../model/ledger.ts';
import { type Findings, type Locator, report } from '../report.ts';
import type { Fold } from './fold-state.ts';

/** Readings of one board that differ more than this, mm, are worth a second look (ours). */
const SPREAD = 1.5;
/** A board that reads this much thicker after a skim, mm, is a reading error or another board. */
const GROWS = 0.05;
/** A skim may miss its depth by this, mm, or by the depth itself where that is more (ours). */
const MISSES = 0.5;

export function* boardFitted(fold: Fold, fact: FactOf<'board'>, at: Locator): Findings {
  yield* spread(fold, fact.thickness, at);
  const { thickness, thinnest } = measured(fact.thickness);
  yield* floorsInBoard(fold, fact, thickness, at);
  fold.boards += 1;
  fold.board = {
    fitted: fact.date,
    stock: fact.stock,
    thickness,
    thinnest,
    thicknessWhenFitted: thickness,
    skims: 0,
    pocketed: fact.pocketed,
    skimmedPocketed: false,
    built: { everywhere: fact.pocketed ? { pocket: pocketOf(fact) } : {}, sites: new Map() },
    held: fact.held ?? null,
    history: [{ date: fact.date, thickness }],
    ordinal: fold.boards,
  };
  // A map of the old board says nothing about the new one.
  fold.latestHeights = null;
}

export function* boardPocketed(fold: Fold, fact: FactOf<'pocket'>, at: Locator): Findings {
  const { board } = fold;
  if (!board) {
    yield noBoard('pockets were made, but no board is recorded as fitted', at);
    return;
  }
  if (board.pocketed && !fact.sites) {
    yield report({
      code: 'ledger/impossible-order',
      severity: 'warn',
      ...at(['fact']),
      message: 'pockets were made in a board that has them already',
      help: 'record a note when they were made deeper',
    });
  }
  yield* floorsInBoard(fold, fact, board.thickness, at);
  const pocket = pocketOf(fact);
  fold.board = {
    ...board,
    pocketed: true,
    built: withBuilt(board.built, fact.sites, { pocket }),
    held: fact.held ?? board.held,
  };
}

export function* boardScrewed(fold: Fold, fact: FactOf<'screws'>, at: Locator): Findings {
  const { board } = fold;
  if (!board) {
    yield noBoard('screws were driven, but no board is recorded as fitted', at);
    return;
  }
  if (!board.pocketed) {
    yield report({
      code: 'ledger/impossible-order',
      ...at(['fact']),
      message: 'screws were driven into a board that is not recorded as pocketed',
      help: 'record the pockets first, with their date',
    });
    return;
  }
  const { fact: _, date: __, how: ___, sites, ...screw } = fact;
  yield* screwPlausible(fold, fact, at);
  fold.board = { ...board, built: withBuilt(board.built, sites, { screw }) };
}

/** Largest sizes that any screw, washer, socket or pocket of a board has, mm (ours): more is another unit or a slip. */
const LARGEST = { screw: 200, head: 60, washer: 20, socket: 100, pocket: 100 };

/** Figures of a screw that some screw can have, and a thread that goes into the inserts that are in the bed. */
function* screwPlausible(fold: Fold, fact: FactOf<'screws'>, at: Locator): Findings {
  const { head, washer, socket, length } = fact;
  yield* within(fold, 'the screws', 'long', length, LARGEST.screw, at, ['length']);
  yield* within(fold, 'the heads', 'high', head.height.value, LARGEST.head, at, ['head', 'height']);
  yield* within(fold, 'the heads', 'wide', head.diameter.value, LARGEST.head, at, ['head', 'diameter']);
  yield* within(fold, 'the socket', 'wide', socket.value, LARGEST.socket, at, ['socket']);
  if (washer) {
    const { thickness, outside } = washer;
    yield* within(fold, 'the washers', 'thick', thickness.value, LARGEST.washer, at, ['washer', 'thickness']);
    yield* within(fold, 'the washers', 'wide', outside.value, LARGEST.pocket, at, ['washer', 'outside']);
  }
  const sites = fact.sites ?? [...fold.sites.keys()];
  const foreign = sites.filter((site) => {
    const hole = fold.sites.get(site);
    const thread = hole?.state === 'set' ? hole.figures?.thread : undefined;
    return thread !== undefined && thread !== fact.thread;
  });
  const [first] = foreign;
  if (first === undefined) return;
  yield report({
    code: 'ledger/other-thread',
    ...at(['thread']),
    message: `screws ${fact.thread} are recorded, and the insert at ${first}${foreign.length > 1 ? ` and ${foreign.length - 1} more` : ''} is ${fold.sites.get(first)?.figures?.thread}`,
  });
}

function* within(
  fold: Fold,
  what: string,
  how: string,
  size: number,
  most: number,
  at: Locator,
  path: readonly string[],
): Findings {
  if (size <= most) return;
  yield report({
    code: 'ledger/not-plausible',
    ...at(path),
    message: `${what} recorded as ${lengthText(size, fold.units)} ${how}, expected ${lengthText(most, fold.units)} at most`,
  });
}

/** Widths of pockets and holes that some board can have; a hole is narrower than the pocket above it. */
function* widthsPlausible(fold: Fold, fact: FactOf<'board' | 'pocket'>, at: Locator): Findings {
  if (fact.screwLength !== undefined)
    yield* within(fold, 'the screws', 'long', fact.screwLength, LARGEST.screw, at, ['screw_length']);
  const pockets = [fact.pocketDiameter ?? 0, ...Object.values(fact.pockets ?? {})];
  const holes = [fact.holeDiameter ?? 0, ...Object.values(fact.holes ?? {})];
  yield* within(fold, 'pockets', 'wide', Math.max(...pockets), LARGEST.pocket, at, [
    fact.pocketDiameter === undefined ? 'pockets' : 'pocket_diameter',
  ]);
  const widest = Math.max(...pockets);
  const hole = Math.max(...holes);
  if (widest === 0 || hole < widest) return;
  yield report({
    code: 'ledger/not-plausible',
    ...at([fact.holeDiameter === undefined ? 'holes' : 'hole_diameter']),
    message: `a hole is recorded ${lengthText(hole, fold.units)} wide, and the pocket over it is ${lengthText(widest, fold.units)}: a head would fall through`,
  });
}

/** A pocket's floor lies inside the board it is cut into. */
function* floorsInBoard(
  fold: Fold,
  fact: FactOf<'board' | 'pocket'>,
  thickness: number,
  at: Locator,
): Findings {
  const floors: (readonly [string[], number])[] = Object.entries(fact.floors ?? {}).map(([site, floor]) => [
    ['floors', site],
    floor,
  ]);
  if (fact.pocketFloor !== undefined) floors.push([['pocket_floor'], fact.pocketFloor]);
  yield* widthsPlausible(fold, fact, at);
  for (const [path, floor] of floors) {
    if (floor < thickness) continue;
    yield report({
      code: 'ledger/not-plausible',
      ...at(path),
      message: `the floor of a pocket is recorded ${lengthText(floor, fold.units)} above the bed, and the board is ${lengthText(thickness, fold.units)} thick`,
      help: 'a floor is measured from the bed; a depth measured from the surface is `record … pocket --pocket-depth`',
    });
  }
}

/** What is in the board after something was made at some sites, or at all of them. */
function withBuilt(built: BuiltBoard, sites: readonly string[] | undefined, made: BuiltSite): BuiltBoard {
  if (sites === undefined) {
    // What was made everywhere replaces what single sites had of it.
    const kept = [...built.sites].map(([site, was]) => [site, without(was, made)] as const);
    return {
      everywhere: { ...built.everywhere, ...made },
      sites: new Map(kept.filter(([, was]) => Object.keys(was).length > 0)),
    };
  }
  const changed = new Map(built.sites);
  for (const site of sites) changed.set(site, { ...changed.get(site), ...made });
  return { ...built, sites: changed };
}

function without(was: BuiltSite, made: BuiltSite): BuiltSite {
  return {
    ...(was.pocket && !made.pocket && { pocket: was.pocket }),
    ...(was.screw && !made.screw && { screw: was.screw }),
  };
}

export function* boardSkimmed(fold: Fold, fact: FactOf<'skim'>, at: Locator): Findings {
  const { board, units } = fold;
  if (!board) {
    yield noBoard('a board was surfaced, but none is recorded as fitted', at);
    return;
  }
  yield* spread(fold, fact.thickness, at);
  const { thickness, thinnest } = measured(fact.thickness);
  const taken = board.thickness - thickness;
  if (fact.commanded >= board.thickness) {
    yield report({
      code: 'ledger/not-plausible',
      ...at(['commanded']),
      message: `a skim of ${fineLength(fact.commanded, units)} is recorded, and the board was ${fineLength(board.thickness, units)} thick`,
    });
  }
  if (thickness > board.thickness + GROWS) {
    yield report({
      code: 'ledger/grows',
      ...at(['thickness']),
      message: `the board is ${fineLength(thickness, units)} thick after a skim, but was ${fineLength(board.thickness, units)} before it`,
    });
  } else if (Math.abs(taken - fact.commanded) > Math.max(MISSES, fact.commanded)) {
    yield report({
      code: 'ledger/skim-differs',
      ...at(['thickness']),
      message: `the skim of ${fineLength(fact.commanded, units)} took ${fineLength(taken, units)} off`,
    });
  }
  fold.board = {
    ...board,
    thickness,
    thinnest,
    skims: board.skims + 1,
    skimmedPocketed: board.pocketed,
    history: [...board.history, { date: fact.date, thickness }],
  };
  // The surface the map was taken of is gone.
  fold.latestHeights = null;
}

export function* boardHeights(fold: Fold, fact: FactOf<'heights'>, at: Locator): Findings {
  if (!fold.board) yield noBoard('a height map was taken, but no board is recorded as fitted', at, 'warn');
  fold.latestHeights = fact.file;
}

function noBoard(message: string, at: Locator, severity?: 'warn') {
  const help = 'record the board first';
  return report({ code: 'ledger/impossible-order', severity, ...at(['fact']), message, help });
}

/** Mean and least of one board's readings, mm. */
function measured(readings: readonly number[]): { thickness: number; thinnest: number } {
  let sum = 0;
  for (const v of readings) sum += v;
  return { thickness: sum / readings.length, thinnest: Math.min(...readings) };
}

function pocketOf(fact: FactOf<'board' | 'pocket'>): PocketFigures {
  const { screwLength, pocketFloor, floors, floorFrom, pocketDiameter, pockets, holeDiameter, holes, held } =
    fact;
  return {
    ...(screwLength !== undefined && { screwLength }),
    ...(pocketFloor !== undefined && { pocketFloor }),
    ...(floors && { floors }),
    ...(floorFrom && { floorFrom }),
    ...(pocketDiameter !== undefined && { pocketDiameter }),
    ...(pockets && { pockets }),
    ...(holeDiameter !== undefined && { holeDiameter }),
    ...(holes && { holes }),
    ...(held && { held }),
  };
}

function* spread(fold: Fold, readings: readonly number[], at: Locator): Findings {
  const by = Math.max(...readings) - Math.min(...readings);
  if (by <= SPREAD) return;
  yield report({
    code: 'ledger/spread',
    ...at(['thickness']),
    message: `the readings differ by ${lengthText(by, fold.units)}`,
    help: 'measure again; one of them may be a typing error',
  });
}
