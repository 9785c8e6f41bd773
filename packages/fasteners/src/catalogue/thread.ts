import { MM_PER_INCH } from '@bedledger/diagnostics';
import type { Grade, Thread } from '../model.ts';
import { type CatalogueRow, type CatalogueTable, mustFigure } from './table.ts';

/**
 * Tensile stress area of a metric thread, mm²: π/4·(d − 0.938194·P)² [ISO 898-1].
 * `major` and `pitch` in mm.
 */
export function metricStressArea(major: number, pitch: number): number {
  const d = major - 0.938194 * pitch;
  return (Math.PI / 4) * d * d;
}

/** Tensile stress area of a unified thread, mm²: π/4·(D − 0.9743/n)² [ASME B1.1]; D in inches, n per inch. */
export function unifiedStressArea(majorInches: number, threadsPerInch: number): number {
  const d = (majorInches - 0.9743 / threadsPerInch) * MM_PER_INCH;
  return (Math.PI / 4) * d * d;
}

const GRADES: readonly Grade[] = ['A', 'B', 'C'];
const worst = (a: Grade, b: Grade): Grade => (GRADES.indexOf(a) >= GRADES.indexOf(b) ? a : b);

/** Joins a row of basic dimensions with its limits of size. The stress area is the formula's, not the rounded print. */
export function threadOf(
  basic: CatalogueTable,
  row: CatalogueRow,
  limits: CatalogueTable,
  limitsRow: CatalogueRow,
): Thread {
  const inch = basic.columns.some((c) => c.key === 'threadsPerInch');
  const major = mustFigure(basic, row, 'major');
  const pitch = inch
    ? MM_PER_INCH / mustFigure(basic, row, 'threadsPerInch')
    : mustFigure(basic, row, 'pitch');
  return {
    designation: row.size,
    majorDiameter: major,
    pitch,
    stressArea: inch
      ? unifiedStressArea(major / MM_PER_INCH, MM_PER_INCH / pitch)
      : metricStressArea(major, pitch),
    external: {
      majorMin: mustFigure(limits, limitsRow, 'majorExternalMin'),
      pitchMin: mustFigure(limits, limitsRow, 'pitchExternalMin'),
    },
    internal: {
      minorMax: mustFigure(limits, limitsRow, 'minorInternalMax'),
      pitchMax: mustFigure(limits, limitsRow, 'pitchInternalMax'),
    },
    from: {
      standard: `${row.standard}, ${limitsRow.standard}`,
      table: `${row.table}; ${limitsRow.table}`,
      grade: worst(row.grade, limitsRow.grade),
      note: limitsRow.note,
    },
  };
}
