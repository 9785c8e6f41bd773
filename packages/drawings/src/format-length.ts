import { fineNumber, lengthNumber, type Units } from '@bedledger/diagnostics';

export function lengthFormat(units: Units): {
  readonly unit: Units;
  readonly plain: (mm: number) => string;
  readonly fine: (mm: number) => string;
} {
  return { unit: units, plain: (mm) => lengthNumber(mm, units), fine: (mm) => fineNumber(mm, units) };
}
