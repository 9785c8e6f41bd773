import type { Diagnostic, Place } from '@bedledger/diagnostics';
import { didYouMean, visible } from '@bedledger/diagnostics';

export interface Cell {
  readonly text: string;
  readonly place: Place;
}

export interface CsvTable {
  readonly columns: readonly string[];
  readonly rows: readonly {
    readonly cells: readonly Cell[];
    readonly line: number;
    readonly excerpt: string;
  }[];
  readonly diagnostics: readonly Diagnostic[];
}

/** Largest table of a fleet: a height map of a quarter of a million points. */
const MOST_ROWS = 250_000;

/**
 * Plain comma-separated text: a header line, then one row a line; `#` begins a comment line; no quoting is needed, so a
 * quote is refused (RFC 4180 without its quoted form). `columns` are required, `optional` ones may follow, in any order.
 */
export function readCsv(
  file: string,
  text: string,
  columns: readonly string[],
  optional: readonly string[] = [],
): CsvTable {
  const diagnostics: Diagnostic[] = [];
  const rows: CsvTable['rows'][number][] = [];
  let header: readonly string[] | null = null;
  const lines = text.replace(/^\ufeff/, '').split(/\r?\n|\r/);
  const report = (word: string, message: string, place: Place, excerpt: string, help?: string) =>
    diagnostics.push({
      code: `csv/${word}`,
      severity: 'stop',
      message,
      place,
      excerpt,
      ...(help ? { help } : {}),
    });

  for (const [index, raw] of lines.entries()) {
    const excerpt = raw.endsWith('\r') ? raw.slice(0, -1) : raw;
    const line = index + 1;
    if (excerpt.trim() === '' || excerpt.trimStart().startsWith('#')) continue;
    if (diagnostics.length >= 50) break;
    const cells: Cell[] = [];
    let column = 1;
    for (const part of excerpt.split(',')) {
      const lead = part.length - part.trimStart().length;
      const trimmed = part.trim();
      cells.push({
        text: trimmed,
        place: { file, line, column: column + lead, endColumn: column + lead + Math.max(1, trimmed.length) },
      });
      column += part.length + 1;
    }
    const quoted = cells.find((c) => c.text.includes('"'));
    if (quoted) {
      report('quote', 'quotes are not used in this table', quoted.place, excerpt, 'leave the quotes out');
      continue;
    }
    const other = header === null ? /[;\t]/.exec(excerpt)?.[0] : undefined;
    if (other !== undefined) {
      report(
        'separator',
        `the columns are separated by ${other === ';' ? 'semicolons' : 'tabs'}, expected commas`,
        { file, line, column: excerpt.indexOf(other) + 1 },
        excerpt,
        'save the table with commas between the columns and decimal points in the numbers',
      );
      break;
    }
    if (!header) {
      header = cells.map((c) => c.text);
      const known = [...columns, ...optional];
      for (const [i, c] of cells.entries()) {
        if (!known.includes(c.text)) {
          const near = didYouMean(
            c.text,
            known.filter((k) => !header!.includes(k)),
          );
          report(
            'unknown-column',
            `unknown column \`${visible(c.text)}\``,
            c.place,
            excerpt,
            near ?? `the columns are ${known.join(', ')}`,
          );
        } else if (header.indexOf(c.text) !== i) {
          report(
            'repeated-column',
            `column \`${c.text}\` is here twice`,
            c.place,
            excerpt,
            'remove one of them',
          );
        }
      }
      if (diagnostics.length === 0) {
        for (const c of columns) {
          if (!header.includes(c))
            report(
              'missing-column',
              `column \`${c}\` is missing`,
              { file, line, column: 1 },
              excerpt,
              `the header line is \`${known.join(',')}\``,
            );
        }
      }
      if (diagnostics.length > 0) break;
      continue;
    }
    if (cells.length !== header.length) {
      report(
        'cells',
        `the row has ${cells.length} cells, expected ${header.length}`,
        { file, line, column: 1 },
        excerpt,
        `the columns are ${header.join(', ')}`,
      );
      continue;
    }
    if (rows.length >= MOST_ROWS) {
      report(
        'too-long',
        `the table has more than ${MOST_ROWS} rows`,
        { file, line, column: 1 },
        excerpt,
        'thin the readings out',
      );
      break;
    }
    rows.push({ cells, line, excerpt });
  }
  if (!header && diagnostics.length === 0) {
    report(
      'empty',
      'the table is empty',
      { file, line: 1, column: 1 },
      '',
      `begin with the header line \`${[...columns, ...optional].join(',')}\``,
    );
  }
  return { columns: header ?? [], rows, diagnostics };
}

/** A plain decimal number of a cell; null when it is none, or out of any reach. */
export function cellNumber(text: string): number | null {
  if (!/^[-+]?(?:\d{1,9}(?:\.\d{0,12})?|\.\d{1,12})$/.test(text)) return null;
  return Number(text) + 0;
}
