import type { MachineRecord } from '@bedledger/fleet';
import { type PointPair, type Registration, register } from '@bedledger/geometry';
import { UNIT_SLIPS, type UnitSlip } from './scale-slips.ts';

/** Fits marks as the house reckons with them: their deviation, and the shape that a bed may have. */
export function fitMarks(record: MachineRecord, pairs: readonly PointPair[]): Registration<UnitSlip> {
  const { sigma, stretch, skew } = record.house.survey;
  return register(pairs, { sigma, model: 'auto', slips: UNIT_SLIPS, most: { stretch, skew } });
}

/** Marks needed before a fit with two scales and a skew cannot be two equal mistakes. */
const ENOUGH_FOR_AFFINE = 6;

/**
 * Does a survey have enough readings left over to contradict a misread one? The richer the fit, the more of them it takes:
 * two marks that were misread alike lie exactly on a stretched or skewed bed.
 */
export function checksItself({ model, redundancy, residuals }: Registration): boolean {
  switch (model) {
    case 'translation':
    case 'rigid':
      return redundancy >= 2;
    case 'similarity':
      return redundancy >= 3;
    case 'affine':
      return residuals.length >= ENOUGH_FOR_AFFINE;
    default:
      return model satisfies never;
  }
}
