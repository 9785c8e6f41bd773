import { type Diagnostic, lengthText, type Units } from '@bedledger/diagnostics';
import type { BedState, Fact, FactKind, FactOf, Ledger } from '../model/ledger.ts';
import type { Machine } from '../model/machine.ts';
import { below, type Findings, type Locator, nowhere, report } from '../report.ts';
import { boardFitted, boardHeights, boardPocketed, boardScrewed, boardSkimmed } from './board-steps.ts';
import type { Fold, Step } from './fold-state.ts';
import { siteBored, siteFilled, siteMarked, siteSet } from './site-steps.ts';
import { vacuumRead } from './vacuum-step.ts';
import { strikeWithdrawn } from './withdrawn.ts';

/** What every kind of fact does to the bed. A new kind does not compile until it is answered for here. */
const STEPS: { readonly [K in FactKind]: Step<K> } = {
  mark: siteMarked,
  bore: siteBored,
  insert: siteSet,
  fill: siteFilled,
  board: boardFitted,
  pocket: boardPocketed,
  screws: boardScrewed,
  skim: boardSkimmed,
  heights: boardHeights,
  survey: surveyed,
  vacuum: vacuumRead,
  datum: changesNothing,
  vouch: vouched,
  withdraw: changesNothing,
  moisture: changesNothing,
  time: changesNothing,
  note: changesNothing,
};

function changesNothing(): Findings {
  return [];
}

function surveyed(fold: Fold, fact: FactOf<'survey'>): Findings {
  if (fold.latestSurvey === null || fact.date >= fold.latestSurvey) fold.latestSurvey = fact.date;
  return [];
}

/** Farther than this from its drawing a bed is another bed, mm (ours): features are found 2.5 to 5 mm away. */
const FARTHEST_VOUCHED = 25;

function* vouched(fold: Fold, fact: FactOf<'vouch'>, at: Locator): Findings {
  fold.vouched = fact.deviation;
  if (fact.deviation <= FARTHEST_VOUCHED) return;
  yield report({
    code: 'ledger/not-plausible',
    ...at(['deviation']),
    message: `a drawing that is ${lengthText(fact.deviation, fold.units)} off is no drawing of this bed, expected ${lengthText(FARTHEST_VOUCHED, fold.units)} at most`,
  });
}

/** What the checks of a ledger know of its machine. */
export type KnownMachine = Pick<Machine, 'units' | 'bed'>;

/**
 * Fold the facts, oldest first, and note every step that cannot have happened. Each finding says by `facts.entry` which
 * entry it is of, counting from 1. `at` locates in the ledger's file.
 * Positions are those of the facts (surveyed bed frame, mm). Pure; never throws.
 */
export function foldLedger(
  ledger: Ledger,
  machine: KnownMachine | null = null,
  units: Units = machine?.units ?? 'mm',
  at: Locator = nowhere,
): { state: BedState; diagnostics: Diagnostic[] } {
  const fold: Fold = {
    sites: new Map(),
    board: null,
    boards: 0,
    latestHeights: null,
    latestSurvey: null,
    vouched: null,
    units,
    zones: machine && new Set(machine.bed.zones.map((z) => z.id)),
  };
  const struck = strikeWithdrawn(ledger, at);
  const diagnostics: Diagnostic[] = [...struck.diagnostics];
  let before: Fact | null = null;
  for (const [i, fact] of struck.ledger.facts.entries()) {
    const here = below(at, 'facts', i);
    const step = STEPS[fact.fact] as Step<FactKind>;
    for (const found of [...outOfOrder(before, fact, here), ...step(fold, fact, here)]) {
      const each = 'site' in fact ? { each: fact.site } : {};
      diagnostics.push({ ...found, ...each, facts: { ...found.facts, entry: i + 1 } });
    }
    // Against the fact before it, not the latest of all: one wrong date is one finding.
    before = fact;
  }
  const { sites, board, latestHeights, latestSurvey, vouched } = fold;
  const inserts = [...sites].flatMap(([site, { state, at: place, insert, figures }]) =>
    state === 'set' && insert !== undefined ? [{ site, at: place, insert, ...(figures && { figures }) }] : [],
  );
  return { state: { sites, inserts, board, latestHeights, latestSurvey, vouched }, diagnostics };
}

function* outOfOrder(before: Fact | null, fact: Fact, at: Locator): Findings {
  if (before === null || fact.date >= before.date) return;
  yield report({
    code: 'ledger/date-order',
    ...at(['date']),
    message: `the fact of ${fact.date} stands after one of ${before.date}`,
  });
}

/** What the facts add up to: the state of every site, the inserts in the bed, the board that is on it. */
export function bedState(ledger: Ledger, machine?: KnownMachine): BedState {
  return foldLedger(ledger, machine).state;
}
