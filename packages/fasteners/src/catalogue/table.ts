import { MM_PER_INCH } from '@bedledger/diagnostics';
import type { Grade } from '../model.ts';

/** What a table of the catalogue describes. */
export type TableKind =
  | 'thread'
  | 'thread-limits'
  | 'stress-area'
  | 'tap-drill'
  | 'clearance'
  | 'head'
  | 'counterbore'
  | 'countersink'
  | 'socket'
  | 'wrench-opening'
  | 'insert'
  | 'insert-hole'
  | 'washer'
  | 'screw-strength'
  | 'material'
  | 'drill'
  | 'drill-point'
  | 'screw-lengths'
  | 'length-tolerance';

export type ColumnUnit = 'mm' | 'in' | 'mm²' | 'in²' | '1/in' | '°' | 'N' | 'N·m' | 'N/mm²' | '%' | '';

export interface CatalogueColumn {
  readonly key: string;
  readonly title: string;
  readonly unit: ColumnUnit;
}

/** One published row: the figures as printed (inch tables stay in inches), and how well they are supported. */
export interface CatalogueRow {
  /** `M6`, `1/4`, `1/4-20`, `#10`, a drill's name, a wrench size or a material. */
  readonly size: string;
  readonly values: Readonly<Record<string, number | string | readonly number[]>>;
  readonly standard: string;
  readonly table: string;
  readonly grade: Grade;
  readonly note: string;
}

/** One standard's table, as the JSON file under `src/data` has it. */
export interface CatalogueTable {
  readonly id: string;
  readonly kind: TableKind;
  readonly standard: string;
  readonly title: string;
  readonly drive?: 'hex-outside' | 'hex-socket' | 'cross' | 'slot';
  readonly countersunk?: boolean;
  readonly columns: readonly CatalogueColumn[];
  readonly rows: readonly CatalogueRow[];
}

/**
 * One figure of a row in millimetres, square millimetres, degrees or newtons, whatever the column prints.
 * `undefined` where the table leaves the cell empty. Throws RangeError for a column the table does not have.
 */
export function figure(table: CatalogueTable, row: CatalogueRow, key: string): number | undefined {
  const column = table.columns.find((c) => c.key === key);
  if (column === undefined) throw new RangeError(`table ${table.id} has no column "${key}"`);
  const value = row.values[key];
  if (value === undefined) return undefined;
  if (typeof value !== 'number') throw new RangeError(`${table.id}, ${row.size}: "${key}" is not a number`);
  if (column.unit === 'in') return value * MM_PER_INCH;
  if (column.unit === 'in²') return value * MM_PER_INCH * MM_PER_INCH;
  return value;
}

/** Like `figure`, for a cell that every row of the table must have. Throws RangeError when it is empty. */
export function mustFigure(table: CatalogueTable, row: CatalogueRow, key: string): number {
  const value = figure(table, row, key);
  if (value === undefined) throw new RangeError(`${table.id}, ${row.size}: "${key}" is empty`);
  return value;
}
