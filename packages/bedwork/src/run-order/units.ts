/** A length for people, in the machine's units: hundredths of a millimetre, thousandths of an inch. */
export function lengthText(value: number, units: 'mm' | 'in'): string {
  return units === 'mm' ? `${fixed(value, 2)} mm` : `${fixed(value / 25.4, 3)} in`;
}

/** The number to key in, in the machine's units. */
export function keyValue(value: number, units: 'mm' | 'in'): number {
  return units === 'mm' ? Math.round(value * 1000) / 1000 : Math.round((value / 25.4) * 10_000) / 10_000;
}

/** Fixed decimals without a negative zero. */
export function fixed(value: number, decimals: number): string {
  const text = value.toFixed(decimals);
  return Number(text) === 0 ? text.replace('-', '') : text;
}
