import { MM_PER_INCH, suggest } from '@bedledger/diagnostics';
import { type Catalogue, catalogue, type Found } from '../catalogue/catalogue.ts';
import { parseSize, THREAD_DESIGNATIONS } from '../catalogue/size.ts';
import { type CatalogueTable, type ColumnUnit, figure, type TableKind } from '../catalogue/table.ts';
import type { Grade } from '../model.ts';

/** One figure of a found row, ready for any renderer. */
export interface FastenerColumn {
  readonly key: string;
  readonly title: string;
  /** As printed in the source. */
  readonly value: number | string | readonly number[];
  readonly unit: ColumnUnit;
  /** Millimetres (or mm²) when the source prints inches. */
  readonly metric?: number | readonly number[];
}

/** One row of the catalogue with its source. */
export interface FastenerRow {
  readonly title: string;
  /** Id of the catalogue's table (`iso4762-socket-cap`). */
  readonly id: string;
  readonly kind: TableKind;
  readonly size: string;
  readonly standard: string;
  readonly table: string;
  readonly grade: Grade;
  readonly note: string;
  readonly columns: readonly FastenerColumn[];
}

export interface FastenerResult {
  readonly query: string;
  readonly rows: readonly FastenerRow[];
  /** Nearest queries that would find something, when nothing was found. */
  readonly suggestions: readonly string[];
}

export interface FindOptions {
  /** Only tables of these kinds: `['clearance']` for clearance holes. */
  readonly kinds?: readonly TableKind[];
}

/** Words people use for a kind of table. */
const KIND_WORDS: Readonly<Record<string, readonly TableKind[]>> = {
  clearance: ['clearance'],
  hole: ['clearance', 'insert-hole'],
  tap: ['tap-drill'],
  drill: ['drill', 'drill-point'],
  head: ['head'],
  screw: ['head', 'screw-lengths', 'screw-strength'],
  length: ['screw-lengths', 'length-tolerance'],
  lengths: ['screw-lengths', 'length-tolerance'],
  washer: ['washer'],
  insert: ['insert', 'insert-hole'],
  socket: ['socket', 'wrench-opening'],
  counterbore: ['counterbore'],
  countersink: ['countersink'],
  thread: ['thread', 'thread-limits', 'stress-area'],
  material: ['material'],
  strength: ['material', 'screw-strength'],
};

/** Kinds that an empty query counts. */
export interface CatalogueSummary {
  readonly id: string;
  readonly kind: TableKind;
  readonly title: string;
  readonly standard: string;
  readonly sizes: readonly string[];
}

/** Every table of the catalogue with its sizes: what a look-up without a query shows. */
export function catalogueSummary(): CatalogueSummary[] {
  return catalogue().tables.map((t) => ({
    id: t.id,
    kind: t.kind,
    title: t.title,
    standard: t.standard,
    sizes: [...new Set(t.rows.map((r) => r.size))],
  }));
}

/**
 * Looks the catalogue up. A query is one or more words, all of which must fit: a thread or size (`m6`, `M6x1`, `1/4`,
 * `1/4-20`, `#10`), a drill (`#7`, `F`, `17/64`, `6.5`, `6.6mm`, `0.257in`: the nearest sizes when none is exact), a
 * table or part of its id, standard or title (`iso4762-socket-cap`, `button`), a kind (`washer`), a material.
 * Lengths are as printed, with millimetres beside inches. Never throws for what people may type.
 */
export function findFasteners(query: string, options: FindOptions = {}): FastenerResult {
  const book = catalogue();
  const kinds = options.kinds;
  const wanted = (found: readonly Found[]): Found[] =>
    found.filter((f) => kinds === undefined || kinds.includes(f.table.kind));
  const text = query.trim();
  let found: Found[] = text === '' ? [] : wanted(atom(text, book));
  if (found.length === 0 && text !== '') {
    // no single meaning: every word must fit
    const words = text.split(/[\s,]+/).filter((w) => w !== '');
    if (words.length > 1) {
      const sets = words.map((w) => atom(w, book));
      found = wanted((sets[0] ?? []).filter((f) => sets.every((s) => s.some((g) => g.row === f.row))));
    }
  }
  return {
    query: text,
    rows: found.map(toRow),
    suggestions: found.length > 0 ? [] : suggestions(text, book),
  };
}

/** Everything one word (or one written size) can mean. */
function atom(word: string, book: Catalogue): Found[] {
  const found: Found[] = [];
  const seen = new Set<unknown>();
  const add = (f: Found): void => {
    if (!seen.has(f.row)) {
      seen.add(f.row);
      found.push(f);
    }
  };
  const size = parseSize(word);
  // a written pitch says that a thread is meant, not a drill or a spanner of the same size
  const pitched = word.includes('-');
  const lower = word.toLowerCase();
  for (const table of book.tables) {
    const named = namesTable(lower, table);
    for (const row of table.rows) {
      const fitsSize =
        size !== null &&
        ((row.size === size.size && (!pitched || !unpitched(table))) ||
          row.size === size.thread ||
          (size.thread === null && row.size.startsWith(`${size.size}-`)) ||
          (size.thread === `${size.size}-${row.size.split('-')[1]}` && row.size.startsWith(`${size.size}-`)));
      if (named || (fitsSize && !otherMeaning(table, size.size)) || row.size.toLowerCase() === lower)
        add({ table, row });
    }
  }
  for (const f of drillsNear(word, book)) add(f);
  return found;
}

function unpitched(table: CatalogueTable): boolean {
  return table.kind === 'drill' || table.kind === 'wrench-opening';
}

/** `M6` in a table of wrench sizes or drills is another quantity; drills are found by their own names. */
function otherMeaning(table: CatalogueTable, size: string): boolean {
  return size.startsWith('M') && (table.kind === 'drill' || table.kind === 'socket');
}

function namesTable(lower: string, table: CatalogueTable): boolean {
  const words = KIND_WORDS[lower];
  if (words !== undefined) return words.includes(table.kind);
  if (lower.length < 3 || /^[\d.,/#]+$/.test(lower)) return false;
  const squeezed = lower.replace(/[\s_]+/g, '');
  return (
    table.id.includes(lower) ||
    table.standard.toLowerCase().replace(/\s+/g, '').includes(squeezed) ||
    table.title.toLowerCase().includes(lower)
  );
}

/** A drill by name or diameter; the next smaller and larger one when no size is exact. */
function drillsNear(word: string, book: Catalogue): Found[] {
  const name = word
    .toUpperCase()
    .replace(/^DRILL\s*/, '')
    .replace(/^NO\.?\s*(?=\d)/, '#');
  const byName = book.drills.filter((d) => d.name.toUpperCase() === name);
  if (byName.length > 0) return byName.map((d) => d.found);
  const match = /^(\d*[.,]?\d+)\s*(MM|IN|")?$/.exec(name);
  if (match === null) return [];
  const value =
    Number((match[1] ?? '').replace(',', '.')) * (match[2] === 'IN' || match[2] === '"' ? 25.4 : 1);
  if (!(value >= 2 && value <= 26)) return [];
  const exact = book.drills.filter((d) => Math.abs(d.diameter - value) < 0.0005);
  if (exact.length > 0) return exact.map((d) => d.found);
  const above = book.drills.findIndex((d) => d.diameter > value);
  if (above <= 0) return [];
  return book.drills.slice(Math.max(0, above - 2), above + 2).map((d) => d.found);
}

function toRow({ table, row }: Found): FastenerRow {
  return {
    title: table.title,
    id: table.id,
    kind: table.kind,
    size: row.size,
    standard: row.standard,
    table: row.table,
    grade: row.grade,
    note: row.note,
    columns: table.columns.flatMap((c): FastenerColumn[] => {
      const value = row.values[c.key];
      if (value === undefined) return [];
      const inch = c.unit === 'in' || c.unit === 'in²';
      if (!inch) return [{ key: c.key, title: c.title, value, unit: c.unit }];
      const metric =
        typeof value === 'number'
          ? tidy(figure(table, row, c.key) ?? Number.NaN)
          : typeof value === 'string'
            ? undefined
            : value.map((v) => tidy(v * MM_PER_INCH));
      return [{ key: c.key, title: c.title, value, unit: c.unit, ...(metric !== undefined && { metric }) }];
    }),
  };
}

/** Rid of the noise of the conversion, to a nanometre. */
const tidy = (value: number): number => Number(value.toFixed(6));

/** What to type instead, nearest first. */
function suggestions(text: string, book: Catalogue): string[] {
  return suggest(text, [...THREAD_DESIGNATIONS, ...book.tables.map((t) => t.id), ...Object.keys(KIND_WORDS)]);
}
