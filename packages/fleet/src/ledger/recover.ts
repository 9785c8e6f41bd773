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
  const starts = entryStarts(text);
  const readTo = (start: number) => {
    const head = text.slice(0, start);
    const empty = starts[0] === start && /^facts:[ \t]*(?:#.*)?\r?\n?\s*$/m.test(head);
    return validateYaml(ledgerSchema, file, empty ? `${head.trimEnd()} []\n` : head, 'ledger').written;
  };
  // A beginning reads when every entry in it does, so the longest one is found by halving.
  let best = -1;
  let torn = starts.length;
  while (torn - best > 1) {
    const middle = (best + torn) >> 1;
    if (readTo(starts[middle]!)) best = middle;
    else torn = middle;
  }
  const start = starts[best];
  const cut = start === undefined ? undefined : readTo(start);
  if (start !== undefined && cut) {
    const head = text.slice(0, start);
    const rest = text.slice(start);
    const line = head.split('\n').length;
    const sound = cut.facts.length;
    const entries = starts.length - best;
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

/** Where each entry of the list begins; the items of a list inside an entry stand farther in. */
function entryStarts(text: string): number[] {
  const starts: number[] = [];
  let indent: string | null = null;
  const item = /^([ \t]*)- /gm;
  for (let m = item.exec(text); m !== null; m = item.exec(text)) {
    indent ??= m[1]!;
    if (m[1] === indent) starts.push(m.index);
  }
  return starts;
}
