/** `1 site`, `2 sites`. */
export function countOf(n: number, word: string): string {
  return `${n} ${word}${n === 1 ? '' : 's'}`;
}

/** At most four names, then how many more. */
export function listOf(names: readonly string[]): string {
  if (names.length <= 4) return names.join(', ');
  return `${names.slice(0, 3).join(', ')} and ${names.length - 3} more`;
}

/** Total order of site names: row letters, then column number. */
export function byName(a: string, b: string): number {
  const key = (s: string): readonly [string, number] => {
    const digits = /(\d+)$/.exec(s);
    return digits ? [s.slice(0, -digits[1]!.length), Number(digits[1])] : [s, 0];
  };
  const [pa, na] = key(a);
  const [pb, nb] = key(b);
  if (pa.length !== pb.length) return pa.length - pb.length;
  if (pa !== pb) return pa < pb ? -1 : 1;
  return na - nb || (a < b ? -1 : a > b ? 1 : 0);
}
