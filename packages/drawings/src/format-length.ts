import { fixed } from './svg/markup.ts';

/** Lengths the way a machine's people read them. Everything inside is millimetres; inches are shown to four places. */
export interface LengthFormat {
  readonly unit: 'mm' | 'in';
  /** A position or depth: 0.01 mm or 0.001 in. */
  readonly plain: (mm: number) => string;
  /** As fine as a program prints it: 0.001 mm or 0.0001 in. */
  readonly fine: (mm: number) => string;
}

export function lengthFormat(units: 'mm' | 'in'): LengthFormat {
  return units === 'mm'
    ? { unit: 'mm', plain: (v) => fixed(v, 2), fine: (v) => fixed(v, 3) }
    : { unit: 'in', plain: (v) => fixed(v / 25.4, 3), fine: (v) => fixed(v / 25.4, 4) };
}
