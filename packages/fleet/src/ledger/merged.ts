import { lengthText, type Units } from '@bedledger/diagnostics';
import type { Fact, FactOf, Ledger } from '../model/ledger.ts';
import { below, type Findings, type Locator, report } from '../report.ts';

/**
 * What a merge of two branches can have done to a ledger. Ledgers are merged line by line, both sides kept (`merge=union` in
 * .gitattributes): right where both only added entries of one line each, and told here where it may not have been.
 */
export function* mergeFindings(ledger: Ledger, units: Units, text: string, at: Locator): Findings {
  const lines = text.split('\n');
  const startOf = (i: number): number | undefined => at(['facts', i]).place?.line;
  for (const [i, fact] of ledger.facts.entries()) {
    const here = below(at, 'facts', i);
    const [from, to] = [startOf(i), startOf(i + 1)];
    const next = i + 1 < ledger.facts.length ? to : lines.length + 1;
    if (from !== undefined && next !== undefined && lines.slice(from, next - 1).some(holdsData)) {
      yield report({
        code: 'ledger/entry-lines',
        ...here([]),
        message: `entry ${i + 1} stands on several lines`,
      });
    }
    const before = ledger.facts[i - 1];
    if (before !== undefined) yield* sameTwice(before, fact, i, units, here);
  }
}

function holdsData(line: string): boolean {
  return !/^\s*(?:#.*)?$/.test(line);
}

/** One line changed on two branches stands there in both versions, one after the other. */
function* sameTwice(before: Fact, fact: Fact, i: number, units: Units, at: Locator): Findings {
  if (before.date !== fact.date) return;
  if (before.fact === 'board' && fact.fact === 'board') {
    const message = `entries ${i} and ${i + 1} are two boards fitted on ${fact.date}`;
    yield report({ code: 'ledger/repeated-entry', ...at(['fact']), message });
  }
  if (before.fact === 'skim' && fact.fact === 'skim' && tookLittle(before, fact)) {
    const depth = lengthText(fact.commanded, units);
    const message = `entries ${i} and ${i + 1} are two skims of ${depth} on ${fact.date}, and the second took less than half of that off`;
    yield report({ code: 'ledger/repeated-entry', ...at(['fact']), message });
  }
}

/** The same depth was commanded again, and the board got thinner by less than half of it. */
function tookLittle(before: FactOf<'skim'>, fact: FactOf<'skim'>): boolean {
  return before.commanded === fact.commanded && mean(before) - mean(fact) < fact.commanded / 2;
}

function mean({ thickness }: FactOf<'skim'>): number {
  return thickness.reduce((sum, t) => sum + t, 0) / thickness.length;
}
