import type { Diagnostic } from '@bedledger/diagnostics';
import { READER_RULES, type ReaderRule } from './rules.ts';

const BY_ID: ReadonlyMap<string, ReaderRule> = new Map(READER_RULES.map((r) => [r.id, r]));

/** Findings of one code that are told one by one; the rest are counted. */
const TOLD_EACH = 25;
/** Longest piece of a source line shown with a finding. */
const EXCERPT = 160;

/** Collects findings, finds their severity in the table, and keeps a damaged file from producing a million of them. */
export class FindingList {
  readonly list: Diagnostic[] = [];
  understood = true;
  private readonly counts = new Map<string, number>();
  private readonly path: string;
  private readonly bytes: Uint8Array;
  private readonly strict: boolean;
  private readonly decoder = new TextDecoder('utf-8');

  constructor(path: string, bytes: Uint8Array, strict: boolean) {
    this.path = path;
    this.bytes = bytes;
    this.strict = strict;
  }

  /**
   * @param id rule id of the table
   * @param line number from 1; 0 for the whole file
   * @param lineStart byte offset of the line
   * @param from byte offset of the first character found fault with
   * @param to byte offset after the last one
   * @param message what was found and what was expected
   */
  add(id: string, line: number, lineStart: number, from: number, to: number, message: string): void {
    const rule = BY_ID.get(id);
    if (rule === undefined) throw new RangeError(`no reader rule '${id}'`);
    const severity = this.strict ? rule.severity : rule.lenient;
    if (severity === null) return;
    if (rule.clouds) this.understood = false;
    const count = (this.counts.get(id) ?? 0) + 1;
    this.counts.set(id, count);
    if (count > TOLD_EACH) return;
    if (line === 0) {
      this.list.push({ code: id, severity, message, place: { file: this.path }, help: rule.remedy });
      return;
    }
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
    this.list.push({
      code: id,
      severity,
      message,
      place: { file: this.path, line, column, endColumn: column + width },
      excerpt: excerpt.replace(/[\u0000-\u0008\u000b-\u001f\u007f]/g, '\ufffd'),
      help: rule.remedy,
    });
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
    for (const [id, count] of this.counts) {
      if (count <= TOLD_EACH) continue;
      const rule = BY_ID.get(id)!;
      list.push({
        code: id,
        severity: (this.strict ? rule.severity : rule.lenient) ?? 'note',
        message: `${count - TOLD_EACH} more findings of this kind are not listed one by one`,
        place: { file: this.path },
        facts: { more: count - TOLD_EACH },
        help: rule.remedy,
      });
    }
    return list;
  }
}
