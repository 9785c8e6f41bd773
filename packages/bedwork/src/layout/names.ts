/** `A` … `Z`, `AA` … : row letters from the operator's side, row 0 first. */
export function rowLetter(row: number): string {
  if (!Number.isInteger(row) || row < 0)
    throw new RangeError(`row must be a whole number from 0, found ${row}`);
  let name = '';
  let n = row + 1;
  while (n > 0) {
    const digit = (n - 1) % 26;
    name = String.fromCharCode(65 + digit) + name;
    n = (n - 1 - digit) / 26;
  }
  return name;
}

/** Name of the crossing of a row and a column, both from 0: row letter and column number from 1, `B3`. */
export function siteName(row: number, column: number): string {
  return `${rowLetter(row)}${column + 1}`;
}

/**
 * Rows for sites that were not placed in rows: sorted from the operator's side, a new row wherever the next site is
 * farther than `apart` from the row's first. Column numbers count from the left within the row.
 */
export function rowsOf(
  points: readonly (readonly [number, number])[],
  apart: number,
): { readonly row: number; readonly column: number }[] {
  const order = points
    .map((p, i) => ({ p, i }))
    .sort((a, b) => a.p[1] - b.p[1] || a.p[0] - b.p[0] || a.i - b.i);
  const out: { row: number; column: number }[] = [];
  let row = -1;
  let start = Number.NEGATIVE_INFINITY;
  let members: typeof order = [];
  const close = (): void => {
    members.sort((a, b) => a.p[0] - b.p[0] || a.p[1] - b.p[1] || a.i - b.i);
    for (const [column, m] of members.entries()) out[m.i] = { row, column };
    members = [];
  };
  for (const m of order) {
    if (m.p[1] - start > apart) {
      close();
      row++;
      start = m.p[1];
    }
    members.push(m);
  }
  close();
  return out;
}
