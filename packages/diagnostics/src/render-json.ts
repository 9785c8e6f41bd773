import type { Diagnostic } from './diagnostic.ts';
import { sortDiagnostics } from './order.ts';

/** A finding as a plain object with its keys always in the same order and nothing undefined. */
export function toPlain(d: Diagnostic): Record<string, unknown> {
  const out: Record<string, unknown> = { code: d.code, severity: d.severity, message: d.message };
  if (d.place) {
    const { file, line, column, endColumn } = d.place;
    out.place = {
      file,
      ...(line === undefined ? {} : { line }),
      ...(column === undefined ? {} : { column }),
      ...(endColumn === undefined ? {} : { endColumn }),
    };
  }
  if (d.excerpt !== undefined) out.excerpt = d.excerpt;
  if (d.related !== undefined && d.related.length > 0) out.related = d.related;
  if (d.facts !== undefined) {
    out.facts = Object.fromEntries(Object.entries(d.facts).sort(([a], [b]) => (a < b ? -1 : a > b ? 1 : 0)));
  }
  if (d.help !== undefined) out.help = d.help;
  if (d.follows !== undefined) out.follows = d.follows;
  if (d.each !== undefined) out.each = d.each;
  return out;
}

/** All findings, sorted, as the text of a JSON array (two-space indent, no final newline). */
export function diagnosticsJson(list: readonly Diagnostic[]): string {
  return JSON.stringify(sortDiagnostics(list).map(toPlain), null, 2);
}
