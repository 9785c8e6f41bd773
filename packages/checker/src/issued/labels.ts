import type { Case } from '../programs/case.ts';

/** Name in the last comment `SITE …` or `FEATURE …` before a line, upper case; null when the program has none. */
export function labelAt(c: Case, line: number): string | null {
  let label: string | null = null;
  for (const e of c.trace.events) {
    if (e.line > line) break;
    if (e.kind !== 'comment') continue;
    const match = /^(?:SITE|FEATURE) (.+)$/i.exec(e.text.trim());
    if (match) label = match[1]!.trim().toUpperCase();
  }
  return label;
}

/** Does a comment begin with that name? Comments are upper case and may leave signs out. */
export function isNamed(label: string, name: string): boolean {
  const plain = (text: string): string =>
    text
      .toUpperCase()
      .replace(/[^A-Z0-9]+/g, ' ')
      .trim();
  return `${plain(label)} `.startsWith(`${plain(name)} `);
}
