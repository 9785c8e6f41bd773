export interface Difference {
  /** First line that differs, from 1. */
  readonly line: number;
  readonly column: number;
  /** The committed line, null when the committed text ends before it. */
  readonly committed: string | null;
  /** The line the profile gives, null when it has none there. */
  readonly expected: string | null;
}

/** Where two texts first differ; null when they are the same to the byte. Line endings count as part of the line. */
export function firstDifference(committed: string, expected: string): Difference | null {
  if (committed === expected) return null;
  let at = 0;
  const least = Math.min(committed.length, expected.length);
  while (at < least && committed.charCodeAt(at) === expected.charCodeAt(at)) at++;
  let line = 1;
  let start = 0;
  for (let i = 0; i < at; i++) {
    if (expected.charCodeAt(i) === 10) {
      line++;
      start = i + 1;
    }
  }
  return {
    line,
    column: at - start + 1,
    committed: lineAt(committed, start),
    expected: lineAt(expected, start),
  };
}

function lineAt(text: string, start: number): string | null {
  if (start >= text.length) return null;
  const end = text.indexOf('\n', start);
  const line = end < 0 ? text.slice(start) : text.slice(start, end);
  // Made visible: a difference of line endings would otherwise look like none.
  return end < 0 ? `${line}<end of file, no line end>` : line.replace(/\r$/, '<CR>');
}
