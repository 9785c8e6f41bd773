import type { Diagnostic } from '@bedledger/diagnostics';
import { report } from '../report.ts';
import { READER_RULES, type ReaderCode } from '../rules/table.ts';

/** Findings of one code that are listed one by one; the rest are counted. */
const LISTED_EACH = 25;
/** Longest piece of a source line shown with a finding. */
const EXCERPT = 160;

/** A span of one line of the program, in byte offsets of the file. */
export interface Span {
  /** From 1. */
  readonly line: number;
  /** First byte of the line. */
  readonly lineStart: number;
  /** First byte found fault with, and the byte after the last one. */
  readonly from: number;
  readonly to: number;
}

/** Collects findings in the severity of the reading, and keeps a damaged file from producing a million of them. */
export class FindingList {
  readonly list: Diagnostic[] = [];
  understood = true;
  private readonly counts = new Map<ReaderCode, number>();
  private readonly path: string;
  private readonly bytes: Uint8Array;
  private readonly strict: boolean;
  private readonly decoder = new TextDecoder('utf-8');

  constructor(path: string, bytes: Uint8Array, strict: boolean) {
    this.path = path;
    this.bytes = bytes;
    this.strict = strict;
  }

  /** Adds a finding. `message` says what was found and what was expected. */
  add(code: ReaderCode, span: Span, message: string): void {
    const rule = READER_RULES[code];
    const severity = this.strict ? rule.severity : rule.foreign;
    if (severity === null) return;
    if (rule.makesPathUnknown) this.understood = false;
    const count = (this.counts.get(code) ?? 0) + 1;
    this.counts.set(code, count);
    if (count <= LISTED_EACH) this.list.push(report({ code, severity, message, ...this.placeOf(span) }));
  }

  /** Line, columns and the line's text, cut down about the span when it is long. */
  private placeOf({ line, lineStart, from, to }: Span): Pick<Diagnostic, 'place' | 'excerpt'> {
    const bytes = this.bytes;
    let end = lineStart;
    while (end < bytes.length && bytes[end] !== 10 && bytes[end] !== 13) end++;
    const column = this.text(lineStart, Math.min(from, end)).length + 1;
    const width = Math.max(1, this.text(Math.min(from, end), Math.min(to, end)).length);
    let excerpt = this.text(lineStart, end);
    if (excerpt.length > EXCERPT) {
      const first = Math.max(0, column - 1 - EXCERPT / 2);
      excerpt = `${first > 0 ? '…' : ''}${excerpt.slice(first, first + EXCERPT)}…`;
    }
    return {
      place: { file: this.path, line, column, endColumn: column + width },
      excerpt: excerpt.replace(/[\u0000-\u0008\u000b-\u001f\u007f]/g, '\ufffd'),
    };
  }

  /** Text between two byte offsets, bounded so that a damaged file cannot make it slow. */
  text(from: number, to: number): string {
    return this.decoder.decode(this.bytes.subarray(from, Math.min(to, from + 4096)));
  }

  /** The findings in file order, with one more per code that was cut off. */
  finish(): readonly Diagnostic[] {
    const list = this.list
      .map((d, i) => ({ d, i }))
      .sort((a, b) => (a.d.place?.line ?? 0) - (b.d.place?.line ?? 0) || a.i - b.i)
      .map((e) => e.d);
    for (const [code, count] of this.counts) {
      const more = count - LISTED_EACH;
      if (more <= 0) continue;
      list.push(
        report({
          code,
          severity: this.strict ? undefined : (READER_RULES[code].foreign ?? undefined),
          message: `${more} more findings of this kind are not listed one by one`,
          place: { file: this.path },
          facts: { more },
        }),
      );
    }
    return list;
  }
}
