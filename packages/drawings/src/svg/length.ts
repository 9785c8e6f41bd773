import { fineNumber, lengthNumber, type Units } from '@bedledger/diagnostics';
import { finite } from './markup.ts';

/** A position, height or diameter on a sheet, in the machine's units without naming them. A RangeError when it is no number. */
export function lengthOnSheet(mm: number, units: Units): string {
  return lengthNumber(finite(mm), units);
}

/** What is measured or keyed in, to the last digit. */
export function fineLengthOnSheet(mm: number, units: Units): string {
  return fineNumber(finite(mm), units);
}
