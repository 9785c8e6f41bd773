/** A length for a sentence: millimetres with at most three decimals, no trailing zeros, never `-0`. */
export function mm(value: number): string {
  const text = (Math.round(value * 1000) / 1000).toString();
  return `${text === '-0' ? '0' : text} mm`;
}
