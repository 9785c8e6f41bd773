import type { Diagnostic, Severity } from './diagnostic.ts';

/** Rank of a severity in a list: the heaviest first. */
export const WEIGHT: Readonly<Record<Severity, number>> = { stop: 0, warn: 1, note: 2 };

/** Order of two texts that no locale changes. */
export function compareText(a: string, b: string): number {
  return a < b ? -1 : a > b ? 1 : 0;
}

/** Total order: file, line, column, severity (worst first), code, message. Things without a place come first. */
export function compareDiagnostics(a: Diagnostic, b: Diagnostic): number {
  return (
    compareText(a.place?.file ?? '', b.place?.file ?? '') ||
    (a.place?.line ?? 0) - (b.place?.line ?? 0) ||
    (a.place?.column ?? 0) - (b.place?.column ?? 0) ||
    WEIGHT[a.severity] - WEIGHT[b.severity] ||
    compareText(a.code, b.code) ||
    compareText(a.message, b.message)
  );
}

/** A sorted copy, without exact repetitions (same code, place and message). */
export function sortDiagnostics(list: readonly Diagnostic[]): Diagnostic[] {
  const sorted = [...list].sort(compareDiagnostics);
  return sorted.filter((d, i) => i === 0 || compareDiagnostics(sorted[i - 1]!, d) !== 0);
}

/**
 * At most `limit` of them, and how many were left out. Stops are never crowded out by warnings: the limit is spent on the
 * worst first, what is kept stays in order.
 */
export function capDiagnostics(
  list: readonly Diagnostic[],
  limit: number,
): { kept: Diagnostic[]; omitted: number } {
  if (!(limit >= 1)) throw new RangeError(`limit must be at least 1, got ${limit}`);
  const sorted = sortDiagnostics(list);
  if (sorted.length <= limit) return { kept: sorted, omitted: 0 };
  const ranked = sorted
    .map((d, i) => ({ d, i }))
    .sort((a, b) => WEIGHT[a.d.severity] - WEIGHT[b.d.severity] || a.i - b.i)
    .slice(0, limit)
    .sort((a, b) => a.i - b.i);
  return { kept: ranked.map((r) => r.d), omitted: sorted.length - limit };
}

/** The worst severity in the list; null when it is empty. */
export function worstSeverity(list: readonly Diagnostic[]): Severity | null {
  let worst: Severity | null = null;
  for (const d of list) if (worst === null || WEIGHT[d.severity] < WEIGHT[worst]) worst = d.severity;
  return worst;
}

/** True when something in the list stops the work. */
export function hasStop(list: readonly Diagnostic[]): boolean {
  return list.some((d) => d.severity === 'stop');
}
