import { powerOfTen } from '@bedledger/diagnostics';
import type { Controller, WordFormat } from '@bedledger/fleet';
import { entryOf } from '../closed-list.ts';

/** How the numbers of one class of words are printed, worked out once for the hot path. */
export interface NumberForm {
  readonly decimals: number;
  readonly integers: number;
  /** 10^decimals. */
  readonly one: number;
  /** First whole number that needs too many digits: 10^(integers + decimals). */
  readonly limit: number;
  /** Is the point written? Otherwise its place follows from the number of digits. */
  readonly point: boolean;
  /** A whole number stands without point and decimals. */
  readonly bareWhole: boolean;
  /** Zeros at the end are left out. */
  readonly strip: boolean;
  /** The 0 before the point is written. */
  readonly leadingZero: boolean;
  /** Without a point: least number of digits. */
  readonly width: number;
  readonly plus: boolean;
}

/** Which words a form is for: lengths are signed and always carry their point, quantities may be plain integers. */
export type NumberClass = 'length' | 'quantity';

type Numbers = Controller['numbers'];

const POINT_USE: Readonly<Record<Numbers['point'], Pick<NumberForm, 'point' | 'bareWhole'>>> = {
  always: { point: true, bareWhole: false },
  fraction: { point: true, bareWhole: true },
  never: { point: false, bareWhole: false },
};

/** The form of one word class of a controller. */
export function numberForm(format: WordFormat, numbers: Numbers, use: NumberClass): NumberForm {
  const { decimals, integers } = format;
  const plainInteger = use === 'quantity' && decimals === 0;
  const { point, bareWhole } = plainInteger
    ? POINT_USE.fraction
    : entryOf(POINT_USE, numbers.point, 'use of the point');
  const digits = integers + decimals;
  const width = entryOf({ none: digits, leading: 1, trailing: digits }, numbers.suppress, 'zero suppression');
  return {
    decimals,
    integers,
    one: powerOfTen(decimals),
    limit: powerOfTen(digits),
    point,
    bareWhole,
    strip: point
      ? entryOf({ keep: false, 'strip-trailing': true }, numbers.zeros, 'use of zeros')
      : numbers.suppress === 'trailing',
    leadingZero: entryOf(
      { keep: true, strip: false },
      numbers.leadingZero ?? 'keep',
      'use of the leading zero',
    ),
    width,
    plus: numbers.plus && use === 'length',
  };
}

const ZERO = 48;
const POINT = 46;
const PLUS = 43;
const MINUS = 45;

/** Writes the digits of `n` ≥ 0 at `at`, at least `width` of them; returns the position after the last. */
function putDigits(bytes: Uint8Array, at: number, n: number, width: number): number {
  let digits = 1;
  for (let limit = 10; n >= limit; limit *= 10) digits++;
  if (digits < width) digits = width;
  const end = at + digits;
  let rest = n;
  let i = end - 1;
  while (rest > 0x7fffffff) {
    const tenth = Math.floor(rest / 10);
    bytes[i--] = ZERO + rest - tenth * 10;
    rest = tenth;
  }
  for (; i >= at; i--) {
    const tenth = (rest / 10) | 0;
    bytes[i] = ZERO + rest - tenth * 10;
    rest = tenth;
  }
  return end;
}

/**
 * Prints `q` grid steps (a whole number, |q| < form.limit) at `at` and returns the position after it. Integer arithmetic
 * only: no exponent, no `-0`, the same bytes everywhere. The strings of the no-point format follow the published
 * examples of the integer.fraction format with zero suppression: 0.0100 in 2.4 is `000100`, `100` or `0001`.
 */
export function putNumber(bytes: Uint8Array, at: number, q: number, form: NumberForm): number {
  let pos = at;
  let n = q;
  if (q < 0) {
    bytes[pos++] = MINUS;
    n = -q;
  } else if (form.plus) bytes[pos++] = PLUS;

  if (!form.point) {
    const end = putDigits(bytes, pos, n, form.width);
    if (!form.strip) return end;
    let last = end;
    while (last > pos + 1 && bytes[last - 1] === ZERO) last--;
    return last;
  }

  const whole = form.decimals === 0 ? n : Math.floor(n / form.one);
  let fraction = n - whole * form.one;
  let width = form.decimals;
  if (form.strip) {
    while (width > 0 && fraction % 10 === 0) {
      fraction /= 10;
      width--;
    }
  }
  const bare = form.bareWhole && fraction === 0;
  if (whole !== 0 || form.leadingZero || width === 0 || bare) pos = putDigits(bytes, pos, whole, 1);
  if (bare) return pos;
  bytes[pos++] = POINT;
  return width === 0 ? pos : putDigits(bytes, pos, fraction, width);
}

/** The same as a string, for headers, errors and tests. */
export function formatNumber(q: number, form: NumberForm): string {
  const bytes = new Uint8Array(48);
  const end = putNumber(bytes, 0, q, form);
  let text = '';
  for (let i = 0; i < end; i++) text += String.fromCharCode(bytes[i]!);
  return text;
}
