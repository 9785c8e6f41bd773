import type { Diagnostic, Place, Severity } from './diagnostic.ts';
import { visible } from './escape.ts';
import { hangingCodes, type Told } from './fold.ts';
import { capDiagnostics, sortDiagnostics } from './order.ts';

export interface TextOptions {
  /** Colour codes for a terminal. Meaning never depends on them. Default: none. */
  readonly colour?: boolean;
  /** Show at most this many and say how many more there are. Default: 20; `Infinity` shows all. */
  readonly cap?: number;
  /** Widest excerpt, characters. Default: 100. */
  readonly width?: number;
}

const COLOUR: Readonly<Record<Severity, string>> = { stop: '31', warn: '33', note: '36' };

/** `file:line:column`, as much of it as is known. */
export function formatPlace(place: Place): string {
  let text = visible(place.file);
  if (place.line !== undefined) {
    text += `:${place.line}`;
    if (place.column !== undefined) text += `:${place.column}`;
  }
  return text;
}

/** The part of a long line around the caret, with the caret's column in it (from 0). */
function cut(
  line: string,
  from: number,
  to: number,
  width: number,
): { text: string; from: number; to: number } {
  if (line.length <= width) return { text: line, from, to };
  const start = Math.max(0, Math.min(from - Math.floor(width / 3), line.length - width));
  const end = Math.min(line.length, start + width);
  const head = start > 0 ? '…' : '';
  const tail = end < line.length ? '…' : '';
  const text = head + line.slice(start + head.length, end - tail.length) + tail;
  return { text, from: from - start, to: Math.max(from - start + 1, Math.min(to - start, text.length)) };
}

function excerptLines(d: Diagnostic, width: number, paint: (code: string, s: string) => string): string[] {
  if (d.excerpt === undefined || d.place?.line === undefined) return [];
  const gutter = String(d.place.line).padStart(7);
  const blank = ' '.repeat(gutter.length);
  const column = d.place.column;
  if (column === undefined) {
    return [`${gutter} | ${visible(cut(d.excerpt, 0, 1, width).text)}`];
  }
  const from = Math.min(column - 1, d.excerpt.length);
  const to = Math.max(from + 1, (d.place.endColumn ?? column + 1) - 1);
  const part = cut(d.excerpt, from, to, width);
  // Escaping widens characters, so the caret is placed by the escaped text before it.
  const lead = visible(part.text.slice(0, part.from)).length;
  const span = Math.max(1, visible(part.text.slice(part.from, part.to)).length);
  return [
    `${gutter} | ${visible(part.text)}`,
    `${blank} | ${' '.repeat(lead)}${paint(COLOUR[d.severity], '^'.repeat(span))}`,
  ];
}

/**
 * One finding as text: a first line that editors and terminals can jump to
 * (`file:line:column: severity code: message`), the excerpt with a caret, related places, and one thing to do.
 */
export function renderOne(d: Diagnostic, options: TextOptions = {}): string {
  const paint = (code: string, s: string) => (options.colour ? `\u001b[${code}m${s}\u001b[0m` : s);
  const where = d.place ? `${formatPlace(d.place)}: ` : '';
  const lines = [`${where}${paint(COLOUR[d.severity], d.severity)} ${d.code}: ${visible(d.message)}`];
  lines.push(...excerptLines(d, options.width ?? 100, paint));
  for (const r of d.related ?? []) lines.push(`  see: ${formatPlace(r.place)}: ${visible(r.message)}`);
  if (d.help !== undefined) lines.push(`  ${paint('1', 'help')}: ${visible(d.help)}`);
  return lines.join('\n');
}

/** Many findings as text, sorted by file, line and column, with a blank line between them; empty string for none. */
export function renderDiagnosticsText(list: readonly Diagnostic[], options: TextOptions = {}): string {
  const limit = options.cap ?? 20;
  const { kept, omitted } = Number.isFinite(limit)
    ? capDiagnostics(list, limit)
    : { kept: sortDiagnostics(list), omitted: 0 };
  const parts = kept.map((d) => renderOne(d, options));
  if (omitted > 0) parts.push(`… and ${omitted} more`);
  return parts.length === 0 ? '' : `${parts.join('\n\n')}\n`;
}

/** Names of like things that are written out, and further places; more are counted. */
const NAMED = 60;
const PLACES = 8;

/** What is told of one finding: where else it is found, of what else, and how much hangs on it. */
export function renderToldOne({ finding, also, likewise, hanging }: Told, options: TextOptions = {}): string {
  const lines = [renderOne(finding, options)];
  if (likewise.length > 0) {
    const names = likewise.map((d) => visible(d.each ?? ''));
    lines.push(`  likewise: ${names.slice(0, NAMED).join(', ')}${more(names.length - NAMED)}`);
  }
  if (also.length > 0) {
    const where = (place: Place): string =>
      place.file === finding.place?.file && place.line !== undefined && place.line !== finding.place.line
        ? `line ${place.line}`
        : formatPlace(place);
    lines.push(`  also: ${also.slice(0, PLACES).map(where).join(', ')}${more(also.length - PLACES)}`);
  }
  if (hanging.length > 0) {
    lines.push(`  hangs on it: ${summarise(hanging)} (${hangingCodes(hanging).join(', ')})`);
  }
  return lines.join('\n');
}

function more(count: number): string {
  return count > 0 ? ` and ${count} more` : '';
}

/** What a person is told, in its order, with a blank line between findings; empty string for nothing. */
export function renderTold(told: readonly Told[], options: TextOptions = {}): string {
  const limit = options.cap ?? 20;
  if (!(limit >= 1)) throw new RangeError(`limit must be at least 1, got ${limit}`);
  const parts = told.slice(0, limit).map((one) => renderToldOne(one, options));
  if (told.length > limit) parts.push(`… and ${told.length - limit} more`);
  return parts.length === 0 ? '' : `${parts.join('\n\n')}\n`;
}

/** `2 stops, 1 warning, 3 notes`, or `no findings`. */
export function summarise(list: readonly Diagnostic[]): string {
  const words: readonly (readonly [Severity, string])[] = [
    ['stop', 'stop'],
    ['warn', 'warning'],
    ['note', 'note'],
  ];
  const parts: string[] = [];
  for (const [severity, word] of words) {
    const n = list.filter((d) => d.severity === severity).length;
    if (n > 0) parts.push(`${n} ${word}${n === 1 ? '' : 's'}`);
  }
  return parts.length === 0 ? 'no findings' : parts.join(', ');
}
