/** Aligned columns for a terminal; `right` columns hold numbers. No boxes. */
export function textTable(
  head: readonly string[],
  rows: readonly (readonly string[])[],
  right: readonly number[] = [],
): string[] {
  const width = head.map((h, i) => Math.max([...h].length, ...rows.map((r) => [...(r[i] ?? '')].length)));
  const line = (cells: readonly string[]): string =>
    cells
      .map((cell, i) => {
        const pad = ' '.repeat(Math.max(0, (width[i] as number) - [...cell].length));
        return right.includes(i) ? pad + cell : cell + pad;
      })
      .join('  ')
      .trimEnd();
  return [line(head), ...rows.map(line)];
}
