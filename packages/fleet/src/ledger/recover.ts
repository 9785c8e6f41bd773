import { type Diagnostic, visible } from '@bedledger/diagnostics';
import { report } from '../report.ts';
import { validateYaml } from '../source/validate.ts';
import { ledgerSchema } from '../written/ledger.ts';

export interface LedgerDamage {
  /** Entries before the damage that read whole. */
  readonly sound: number;
  /** Line where the damaged part begins, from 1. */
  readonly line: number;
  /** The damaged part as it stands in the file: nothing of it is thrown away. */
  readonly rest: string;
  readonly diagnostics: readonly Diagnostic[];
}

/** No ledger is searched longer than this: the damage is nearly always in the last entry. */
const MOST_CUTS = 400;

/**
 * What can still be read of a ledger that does not read as a whole: the longest beginning that ends with a whole entry.
 * Null when the ledger is sound. Nothing is repaired: the result says what is sound, what is not, and what to do.
 */
export function examineLedger(file: string, text: string): LedgerDamage | null {
  const whole = validateYaml(ledgerSchema, file, text, 'ledger');
  if (whole.written) return null;
  // Nothing is torn: somebody must decide between two versions.
  if (whole.diagnostics.some((d) => d.code === 'file/merge-markers'))
    return { sound: 0, line: 1, rest: text, diagnostics: whole.diagnostics };
  const starts: number[] = [];
  const item = /^[ \t]*- /gm;
  for (let m = item.exec(text); m !== null; m = item.exec(text)) starts.push(m.index);
  for (const start of starts.slice(-MOST_CUTS).reverse()) {
    const head = text.slice(0, start);
    const facts =
      /^facts:[ \t]*(?:#.*)?\r?\n?\s*$/m.test(head) && starts[0] === start ? `${head.trimEnd()} []\n` : head;
    const cut = validateYaml(ledgerSchema, file, facts, 'ledger');
    if (!cut.written) continue;
    const rest = text.slice(start);
    const line = head.split('\n').length;
    const sound = cut.written.facts.length;
    const entries = starts.filter((s) => s >= start).length;
    const first = rest.split('\n')[0]!.trim();
    return {
      sound,
      line,
      rest,
      diagnostics: [
        report({
          code: 'ledger/damaged',
          message: `the ledger is damaged from entry ${sound + 1} on: ${sound} ${sound === 1 ? 'entry is' : 'entries are'} sound, ${entries} ${entries === 1 ? 'is' : 'are'} not`,
          place: { file, line, column: 1 },
          excerpt: rest.split('\n')[0]!.replace(/\r$/, ''),
          facts: { sound, damaged: entries },
          help: `complete the entry that begins \`${visible(first.slice(0, 60))}\` from the last committed version or from the run sheet; do not delete it: what is in the bed stays there`,
        }),
      ],
    };
  }
  return { sound: 0, line: 1, rest: text, diagnostics: whole.diagnostics };
}
