import { MM_PER_INCH } from '@bedledger/diagnostics';
import type { ScaleSlip } from '@bedledger/geometry';

/** Mistakes of scale that a survey can have: one unit was written where the other is expected. */
export type UnitSlip = 'inch-for-mm' | 'mm-for-inch';

export const UNIT_SLIPS: readonly ScaleSlip<UnitSlip>[] = [
  { name: 'inch-for-mm', factor: 1 / MM_PER_INCH },
  { name: 'mm-for-inch', factor: MM_PER_INCH },
];
