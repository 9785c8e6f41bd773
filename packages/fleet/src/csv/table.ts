import { type Diagnostic, didYouMean, type Place, visible } from '@bedledger/diagnostics';
import { report, type Spot } from '../report.ts';
import { mergeMarkers } from '../source/merge-markers.ts';

export interface Cell {
  readonly text: string;
  readonly place: Place;
}

export interface Row {
  readonly cells: readonly Cell[];
  readonly line: number;
  readonly excerpt: string;
}

export interface CsvTable {
  readonly columns: readonly string[];
  readonly rows: readonly Row[];
  readonly diagnostics: readonly Diagnostic[];
}

/** Largest table of a fleet: a height map of a quarter of a million points. */
const MOST_ROWS = 250_000;
/** After this many wrong rows the table as a whole is something else. */
const MOST_FINDINGS = 50;

/**
 * Plain comma-separated text: a header line, then one row a line; `#` begins a comment line; no quoting is needed, so a
 * quote is refused (RFC 4180 without its quoted form). All `columns` are required, in any order.
 */
export function readCsv(file: string, text: string, columns: readonly string[]): CsvTable {
  const markers = mergeMarkers(file, text);
  if (markers) return { columns: [], rows: [], diagnostics: [markers] };
  const found: Diagnostic[] = [];
  const rows: Row[] = [];
  let header: readonly string[] | null = null;
  for (const [index, excerpt] of text
    .replace(/^\ufeff/, '')
    .split(/\r?\n|\r/)
    .entries()) {
    if (excerpt.trim() === '' || excerpt.trimStart().startsWith('#')) continue;
    if (found.length >= MOST_FINDINGS) break;
    const row: Row = { cells: cellsOf(file, index + 1, excerpt), line: index + 1, excerpt };
    const quote = row.cells.find((c) => c.text.includes('"'));
    if (quote) {
      found.push(
        report({
          code: 'csv/quote',
          each: `line ${row.line}`,
          ...spotOf(row, quote),
          message: 'quotes are not used in this table',
        }),
      );
    } else if (header === null) {
      found.push(...wrongHeader(row, columns));
      if (found.length > 0) break;
      header = row.cells.map((c) => c.text);
    } else if (row.cells.length !== header.length) {
      found.push(
        report({
          code: 'csv/cells',
          each: `line ${row.line}`,
          ...spotOf(row),
          message: `the row has ${row.cells.length} cells, expected ${header.length}`,
          help: `the columns are ${header.join(', ')}`,
        }),
      );
    } else if (rows.length >= MOST_ROWS) {
      const message = `the table has more than ${MOST_ROWS} rows`;
      found.push(report({ code: 'csv/too-long', ...spotOf(row), message }));
      break;
    } else {
      rows.push(row);
    }
  }
  if (!header && found.length === 0) {
    found.push(
      report({
        code: 'csv/empty',
        place: { file, line: 1, column: 1 },
        excerpt: '',
        message: 'the table is empty',
        help: `begin with the header line \`${columns.join(',')}\``,
      }),
    );
  }
  return { columns: header ?? [], rows, diagnostics: found };
}

/** Where a cell stands; the row as a whole when no cell is meant. */
export function spotOf(row: Row, cell?: Cell): Spot {
  const { file } = row.cells[0]!.place;
  return { place: cell?.place ?? { file, line: row.line, column: 1 }, excerpt: row.excerpt };
}

function cellsOf(file: string, line: number, excerpt: string): Cell[] {
  const cells: Cell[] = [];
  let column = 1;
  for (const part of excerpt.split(',')) {
    const text = part.trim();
    const start = column + part.length - part.trimStart().length;
    cells.push({ text, place: { file, line, column: start, endColumn: start + Math.max(1, text.length) } });
    column += part.length + 1;
  }
  return cells;
}

function* wrongHeader(row: Row, columns: readonly string[]): Iterable<Diagnostic> {
  const separator = /[;\t]/.exec(row.excerpt);
  if (separator) {
    const column = separator.index + 1;
    yield report({
      code: 'csv/separator',
      place: { ...row.cells[0]!.place, column, endColumn: column + 1 },
      excerpt: row.excerpt,
      message: `the columns are separated by ${separator[0] === ';' ? 'semicolons' : 'tabs'}, expected commas`,
    });
    return;
  }
  const header = row.cells.map((c) => c.text);
  let wrong = false;
  for (const [i, cell] of row.cells.entries()) {
    if (!columns.includes(cell.text)) {
      const free = columns.filter((c) => !header.includes(c));
      yield report({
        code: 'csv/unknown-column',
        ...spotOf(row, cell),
        message: `unknown column \`${visible(cell.text)}\``,
        help: didYouMean(cell.text, free) ?? `the columns are ${columns.join(', ')}`,
      });
    } else if (header.indexOf(cell.text) !== i) {
      const message = `column \`${cell.text}\` is here twice`;
      yield report({ code: 'csv/repeated-column', ...spotOf(row, cell), message });
    } else continue;
    wrong = true;
  }
  // A mistyped heading is not missing as well.
  for (const column of wrong ? [] : columns.filter((c) => !header.includes(c))) {
    yield report({
      code: 'csv/missing-column',
      ...spotOf(row),
      message: `column \`${column}\` is missing`,
      help: `the header line is \`${columns.join(',')}\``,
    });
  }
}

/** A plain decimal number of a cell; null when it is none, or out of any reach. */
export function cellNumber(text: string): number | null {
  if (!/^[-+]?(?:\d{1,9}(?:\.\d{0,12})?|\.\d{1,12})$/.test(text)) return null;
  return Number(text) + 0;
}
