/** Short decimal text for sentences: about four significant digits, no exponent, no locale. */
export function figure(value: number): string {
  if (!Number.isFinite(value)) return String(value);
  const size = Math.abs(value);
  const scale =
    size >= 1000 ? 1 : size >= 100 ? 10 : size >= 10 ? 100 : size >= 1 ? 1000 : size >= 0.01 ? 1e4 : 1e6;
  return String(Math.round(value * scale) / scale + 0);
}
