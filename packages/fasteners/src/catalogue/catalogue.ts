import { MM_PER_INCH } from '@bedledger/diagnostics';
import type { Provenance, Thread } from '../model.ts';
import { type CatalogueRow, type CatalogueTable, figure, mustFigure, type TableKind } from './table.ts';
import { TABLES } from './tables.ts';
import { threadOf } from './thread.ts';

/** A row together with the table it stands in. */
export interface Found {
  readonly table: CatalogueTable;
  readonly row: CatalogueRow;
}

export interface DrillSize {
  /** `6.5`, `#7`, `F`, `17/64`. */
  readonly name: string;
  readonly series: 'metric' | 'number' | 'letter' | 'fraction';
  readonly diameter: number;
  readonly found: Found;
}

/** The catalogue, indexed. Everything that leaves it through a typed property is in millimetres. */
export interface Catalogue {
  readonly tables: readonly CatalogueTable[];
  /** Throws RangeError for an unknown id. */
  table(id: string): CatalogueTable;
  /** The first row of this size in the table, or undefined. */
  row(tableId: string, size: string): Found | undefined;
  readonly threads: ReadonlyMap<string, Thread>;
  /** Head tables by id (`iso4017-hex`). */
  readonly heads: ReadonlyMap<string, CatalogueTable>;
  /** Ascending by diameter, then series, then name. */
  readonly drills: readonly DrillSize[];
  /** Nominal lengths of a head and size, mm, ascending; undefined where none are known. */
  lengths(
    head: string,
    size: string,
  ): { readonly lengths: readonly number[]; readonly found: Found } | undefined;
}

/** The order in which a person reads a catalogue: thread, hole, head, what goes with it, tools, materials. */
const ORDER: Readonly<Record<TableKind, number>> = {
  thread: 0,
  'thread-limits': 1,
  'stress-area': 2,
  'tap-drill': 3,
  clearance: 4,
  head: 5,
  'screw-lengths': 6,
  'length-tolerance': 7,
  'screw-strength': 8,
  washer: 9,
  counterbore: 10,
  countersink: 11,
  insert: 12,
  'insert-hole': 13,
  socket: 14,
  'wrench-opening': 15,
  material: 16,
  drill: 17,
  'drill-point': 18,
};

/** Where a row of the catalogue comes from. */
export function provenanceOf(found: Found): Provenance {
  const { standard, table, grade, note } = found.row;
  return { standard, table, grade, note };
}

let loaded: Catalogue | undefined;

/** The whole catalogue; built at the first call and kept. */
export function catalogue(): Catalogue {
  loaded ??= buildCatalogue(TABLES);
  return loaded;
}

/** Indexes tables. Exported for tests and measurements; everything else calls `catalogue()`. */
export function buildCatalogue(unordered: readonly CatalogueTable[]): Catalogue {
  const tables = [...unordered].sort(
    (a, b) => ORDER[a.kind] - ORDER[b.kind] || (a.id < b.id ? -1 : a.id > b.id ? 1 : 0),
  );
  const byId = new Map(tables.map((t) => [t.id, t]));
  const table = (id: string): CatalogueTable => {
    const found = byId.get(id);
    if (found === undefined) throw new RangeError(`the catalogue has no table "${id}"`);
    return found;
  };
  const row = (tableId: string, size: string): Found | undefined => {
    const t = table(tableId);
    const r = t.rows.find((candidate) => candidate.size === size);
    return r && { table: t, row: r };
  };

  const threads = new Map<string, Thread>();
  for (const [basicId, limitsId] of [
    ['iso-724', 'iso-965-2'],
    ['asme-b1.1', 'asme-b1.1-limits'],
  ] as const) {
    for (const basic of table(basicId).rows) {
      const limits = row(limitsId, basic.size);
      if (limits === undefined) throw new RangeError(`${limitsId} has no row for ${basic.size}`);
      threads.set(basic.size, threadOf(table(basicId), basic, limits.table, limits.row));
    }
  }

  const lengths = (head: string, size: string): ReturnType<Catalogue['lengths']> => {
    for (const id of ['screw-lengths-metric', 'screw-lengths-inch']) {
      const t = table(id);
      const r = t.rows.find((candidate) => candidate.size === size && candidate.values.head === head);
      if (r === undefined) continue;
      const written = r.values.lengths as readonly number[];
      const inch = t.columns.some((c) => c.key === 'lengths' && c.unit === 'in');
      return { lengths: inch ? written.map((l) => l * MM_PER_INCH) : written, found: { table: t, row: r } };
    }
    return undefined;
  };

  return {
    tables,
    table,
    row,
    threads,
    heads: new Map(tables.filter((t) => t.kind === 'head').map((t) => [t.id, t])),
    drills: drillSizes(table('drill-sizes')),
    lengths,
  };
}

const SERIES = ['metric', 'fraction', 'number', 'letter'] as const;

function drillSizes(table: CatalogueTable): DrillSize[] {
  return table.rows
    .map((row): DrillSize => {
      const series = row.values.series as DrillSize['series'];
      const diameter = figure(table, row, 'diameter') ?? mustFigure(table, row, 'diameterInch');
      return { name: row.size, series, diameter, found: { table, row } };
    })
    .sort(
      (a, b) =>
        a.diameter - b.diameter ||
        SERIES.indexOf(a.series) - SERIES.indexOf(b.series) ||
        (a.name < b.name ? -1 : a.name > b.name ? 1 : 0),
    );
}
