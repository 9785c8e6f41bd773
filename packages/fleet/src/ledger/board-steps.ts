import { fineLength, lengthText } from '@bedledger/diagnostics';
import type { BoardState, FactOf } from '../model/ledger.ts';
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
  fold.boards += 1;
  fold.board = {
    fitted: fact.date,
    stock: fact.stock,
    thickness,
    thinnest,
    thicknessWhenFitted: thickness,
    skims: 0,
    pocketed: fact.pocketed,
    ...fixedBy(fact),
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
  if (board.pocketed) {
    yield report({
      code: 'ledger/impossible-order',
      severity: 'warn',
      ...at(['fact']),
      message: 'pockets were made in a board that has them already',
      help: 'record a note when they were made deeper',
    });
  }
  fold.board = { ...board, pocketed: true, ...fixedBy(fact) };
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

function fixedBy(fact: FactOf<'board' | 'pocket'>): Pick<BoardState, 'screwLength' | 'pocketFloor'> {
  return {
    ...(fact.screwLength !== undefined && { screwLength: fact.screwLength }),
    ...(fact.pocketFloor !== undefined && { pocketFloor: fact.pocketFloor }),
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
