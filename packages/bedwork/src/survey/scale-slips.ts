import { MM_PER_INCH } from '@bedledger/diagnostics';
import type { ScaleSlip } from '@bedledger/geometry';

/** Mistakes of scale that a survey can have: one unit was written where another is expected, or a point was set wrongly. */
export type UnitSlip = 'inch-for-mm' | 'mm-for-inch' | 'tenth' | 'tenfold';

export const UNIT_SLIPS: readonly ScaleSlip<UnitSlip>[] = [
  { name: 'inch-for-mm', factor: 1 / MM_PER_INCH },
  { name: 'mm-for-inch', factor: MM_PER_INCH },
  { name: 'tenth', factor: 0.1 },
  { name: 'tenfold', factor: 10 },
];
