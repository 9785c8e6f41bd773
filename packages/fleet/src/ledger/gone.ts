import type { Diagnostic } from '@bedledger/diagnostics';
import { canonicalJson } from '../load/canonical.ts';
import { report } from '../report.ts';
import type { FactWritten } from '../written/ledger.ts';

/** Facts of one kind that are written out by the names of their sites; more are counted. */
const NAMED = 60;

/**
 * Facts that a ledger had and has no longer. Nothing of a ledger is ever erased: what was wrong is withdrawn by another fact.
 * Lines that are gone were lost in a merge, and what they told of stands on the bed all the same.
 *
 * @param before - entries as they stood, and `where`, in words: `at main`
 */
export function factsGone(
  file: string,
  before: readonly FactWritten[],
  after: readonly FactWritten[],
  where: string,
): Diagnostic[] {
  const left = new Map<string, number>();
  for (const fact of after) {
    const key = canonicalJson(fact);
    left.set(key, (left.get(key) ?? 0) + 1);
  }
  const gone = new Map<string, FactWritten[]>();
  for (const fact of before) {
    const key = canonicalJson(fact);
    const count = left.get(key) ?? 0;
    if (count > 0) left.set(key, count - 1);
    else gone.set(fact.fact, [...(gone.get(fact.fact) ?? []), fact]);
  }
  return [...gone].map(([kind, facts]) => {
    const names = facts.map((f) => ('site' in f ? f.site : `the ${kind} of ${f.date}`));
    const listed = names.slice(0, NAMED).join(', ');
    const more = names.length > NAMED ? ` and ${names.length - NAMED} more` : '';
    return report({
      code: 'ledger/facts-gone',
      place: { file },
      message: `${facts.length} ${facts.length === 1 ? 'entry' : 'entries'} \`${kind}\` that the ledger had ${where} ${facts.length === 1 ? 'is' : 'are'} gone: ${listed}${more}`,
      facts: { kind, count: facts.length },
    });
  });
}
