import { type Diagnostic, hasStop, InputError } from '@bedledger/diagnostics';
import { isMap, isScalar, isSeq, parseDocument } from 'yaml';
import { canonicalJson } from '../load/canonical.ts';
import type { Machine } from '../model/machine.ts';
import { normaliseLedger } from '../normal/ledger.ts';
import { report } from '../report.ts';
import { validateYaml } from '../source/validate.ts';
import { type FactWritten, type LedgerWritten, ledgerSchema } from '../written/ledger.ts';
import { inForce } from './datum.ts';
import { foldLedger } from './fold.ts';
import { formatFact } from './format-fact.ts';
import { strikeWithdrawn } from './withdrawn.ts';

/** Where no house rule is at hand, mm (ours). */
const SURVEY_LIMIT = 1;

export interface AppendOptions {
  /** Path shown in findings. Default: `ledger.yaml`. */
  readonly file?: string;
  /** Lets the checks know the zones of the bed. */
  readonly machine?: Machine;
  /** Greatest change of the distance between the datum marks, mm: the house's survey limit. */
  readonly surveyLimit?: number;
}

export interface Appended {
  /** The whole new text; null when the fact cannot be recorded. */
  readonly text: string | null;
  /** Stops say why nothing is written; warnings are worth a look, the fact is in `text` all the same. */
  readonly diagnostics: readonly Diagnostic[];
}

/** End of the line that holds `offset`, its line break included. */
function afterLine(text: string, offset: number): number {
  const end = text.indexOf('\n', offset);
  return end < 0 ? text.length : end + 1;
}

function insertItems(text: string, lines: readonly string[]): string | null {
  const eol = text.includes('\r\n') ? '\r\n' : '\n';
  const doc = parseDocument(text);
  if (!isMap(doc.contents)) return null;
  const index = doc.contents.items.findIndex((p) => isScalar(p.key) && p.key.value === 'facts');
  const pair = doc.contents.items[index];
  const seq = pair?.value;
  if (!isSeq(seq) || !seq.range) return null;
  const [start, end] = seq.range;
  if (seq.flow) {
    const last = seq.items.at(-1) as { range?: [number, number, number] } | undefined;
    if (!last) {
      // `facts: []` becomes a block sequence; a comment behind it stays on its line.
      const opened = text.slice(0, start).replace(/ +$/, '') + text.slice(end);
      const at = afterLine(opened, start - 1);
      const head = opened.slice(0, at);
      const items = lines.map((line) => `  - ${line}${eol}`).join('');
      return `${head}${head.endsWith('\n') ? '' : eol}${items}${opened.slice(at)}`;
    }
    if (!last.range) return null;
    return `${text.slice(0, last.range[1])}, ${lines.join(', ')}${text.slice(last.range[1])}`;
  }
  const column = start - (text.lastIndexOf('\n', start - 1) + 1);
  const items = lines.map((line) => `${' '.repeat(column)}- ${line}${eol}`).join('');
  const lastPair = index === doc.contents.items.length - 1;
  const at = lastPair
    ? text.length
    : afterLine(text, (seq.items.at(-1) as { range: [number, number, number] }).range[1] - 1);
  const head = text.slice(0, at);
  return `${head}${head === '' || head.endsWith('\n') ? '' : eol}${items}${text.slice(at)}`;
}

/**
 * A ledger's text with some facts more, at the end of its list: all of them or none. Everything that is there stays byte
 * for byte, comments included. The facts are held against the schema and against everything recorded before; the result
 * is read back and compared before it is returned. Quantities are as written in a ledger: a bare number is in the
 * ledger's unit, a text carries its own (`18.04 mm`).
 */
export function tryAppendFacts(
  ledgerText: string,
  facts: readonly FactWritten[],
  options: AppendOptions = {},
): Appended {
  const file = options.file ?? 'ledger.yaml';
  const before = validateYaml(ledgerSchema, file, ledgerText, 'ledger');
  if (!before.written) return { text: null, diagnostics: before.diagnostics };

  const lines = facts.map((fact) => formatFact(JSON.parse(JSON.stringify(fact)) as FactWritten));
  // The facts alone first, so that what is wrong with them is shown as they would stand, not at the end of a long file.
  const alone = validateYaml<LedgerWritten>(
    ledgerSchema,
    facts.length === 1 ? 'the new entry' : 'the new entries',
    `units: ${before.written.units}\nfacts:\n${lines.map((line) => `  - ${line}\n`).join('')}`,
    'ledger',
  );
  if (!alone.written) return { text: null, diagnostics: alone.diagnostics };

  const text = insertItems(ledgerText, lines);
  const unsafe = (why: string): Appended => ({
    text: null,
    diagnostics: [
      report({
        code: 'ledger/cannot-append',
        message: `the entry cannot be added without touching what is there: ${why}`,
        place: { file },
        help: `add it by hand as the last entry of \`facts\`: ${lines.map((line) => `- ${line}`).join(' ')}`,
      }),
    ],
  });
  if (text === null) return unsafe('`facts` is not a plain list');
  const after = validateYaml(ledgerSchema, file, text, 'ledger');
  if (!after.written) return unsafe('the result would not be a ledger');
  const stood = before.written.facts.length;
  if (
    canonicalJson({ ...after.written, facts: after.written.facts.slice(0, stood) }) !==
      canonicalJson(before.written) ||
    canonicalJson(after.written.facts.slice(stood)) !== canonicalJson(alone.written.facts)
  ) {
    return unsafe('reading it back gives something else');
  }

  const { machine } = options;
  const { at } = after.source;
  const standing = strikeWithdrawn(normaliseLedger(after.written), at);
  const written = standing.ledger;
  const today = machine && inForce(written, null, machine, options.surveyLimit ?? SURVEY_LIMIT, at);
  const folded = foldLedger(today?.ledger ?? written, machine, machine?.units ?? after.written.units, at);
  const diagnostics = [...standing.diagnostics, ...(today?.diagnostics ?? []), ...folded.diagnostics].filter(
    (d) => Number(d.facts?.entry) > stood,
  );
  return { text: hasStop(diagnostics) ? null : text, diagnostics };
}

/** One fact more. */
export function tryAppendFact(ledgerText: string, fact: FactWritten, options: AppendOptions = {}): Appended {
  return tryAppendFacts(ledgerText, [fact], options);
}

/**
 * Like `tryAppendFact`, for callers that want the text or nothing.
 * @throws InputError with every finding when the fact cannot be recorded
 */
export function appendFact(ledgerText: string, fact: FactWritten, options: AppendOptions = {}): string {
  const { text, diagnostics } = tryAppendFact(ledgerText, fact, options);
  if (text === null) throw new InputError(diagnostics);
  return text;
}
