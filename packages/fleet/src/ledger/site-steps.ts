import { lengthText } from '@bedledger/diagnostics';
import { distance } from '@bedledger/geometry';
import type { FactOf, FigureSource, SiteRecord } from '../model/ledger.ts';
import { type Findings, type Locator, report } from '../report.ts';
import type { Fold } from './fold-state.ts';

type SiteFact = FactOf<'mark' | 'bore' | 'insert'>;

/** Two records of one site this far apart, mm, are not one hole: half a millimetre is more than any reading error. */
const SAME_PLACE = 0.5;

/** What a site becomes by a fact. */
const BECOMES = { mark: 'marked', bore: 'bored', insert: 'set' } as const;

export function* siteMarked(fold: Fold, fact: FactOf<'mark'>, at: Locator): Findings {
  const before = fold.sites.get(fact.site);
  if (before?.state === 'set') {
    yield hasInsert(before, fact, at);
    return;
  }
  if (before?.state === 'marked' || before?.state === 'bored') {
    yield report({
      code: 'ledger/repeated',
      severity: before.state === 'marked' ? 'note' : 'warn',
      ...at(['site']),
      message: `site ${fact.site} is recorded as marked, and is ${before.state} already`,
    });
    // A mark does not undo a bore.
    if (before.state === 'bored') return;
  }
  yield* moved(fold, before, fact, at);
  fold.sites.set(fact.site, { state: 'marked', at: fact.at, atFrom: fromOf(fact), date: fact.date });
}

export function* siteBored(fold: Fold, fact: FactOf<'bore'>, at: Locator): Findings {
  const before = fold.sites.get(fact.site);
  if (before?.state === 'set') {
    yield hasInsert(before, fact, at);
    return;
  }
  if (before?.state === 'bored') {
    const message = `site ${fact.site} is recorded as bored twice`;
    yield report({ code: 'ledger/repeated', ...at(['site']), message });
  } else if (before?.state !== 'marked') {
    yield skippedStep(fact, 'marked', at);
  }
  yield* moved(fold, before, fact, at);
  const { diameter, depth, date } = fact;
  fold.sites.set(fact.site, { state: 'bored', at: fact.at, atFrom: fromOf(fact), date, depth, diameter });
}

export function* siteSet(fold: Fold, fact: FactOf<'insert'>, at: Locator): Findings {
  const before = fold.sites.get(fact.site);
  if (before?.state === 'set' && completes(before, fact)) {
    fold.sites.set(fact.site, { ...before, figures: fact.figures });
    return;
  }
  if (before?.state === 'set') {
    yield hasInsert(before, fact, at);
    return;
  }
  if (before?.state !== 'bored') yield skippedStep(fact, 'bored', at);
  yield* moved(fold, before, fact, at);
  const bore = before?.depth === undefined ? {} : { depth: before.depth, diameter: before.diameter! };
  fold.sites.set(fact.site, {
    state: 'set',
    at: fact.at,
    atFrom: fromOf(fact),
    date: fact.date,
    insert: fact.insert,
    ...(fact.figures && { figures: fact.figures }),
    ...bore,
  });
}

export function* siteFilled(fold: Fold, fact: FactOf<'fill'>, at: Locator): Findings {
  const before = fold.sites.get(fact.site);
  if (!before || before.state === 'filled') {
    yield report({
      code: 'ledger/impossible-order',
      ...at(['site']),
      message: `site ${fact.site} is filled, but nothing was ever ${before ? 'made there since it was last filled' : 'recorded there'}`,
      help: 'correct the site, or record what was there first',
    });
    return;
  }
  fold.sites.set(fact.site, { state: 'filled', at: before.at, atFrom: before.atFrom, date: fact.date });
}

/** An old ledger has the insert without its figures: the same insert told again with them is no second one. */
function completes(
  before: SiteRecord,
  fact: FactOf<'insert'>,
): fact is FactOf<'insert'> & { figures: object } {
  return (
    before.figures === undefined &&
    fact.figures !== undefined &&
    before.insert === fact.insert &&
    distance(before.at, fact.at) <= SAME_PLACE
  );
}

function fromOf(fact: SiteFact): FigureSource {
  return fact.atFrom ?? 'planned';
}

function hasInsert(before: SiteRecord, fact: SiteFact, at: Locator) {
  return report({
    code: 'ledger/impossible-order',
    ...at(['site']),
    message: `site ${fact.site} has an insert since ${before.date}, and is recorded as ${BECOMES[fact.fact]} again`,
    help: `record \`fact: fill\` for ${fact.site} first when the old hole was filled`,
  });
}

function skippedStep(fact: SiteFact, needed: 'marked' | 'bored', at: Locator) {
  return report({
    code: 'ledger/skipped-step',
    ...at(['site']),
    message: `site ${fact.site} is recorded as ${BECOMES[fact.fact]}, but never as ${needed}`,
    help: `record that it was ${needed}, with its date`,
  });
}

function* moved(fold: Fold, before: SiteRecord | undefined, fact: SiteFact, at: Locator): Findings {
  // A filled hole and the next one at the same site may be apart.
  if (!before || before.state === 'filled') return;
  const by = distance(before.at, fact.at);
  if (by <= SAME_PLACE) return;
  yield report({
    code: 'ledger/moved',
    ...at(['at']),
    message: `site ${fact.site} is recorded ${lengthText(by, fold.units)} from where it was ${before.state}`,
    help: 'a hole does not move: correct one of the two positions',
  });
}
