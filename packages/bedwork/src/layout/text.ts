/** A length for people: at most one decimal above 10 mm, two below, without a trailing zero. */
export function mm(v: number): string {
  if (!Number.isFinite(v)) return v > 0 ? 'more than any' : 'no';
  const scale = Math.abs(v) >= 10 ? 10 : 100;
  const r = Math.round(v * scale) / scale;
  return String(r === 0 ? 0 : r);
}
