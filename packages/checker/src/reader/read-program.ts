import { createHash } from 'node:crypto';
import type { Controller } from '@bedledger/fleet';
import type { ReaderCode } from '../rules/table.ts';
import type { Trace } from '../trace.ts';
import { BlockScanner } from './block-scanner.ts';
import { ExpressionFault } from './expression.ts';
import { FindingList, type Span } from './findings.ts';
import { Interpreter } from './interpreter.ts';
import { Machine } from './machine.ts';
import { MotionColumns } from './motion-columns.ts';
import type { ReadOptions } from './options.ts';
import { M_GROUP, type ReadingProfile, readingProfile } from './reading-profile.ts';

const L_N = 13;
/** For findings about the file as a whole. */
const FIRST_CHARACTER: Span = { line: 1, lineStart: 0, from: 0, to: 1 };
/** ` = ` stands for the colon where comments may not hold one. */
const HEADER = /^([A-Z][A-Z0-9 _-]*?)(?:: | = |:$)(.*)$/;
const FOOTER = /^LINES(?:: | = )(\d{1,9}) SHA(?:: | = )([0-9A-Fa-f]{16})$/;
/** A header text that goes on in the next comment begins with two spaces there, after the one that follows a semicolon. */
const CONTINUED = /^ {2,3}\S/;

/**
 * Reads a program as the controller of the profile would: lexer, modal state and motions in one pass over the bytes.
 *
 * Never throws for the text's sake: whatever is wrong with it is a finding with line and column, and `understood` is
 * false when a finding may hide motion. Arcs, helices, cycles and offsets follow NISTIR 6556 (RS274/NGC) with the
 * differences of the profile's dialect.
 *
 * @param text program text; bytes save a copy
 * @param path shown in findings
 * @param controller complete profile of the controller
 * @throws RangeError when an option is not usable
 */
export function readProgram(
  text: string | Uint8Array,
  path: string,
  controller: Controller,
  options: ReadOptions = {},
): Trace {
  const bytes = typeof text === 'string' ? new TextEncoder().encode(text) : text;
  const profile = readingProfile(controller, options.strict ?? true, options.comments === 'any');
  return new Reading(bytes, path, profile, options).run();
}

class Reading {
  private readonly bytes: Uint8Array;
  private readonly path: string;
  private readonly profile: ReadingProfile;
  private readonly options: ReadOptions;
  private readonly findings: FindingList;
  private readonly scanner: BlockScanner;
  private readonly columns: MotionColumns;
  private readonly machine: Machine;
  private readonly interpreter: Interpreter;
  private readonly header: { key: string; value: string; line: number }[] = [];
  private footer: { lines: number; sha: string; line: number } | null = null;
  private deletable = 0;
  private percentOpen = false;
  private percentClosed = false;
  private content = false;
  private programNumber = -1;
  private lastNumber = -1;
  private words = false;

  constructor(bytes: Uint8Array, path: string, profile: ReadingProfile, options: ReadOptions) {
    this.bytes = bytes;
    this.path = path;
    this.profile = profile;
    this.options = options;
    this.findings = new FindingList(path, bytes, profile.strict);
    this.columns = new MotionColumns(expectedLines(bytes));
    this.scanner = new BlockScanner(bytes, profile, this.findings, (index, from) => {
      const value = this.machine.parameter(index);
      if (value === undefined) {
        throw new ExpressionFault(
          'state/parameter-unset',
          from,
          `found parameter #${index}, which the program has not set`,
        );
      }
      return value;
    });
    this.machine = new Machine(this.scanner, this.columns, profile, options);
    this.interpreter = new Interpreter(this.machine, this.scanner);
  }

  run(): Trace {
    const start: readonly [number, number, number] = [this.machine.x, this.machine.y, this.machine.z];
    const scanner = this.scanner;
    const interpreter = this.interpreter;
    const n = this.bytes.length;
    const skip = this.options.blockDelete === true;
    const numbered = this.profile.strict || this.profile.controller.lineNumbers.max < 99_999;
    let p = 0;
    while (p < n && !this.machine.ended && !this.percentClosed) {
      p = scanner.scan(p);
      if (scanner.deletable) this.deletable++;
      if (!scanner.sound) {
        this.findings.understood = false;
        this.content = true;
        continue;
      }
      if (scanner.percent) {
        this.percentLine();
        continue;
      }
      const hasWords = (scanner.mask & ~(1 << L_N)) !== 0 || scanner.gCount + scanner.mCount > 0;
      if (hasWords || scanner.comments.length > 0 || scanner.mask !== 0 || scanner.settings.length > 0) {
        this.content = true;
      }
      if (scanner.comments.length > 0) this.comments(hasWords);
      if (scanner.programNumber >= 0) this.program();
      if (numbered && (scanner.mask !== 0 || hasWords)) this.lineNumber(hasWords);
      if (skip && scanner.deletable) continue;
      if (hasWords) {
        this.words = true;
        if (this.footer !== null) this.afterFooter();
      }
      interpreter.execute();
      if (this.columns.length > this.machine.mostMotions && !this.machine.ended) this.tooMany();
    }
    const lines = this.rest(p);
    this.wholeFile(lines);
    return this.trace(start, lines);
  }

  /** The program asks for more than may be followed: it is read no further. */
  private tooMany(): void {
    const s = this.scanner;
    const most = this.machine.mostMotions;
    s.finding('state/too-many-motions', s.lineStart, s.lineEnd, `found more than ${most} motions`);
    this.machine.ended = true;
  }

  private percentLine(): void {
    const s = this.scanner;
    if (!this.content) {
      this.content = true;
      this.percentOpen = true;
      return;
    }
    if (this.percentOpen) {
      this.percentClosed = true;
      return;
    }
    s.finding(
      'text/percent',
      s.lineStart,
      s.lineEnd,
      'found a percent line in the middle of a file that does not begin with one',
    );
    this.percentClosed = true;
  }

  private comments(hasWords: boolean): void {
    const s = this.scanner;
    const list = s.comments;
    for (let i = 0; i < list.length; i += 2) {
      const raw = this.findings.text(list[i]!, list[i + 1]!);
      const text = raw.trim();
      const footer = FOOTER.exec(text);
      if (footer !== null && !hasWords) this.footerFound(Number(footer[1]), footer[2]!);
      else if (!hasWords && !this.words && this.footer === null) {
        const header = HEADER.exec(text);
        const last = this.header.at(-1);
        if (CONTINUED.test(raw) && last !== undefined) last.value = `${last.value} ${text}`.trim();
        else if (header !== null)
          this.header.push({ key: header[1]!.trim(), value: header[2]!.trim(), line: s.line });
      }
      // NGC 3.3.4: of several comments on a line only the last counts as a message.
      const message = /^m\s*s\s*g\s*,/i.test(text) && i + 2 >= list.length;
      this.machine.events.push({
        kind: message ? 'message' : 'comment',
        line: s.line,
        at: this.columns.length,
        value: 0,
        text: message ? text.slice(text.indexOf(',') + 1).trim() : text,
      });
    }
  }

  private footerFound(lines: number, sha: string): void {
    const s = this.scanner;
    this.footer = { lines, sha, line: s.line };
    if (lines !== s.line - 1) {
      s.finding(
        'text/footer-lines',
        s.lineStart,
        s.lineEnd,
        `found ${s.line - 1} lines before the closing comment, which says ${lines}`,
      );
    }
    const actual = createHash('sha256')
      .update(this.bytes.subarray(0, s.lineStart))
      .digest('hex')
      .slice(0, 16);
    if (actual !== sha.toLowerCase()) {
      s.finding(
        'text/footer-hash',
        s.lineStart,
        s.lineEnd,
        `found text with the hash ${actual}, and a closing comment that says ${sha.toLowerCase()}`,
      );
    }
  }

  private afterFooter(): void {
    const s = this.scanner;
    const stop = (s.mMask & (1 << M_GROUP.stop)) !== 0 ? s.m[M_GROUP.stop] : -1;
    const end = stop === 2 || stop === 30;
    if (end && s.gCount === 0 && s.mCount === 1 && (s.mask & ~(1 << L_N)) === 0) return;
    s.finding(
      'text/footer-lines',
      s.lineStart,
      s.lineEnd,
      'found a block after the closing comment, expected only the end word',
    );
  }

  private program(): void {
    const s = this.scanner;
    if (this.words || this.programNumber >= 0) {
      s.finding(
        'grammar/subprogram',
        s.firstCharacter(),
        s.lineEnd,
        'found a second program number, which begins a subprogram',
      );
      return;
    }
    this.programNumber = s.programNumber;
    const expected = this.profile.controller.start.programNumber;
    // The profile's number is a base: the programs of a machine are told apart by four digits added to it.
    const own = s.programNumber - (expected ?? 0);
    if (expected !== null && !(Number.isInteger(own) && own >= 0 && own <= 9999)) {
      s.finding(
        'grammar/program-number',
        s.firstCharacter(),
        s.lineEnd,
        `found program number ${s.programNumber}, expected ${expected} to ${expected + 9999}`,
      );
    }
  }

  private lineNumber(hasWords: boolean): void {
    const s = this.scanner;
    const rule = this.profile.controller.lineNumbers;
    const present = (s.mask & (1 << L_N)) !== 0;
    const at = present ? s.from[L_N]! : s.firstCharacter();
    const end = s.endOfWord(at);
    if (!present) {
      const stopped = rule.at_max === 'stop' && this.lastNumber + rule.step > rule.max;
      if (rule.use === 'every' && hasWords && !stopped) {
        s.finding('grammar/line-number-profile', at, end, 'found a block without a line number');
      }
      return;
    }
    const value = s.value[L_N]!;
    if (rule.use === 'off') {
      s.finding('grammar/line-number-profile', at, end, `found N${value}, expected no line numbers`);
      return;
    }
    if (value > rule.max) {
      s.finding('grammar/line-number', at, end, `found N${value}, expected at most N${rule.max}`);
    }
    const wraps = rule.at_max === 'wrap' && this.lastNumber + rule.step > rule.max && value <= rule.start;
    if (value <= this.lastNumber && !wraps) {
      s.finding('grammar/line-number-profile', at, end, `found N${value} after N${this.lastNumber}`);
    }
    this.lastNumber = value;
  }

  /** Reads past the end of the program; returns the number of lines of the file. */
  private rest(from: number): number {
    const s = this.scanner;
    const bytes = this.bytes;
    const n = bytes.length;
    let p = from;
    let reported = false;
    while (p < n) {
      const start = p;
      p = s.skip(p);
      let first = start;
      while (first < s.lineEnd && (bytes[first] === 32 || bytes[first] === 9)) first++;
      if (first === s.lineEnd) continue;
      let last = s.lineEnd;
      while (last > first && (bytes[last - 1] === 32 || bytes[last - 1] === 9)) last--;
      if (last === first + 1 && bytes[first] === 37 && !this.percentClosed) {
        if (!this.percentOpen && this.profile.ngc) {
          s.finding('text/after-end', first, last, 'found a closing percent line without an opening one');
        }
        this.percentClosed = true;
        continue;
      }
      if (reported) continue;
      reported = true;
      s.finding('text/after-end', first, last, 'found text after the end of the program');
    }
    return s.line;
  }

  private wholeFile(lines: number): void {
    const findings = this.findings;
    const c = this.profile.controller;
    const s = this.scanner;
    const last = this.lastLine(lines);
    /** About the file as a whole: shown at its first or its last line. */
    const whole = (code: ReaderCode, message: string, atEnd = true) =>
      findings.add(code, atEnd ? last : FIRST_CHARACTER, message);
    const n = this.bytes.length;
    if (this.machine.blocks === 0 && findings.understood) {
      whole('text/empty', 'found no block in the file', false);
    }
    if (n > 0 && this.bytes[n - 1] !== 10 && this.bytes[n - 1] !== 13) {
      s.finding('text/last-line', n - 1, n, 'found a last line without a line end');
    }
    for (const [kind, count, line, start, end] of s.lineEnds()) {
      if (count > 0 && kind !== c.lineEnding) {
        findings.add(
          'text/line-ending',
          { line, lineStart: start, from: end, to: end },
          `found ${count} lines that end in ${kind.toUpperCase()}, expected ${c.lineEnding.toUpperCase()}`,
        );
      }
    }
    if (c.maxLines !== null && lines > c.maxLines) {
      whole('text/too-many-lines', `found ${lines} lines, expected at most ${c.maxLines}`);
    }
    if (c.maxBytes !== null && n > c.maxBytes) {
      whole('text/too-many-bytes', `found ${n} bytes, expected at most ${c.maxBytes}`);
    }
    this.fileName();
    if (this.percentOpen && !this.percentClosed && (this.profile.ngc || c.end.percent)) {
      whole('text/percent', 'found an opening percent line and no closing one');
    }
    if (this.percentOpen !== c.start.percent) {
      whole(
        'text/percent-profile',
        `found ${this.percentOpen ? 'a' : 'no'} percent line at the start, expected ${c.start.percent ? 'one' : 'none'}`,
        false,
      );
    }
    if (this.percentClosed !== c.end.percent && (this.percentClosed || !this.percentOpen)) {
      whole(
        'text/percent-profile',
        `found ${this.percentClosed ? 'a' : 'no'} percent line at the end, expected ${c.end.percent ? 'one' : 'none'}`,
      );
    }
    const pair = this.percentOpen && this.percentClosed;
    if (!this.machine.ended && (this.profile.strict || !pair)) {
      whole('grammar/end-missing', `found no end word, expected ${c.end.word}`);
    }
    if (c.start.programNumber !== null && c.start.programWord !== 'none' && this.programNumber < 0) {
      whole(
        'grammar/program-number',
        `found no program number, expected ${c.start.programWord}${c.start.programNumber}`,
        false,
      );
    }
    if (this.footer === null && c.comments !== 'none') {
      whole('text/footer-missing', 'found no closing comment with line count and hash');
    }
  }

  /** The last line that is not empty. */
  private lastLine(lines: number): Span {
    const bytes = this.bytes;
    const isEnd = (p: number) => bytes[p] === 10 || bytes[p] === 13;
    let end = bytes.length;
    let line = lines;
    while (end > 0 && isEnd(end - 1)) {
      const two = bytes[end - 1] === 10 && bytes[end - 2] === 13;
      end -= two ? 2 : 1;
      if (end > 0 && isEnd(end - 1)) line--;
    }
    let start = end;
    while (start > 0 && !isEnd(start - 1)) start--;
    return { line: Math.max(1, line), lineStart: start, from: start, to: end };
  }

  private fileName(): void {
    const rule = this.profile.controller.fileName;
    const name = this.path.slice(Math.max(this.path.lastIndexOf('/'), this.path.lastIndexOf('\\')) + 1);
    const dot = name.lastIndexOf('.');
    const stem = dot < 0 ? name : name.slice(0, dot);
    const extension = dot < 0 ? '' : name.slice(dot + 1);
    const wanted = rule.extension.replace(/^\./, '');
    const bad = (expected: string) =>
      this.findings.add(
        'text/file-name',
        FIRST_CHARACTER,
        `found the file name '${name}', expected ${expected}`,
      );
    if (extension.toLowerCase() !== wanted.toLowerCase()) bad(`the extension '${wanted}'`);
    else if (rule.upper && name !== name.toUpperCase()) bad('upper case');
    else if (rule.form === '8.3' && !/^[A-Za-z0-9_-]{1,8}$/.test(stem))
      bad('one to eight letters and digits');
    else if (rule.form === 'digits' && !/^[A-Za-z]?\d+$/.test(stem)) bad('digits');
  }

  private trace(start: readonly [number, number, number], lines: number): Trace {
    const m = this.columns;
    const n = m.length;
    const i = this.machine;
    const offset = i.axisOffset;
    const findings = this.findings.finish();
    const parameters: Record<number, number> = {};
    for (const [number, value] of i.parameters) parameters[number] = value;
    return {
      length: n,
      kind: m.kind.subarray(0, n),
      line: m.line.subarray(0, n),
      x: m.x.subarray(0, n),
      y: m.y.subarray(0, n),
      z: m.z.subarray(0, n),
      c1: m.c1.subarray(0, n),
      c2: m.c2.subarray(0, n),
      sweep: m.sweep.subarray(0, n),
      plane: m.plane.subarray(0, n),
      feed: m.feed.subarray(0, n),
      rpm: m.rpm.subarray(0, n),
      tool: m.tool.subarray(0, n),
      lengthOffset: m.lengthOffset.subarray(0, n),
      workOffset: m.workOffset.subarray(0, n),
      flags: m.flags.subarray(0, n),
      start,
      events: i.events,
      end: i.state(),
      header: this.header,
      lines,
      blocks: i.blocks,
      deletable: this.deletable,
      reading: [i.x - offset[0], i.y - offset[1], i.z - offset[2]],
      axisOffsets: [offset[0], offset[1], offset[2]],
      parameters,
      footer: this.footer,
      understood: this.findings.understood,
      findings,
    };
  }
}

/** Lines to make room for: counted in small files, estimated from samples in large ones. */
function expectedLines(bytes: Uint8Array): number {
  const n = bytes.length;
  const count = (from: number, to: number): number => {
    let lines = 0;
    for (let i = from; i < to; i++) if (bytes[i] === 10 || bytes[i] === 13) lines++;
    return lines;
  };
  if (n <= 1 << 20) return count(0, n) + 16;
  const size = 1 << 15;
  const samples = 16;
  let lines = 0;
  for (let k = 0; k < samples; k++) {
    const from = Math.floor(((n - size) * k) / (samples - 1));
    lines += count(from, from + size);
  }
  return Math.ceil((lines / (samples * size)) * n * 1.2) + 1024;
}
