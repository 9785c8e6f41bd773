import type { Diagnostic } from '@bedledger/diagnostics';
import type { Fact, Ledger } from '../model/ledger.ts';
import { type Locator, report } from '../report.ts';

/**
 * The facts that stand: what a later fact withdraws, and the withdrawal itself, become notes, so that nobody reckons with
 * them and every other fact keeps its number. Nothing is erased in the file. A withdrawal that names another fact than it
 * says (its kind or its day differ), a later one, or a withdrawal is a stop: which fact was meant must not be guessed.
 */
export function strikeWithdrawn(
  ledger: Ledger,
  at: Locator,
): { readonly ledger: Ledger; readonly diagnostics: readonly Diagnostic[] } {
  const withdrawn = new Set<number>();
  const diagnostics: Diagnostic[] = [];
  for (const [i, fact] of ledger.facts.entries()) {
    if (fact.fact !== 'withdraw') continue;
    const refuse = (message: string, help?: string): void => {
      diagnostics.push(
        report({
          code: 'ledger/withdraws-nothing',
          ...at(['facts', i, 'of']),
          message,
          help,
          facts: { entry: i + 1, of: fact.of },
        }),
      );
    };
    const target = ledger.facts[fact.of - 1];
    if (target === undefined || fact.of - 1 >= i) {
      refuse(`fact ${fact.of} is withdrawn, and only ${i} facts stand before this one`);
    } else if (target.fact !== fact.kind || target.date !== fact.day) {
      refuse(
        `fact ${fact.of} is the ${target.fact} of ${target.date}, and the ${fact.kind} of ${fact.day} is withdrawn`,
        'correct `of`, `kind` and `day` so that they are of one fact: facts are counted from 1, from the top of the list',
      );
    } else if (target.fact === 'withdraw') {
      refuse('a withdrawal is withdrawn', 'record the first fact again instead');
    } else if (withdrawn.has(fact.of - 1)) {
      refuse(`the ${fact.kind} of ${fact.day} is withdrawn already`);
    } else {
      withdrawn.add(fact.of - 1);
      withdrawn.add(i);
    }
  }
  if (withdrawn.size === 0) return { ledger, diagnostics };
  return { ledger: { facts: ledger.facts.map((f, i) => (withdrawn.has(i) ? struck(f) : f)) }, diagnostics };
}

function struck(fact: Fact): Fact {
  const text =
    fact.fact === 'withdraw'
      ? `the ${fact.kind} of ${fact.day} (fact ${fact.of}) is withdrawn: ${fact.reason}`
      : `${fact.fact}, withdrawn`;
  return { fact: 'note', date: fact.date, text };
}
