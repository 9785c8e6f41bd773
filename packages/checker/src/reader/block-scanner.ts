import type { ReaderCode } from '../rules/table.ts';
import { ExpressionFault, ExpressionReader, FIRST_RESERVED } from './expression.ts';
import type { FindingList } from './findings.ts';
import {
  ALLOWED,
  GROUP,
  LETTER_G,
  LETTER_M,
  LETTER_N,
  LETTER_NOT_IN_PROFILE,
  LETTER_O,
  LETTER_UNKNOWN,
  NOT_FOLLOWED,
  NOT_IN_PROFILE,
  NOT_ISSUED,
  type ReadingProfile,
  UNKNOWN,
} from './reading-profile.ts';

const LF = 10;
const CR = 13;
const SPACE = 32;
const TAB = 9;

const BLANK = 1;
const LETTER = 2;
const END = 3;

/** First look at a byte: blank, letter, line end or anything else. */
const KIND = new Uint8Array(256);
KIND[SPACE] = BLANK;
KIND[TAB] = BLANK;
KIND[LF] = END;
KIND[CR] = END;
for (let c = 65; c <= 90; c++) {
  KIND[c] = LETTER;
  KIND[c | 32] = LETTER;
}

/** Powers of ten that a double holds exactly; a quotient of two exact doubles is rounded once, so it equals Number(text). */
const POWER = Float64Array.from({ length: 23 }, (_, i) => Number(`1e${i}`));
/** Most digits whose integer a double holds exactly. */
const EXACT_DIGITS = 15;

const RANK = (() => {
  const rank = new Uint8Array(26);
  [...'NGXYZIJKRQPLFSHDTM'].forEach((letter, i) => {
    rank[letter.charCodeAt(0) - 65] = i + 1;
  });
  return rank;
})();

/** Letters whose value has no sign: D F H L P Q S T (NGC table 14). */
const UNSIGNED = bits('DFHLPQST');
const OF_M = bits('DHLPQR');
const L_N = 13;

function bits(letters: string): number {
  let mask = 0;
  for (const letter of letters) mask |= 1 << (letter.charCodeAt(0) - 65);
  return mask;
}

/**
 * Reads one line at a time into fields that are used again for the next line: nothing is allocated for a plain block.
 * Letters are indexed from A = 0; `mask` says which of them the block has.
 */
export class BlockScanner {
  readonly value = new Float64Array(26);
  readonly from = new Int32Array(26);
  mask = 0;
  /** G words by group, as ten times the code. */
  readonly g = new Int32Array(16);
  readonly gFrom = new Int32Array(16);
  gMask = 0;
  gCount = 0;
  /** M words by group. */
  readonly m = new Int32Array(32);
  readonly mFrom = new Int32Array(32);
  mMask = 0;
  mCount = 0;
  /** Comments of the line: offsets after the opening and before the closing mark. */
  readonly comments: number[] = [];
  /** Parameter settings of the line: number, value, number, value … carried out after the line is read. */
  readonly settings: number[] = [];
  deletable = false;
  percent = false;
  programNumber = -1;
  /** False when the line could not be read as a block. */
  sound = true;
  line = 0;
  private lowerLine = 0;
  lineStart = 0;
  /** Offset of the line's end mark. */
  lineEnd = 0;
  /** Line ends seen, by kind, each with the line, its start and its end where it was first seen. */
  private lf = 0;
  private cr = 0;
  private crlf = 0;
  private readonly firstSeen: [number, number, number][] = [
    [0, 0, 0],
    [0, 0, 0],
    [0, 0, 0],
  ];

  private otherFormSeen = false;
  private readonly bytes: Uint8Array;
  private readonly profile: ReadingProfile;
  private readonly findings: FindingList;
  private readonly expressions: ExpressionReader;
  private readonly letters: Uint8Array;
  private readonly decimals: Uint8Array;
  private readonly limit: Float64Array;
  private readonly upperOnly: boolean;
  private readonly noPoint: boolean;
  private readonly points: boolean;
  private readonly pointNeeded: Uint8Array;
  private readonly ordered: boolean;

  constructor(
    bytes: Uint8Array,
    profile: ReadingProfile,
    findings: FindingList,
    parameter: (index: number, from: number) => number,
  ) {
    this.bytes = bytes;
    this.profile = profile;
    this.findings = findings;
    this.expressions = new ExpressionReader(parameter);
    this.letters = profile.letters;
    this.decimals = profile.decimals;
    this.limit = profile.limit;
    const c = profile.controller;
    this.upperOnly = c.characterSet === 'ascii-upper';
    this.noPoint = c.numbers.point === 'never';
    this.points = profile.pointNeeded.some((v) => v !== 0);
    this.pointNeeded = profile.pointNeeded;
    this.ordered = profile.wordOrder;
  }

  /** A finding about the current line. */
  finding(rule: ReaderCode, from: number, to: number, message: string): void {
    this.findings.add(rule, { line: this.line, lineStart: this.lineStart, from, to }, message);
  }

  /**
   * Reads the line that begins at `start`; returns where the next one begins. One long function on purpose: the words of
   * millions of lines run through it with everything they need in local variables.
   */
  scan(start: number): number {
    const bytes = this.bytes;
    const n = bytes.length;
    const letters = this.letters;
    this.line++;
    this.lineStart = start;
    this.gMask = 0;
    this.gCount = 0;
    this.mMask = 0;
    this.mCount = 0;
    if (this.comments.length > 0) this.comments.length = 0;
    if (this.settings.length > 0) this.settings.length = 0;
    this.deletable = false;
    this.percent = false;
    this.programNumber = -1;
    this.sound = true;
    let mask = 0;
    let rank = 0;
    let p = start;

    scanning: while (p < n) {
      const c = bytes[p]!;
      const kind = KIND[c]!;
      if (kind === BLANK) {
        if (c === TAB) this.finding('text/tab', p, p + 1, 'found a tab, expected a space or nothing');
        p++;
        continue;
      }
      if (kind === END) break;
      if (kind === LETTER) {
        const at = p;
        const letter = (c | 32) - 97;
        if (c >= 97 && this.upperOnly) this.lowerCase(at);
        const letterKind = letters[letter]!;
        // The number: sign, digits, point; NGC lets white space stand anywhere in it.
        let ch = ++p < n ? bytes[p]! : LF;
        if (ch === SPACE || ch === TAB) {
          while (ch === SPACE || ch === TAB) ch = ++p < n ? bytes[p]! : LF;
          if (!this.profile.ngc && !this.spaceInNumber(at, p)) break;
        }
        let negative = false;
        if (ch === 45 || ch === 43) {
          negative = ch === 45;
          ch = ++p < n ? bytes[p]! : LF;
        }
        let mantissa = 0;
        let digits = 0;
        let places = -1;
        for (;;) {
          const d = ch - 48;
          if (d >= 0 && d <= 9) {
            mantissa = mantissa * 10 + d;
            digits++;
            if (places >= 0) places++;
          } else if (ch === 46) {
            if (places >= 0) {
              this.fault('grammar/number', at, p + 1, 'found a second decimal point, expected at most one');
              break scanning;
            }
            places = 0;
          } else if (ch === SPACE || ch === TAB) {
            let q = p + 1;
            while (q < n && (bytes[q] === SPACE || bytes[q] === TAB)) q++;
            const after = q < n ? bytes[q]! : LF;
            if (!((after >= 48 && after <= 57) || after === 46)) break;
            if (!this.profile.ngc && !this.spaceInNumber(at, q)) break scanning;
            p = q;
            ch = after;
            continue;
          } else break;
          ch = ++p < n ? bytes[p]! : LF;
        }
        let value: number;
        if (digits === 0) {
          if (letterKind === LETTER_UNKNOWN || letterKind === LETTER_O || negative || places >= 0) {
            if (letterKind === LETTER_UNKNOWN) this.unknownLetter(at, p);
            else if (letterKind === LETTER_O) this.subprogram(at, p);
            else this.noNumber(at, p, ch);
            break;
          }
          value = this.expression(at, p, ch, letter);
          if (Number.isNaN(value)) break;
          p = this.expressions.position;
        } else {
          if (digits <= EXACT_DIGITS) value = places > 0 ? mantissa / POWER[places]! : mantissa;
          else value = this.longNumber(at + 1, p);
          if (this.noPoint) {
            value = this.implied(letter, at, p, value, digits, places);
            if (Number.isNaN(value)) break;
          } else if (places > this.decimals[letter]! || value >= this.limit[letter]!) {
            this.format(letter, at, p, value, places);
          }
          if (this.points && places < 0 && this.pointNeeded[letter] === 1 && !this.dwelling(letter)) {
            this.finding(
              'grammar/point-missing',
              at,
              p,
              `found \`${this.findings.text(at, p)}\` without a decimal point, expected one`,
            );
          }
          if (negative) {
            if (value === 0) {
              this.finding(
                'grammar/negative-zero',
                at,
                p,
                `found \`${this.findings.text(at, p)}\`, expected zero without a sign`,
              );
            } else value = -value;
          }
          if (ch === 44 || ch === 69 || ch === 101) {
            this.tail(at, p, ch);
            break;
          }
        }

        if (letterKind === 1) {
          const bit = 1 << letter;
          if ((mask & bit) !== 0) {
            this.fault(
              'grammar/duplicate-word',
              at,
              p,
              `found the letter ${name(letter)} twice in one block`,
            );
            break;
          }
          mask |= bit;
          this.value[letter] = value;
          this.from[letter] = at;
          if (value < 0 && (UNSIGNED & bit) !== 0) {
            this.fault('grammar/negative', at, p, `found ${name(letter)}${value}, expected zero or more`);
            break;
          }
        } else if (letterKind === LETTER_G) {
          if (!this.gWord(value, at, p)) break;
        } else if (letterKind === LETTER_M) {
          if (!this.mWord(value, at, p)) break;
        } else if (letterKind === LETTER_N) {
          if (!this.lineNumber(value, at, p, digits, places, mask)) break;
          mask |= 1 << L_N;
        } else if (letterKind === LETTER_O) {
          if (!this.program(value, at, p, mask)) break;
        } else {
          if (letterKind === LETTER_NOT_IN_PROFILE) {
            this.fault(
              'grammar/letter-not-allowed',
              at,
              p,
              `found \`${this.findings.text(at, p)}\`; this controller has no ${name(letter)} word`,
            );
          } else this.unknownLetter(at, p);
          break;
        }
        if (this.ordered) {
          // Words that belong to an M word (an output's number) follow it.
          const own = this.mCount > 0 && (OF_M & (1 << letter)) !== 0 ? rank : RANK[letter]!;
          if (own < rank) {
            this.finding(
              'grammar/word-order',
              at,
              p,
              `found ${name(letter)} after a word that customarily follows it`,
            );
          }
          rank = own;
        }
        continue;
      }
      p = this.other(p, c, mask);
      if (p < 0) break;
    }

    this.mask = mask;
    return this.finishLine(p < 0 ? start : p);
  }

  /** Finds the line's end from `p` on, counts its kind and checks the length. */
  private finishLine(from: number): number {
    const bytes = this.bytes;
    const n = bytes.length;
    let p = from;
    while (p < n && bytes[p] !== LF && bytes[p] !== CR) p++;
    this.lineEnd = p;
    if (p - this.lineStart > this.profile.maxLine) {
      this.finding(
        'text/line-length',
        this.lineStart + this.profile.maxLine,
        p,
        `found a line of ${p - this.lineStart} characters, expected at most ${this.profile.maxLine}`,
      );
      this.sound = false;
    }
    if (p >= n) return n;
    if (bytes[p] === LF) {
      if (this.lf++ === 0) this.seen(0);
      return p + 1;
    }
    if (p + 1 < n && bytes[p + 1] === LF) {
      if (this.crlf++ === 0) this.seen(1);
      return p + 2;
    }
    if (this.cr++ === 0) this.seen(2);
    return p + 1;
  }

  private seen(kind: number): void {
    this.firstSeen[kind] = [this.line, this.lineStart, this.lineEnd];
  }

  /** Kinds of line ends: name, count, and line, start and end of the first. */
  lineEnds(): [kind: 'lf' | 'crlf' | 'cr', count: number, line: number, start: number, end: number][] {
    return [
      ['lf', this.lf, ...this.firstSeen[0]!],
      ['crlf', this.crlf, ...this.firstSeen[1]!],
      ['cr', this.cr, ...this.firstSeen[2]!],
    ];
  }

  /** Passes a line without reading it; returns where the next one begins. */
  skip(start: number): number {
    this.line++;
    this.lineStart = start;
    return this.finishLine(start);
  }

  /** Offset of the first character of the line that is neither blank nor the block delete mark. */
  firstCharacter(): number {
    let p = this.lineStart;
    while (p < this.lineEnd && (this.bytes[p] === SPACE || this.bytes[p] === TAB || this.bytes[p] === 47))
      p++;
    return p;
  }

  /** Offset after the word that begins at `from`. */
  endOfWord(from: number): number {
    let p = from + 1;
    while (p < this.lineEnd) {
      const c = this.bytes[p]!;
      if (!((c >= 48 && c <= 57) || c === 46 || c === 45 || c === 43)) break;
      p++;
    }
    return p;
  }

  private fault(rule: ReaderCode, from: number, to: number, message: string): void {
    this.sound = false;
    this.finding(rule, from, to, message);
  }

  /** Told once a line, and once a file when it is a mere note: a program in lower case is one thing, not a thousand. */
  private lowerCase(at: number): void {
    if (this.lowerLine === this.line || (!this.profile.strict && this.lowerLine > 0)) return;
    this.lowerLine = this.line;
    this.finding(
      'text/lower-case',
      at,
      at + 1,
      `found \`${String.fromCharCode(this.bytes[at]!)}\`, expected upper case`,
    );
  }

  private spaceInNumber(at: number, to: number): boolean {
    this.fault('grammar/space-in-number', at, to + 1, 'found white space inside a word');
    return false;
  }

  private unknownLetter(at: number, to: number): void {
    const letter = String.fromCharCode(this.bytes[at]!).toUpperCase();
    this.fault(
      'grammar/letter',
      at,
      to,
      `found \`${this.findings.text(at, to)}\`; ${letter} is not a letter of this controller's words`,
    );
  }

  private subprogram(at: number, to: number): void {
    this.fault(
      'grammar/subprogram',
      at,
      to,
      'found an O word, which belongs to subprograms and flow control',
    );
  }

  private noNumber(at: number, to: number, ch: number): void {
    const what = ch === 44 ? ' but a comma' : '';
    this.fault(
      'grammar/number-missing',
      at,
      Math.max(to, at + 1),
      `found ${String.fromCharCode(this.bytes[at]!).toUpperCase()} without a number${what}, expected digits`,
    );
  }

  private tail(at: number, p: number, ch: number): void {
    if (ch === 44) {
      this.fault(
        'grammar/decimal-comma',
        at,
        p + 1,
        'found a comma after a number, expected a decimal point',
      );
      return;
    }
    const after = this.bytes[p + 1] ?? 0;
    const exponent = (after >= 48 && after <= 57) || after === 43 || after === 45;
    this.fault(
      exponent ? 'grammar/exponent' : 'grammar/letter',
      at,
      p + 2,
      exponent
        ? 'found a number with an exponent, expected plain digits'
        : 'found the letter E, which is not a word of this controller',
    );
  }

  /** Numbers with more digits than a double's integer holds: the engine's own correctly rounded conversion. */
  private longNumber(from: number, to: number): number {
    let text = '';
    for (let i = from; i < to && text.length < 800; i++) {
      const c = this.bytes[i]!;
      if ((c >= 48 && c <= 57) || c === 46) text += String.fromCharCode(c);
    }
    return Number(text);
  }

  /** Value of a number without a decimal point: the format fixes the place (EIA RS-274-D). */
  private implied(
    letter: number,
    at: number,
    to: number,
    value: number,
    digits: number,
    places: number,
  ): number {
    const dwelling = this.dwelling(letter);
    const width = dwelling ? this.profile.dwellDigits : this.profile.digits[letter]!;
    const shown = this.findings;
    if (places >= 0) {
      this.fault(
        'grammar/point-not-allowed',
        at,
        to,
        `found \`${shown.text(at, to)}\`, expected a number without a decimal point`,
      );
      return Number.NaN;
    }
    if (width === 0) return value;
    const decimals = dwelling ? this.profile.dwellDecimals : this.decimals[letter]!;
    const suppress = this.profile.controller.numbers.suppress;
    const bad = digits > width || (suppress === 'none' && digits !== width);
    if (bad) {
      const expected = suppress === 'none' ? `${width} digits` : `at most ${width} digits`;
      this.fault(
        'grammar/digits',
        at,
        to,
        `found \`${shown.text(at, to)}\` with ${digits} digits, expected ${expected}`,
      );
      return Number.NaN;
    }
    return suppress === 'trailing'
      ? (value * POWER[width - digits]!) / POWER[decimals]!
      : value / POWER[decimals]!;
  }

  /** Is this the word of a dwell, which has its own format? Only when G4 stands before it. */
  private dwelling(letter: number): boolean {
    return letter === this.profile.dwell && (this.gMask & 1) !== 0 && this.g[GROUP.once] === 40;
  }

  private format(letter: number, at: number, to: number, value: number, places: number): void {
    const dwelling = this.dwelling(letter);
    const decimals = dwelling ? this.profile.dwellDecimals : this.decimals[letter]!;
    const limit = dwelling ? this.profile.dwellLimit : this.limit[letter]!;
    if (places > decimals) {
      // Zeros beyond the grid change nothing; only other digits do.
      const text = this.findings.text(at, to).replace(/[ \t]/g, '');
      const extra = text.slice(text.indexOf('.') + 1 + decimals);
      if (/[1-9]/.test(extra)) {
        this.finding('grammar/decimals', at, to, `found \`${text}\`, expected at most ${decimals} decimals`);
      }
    }
    if (value >= limit) {
      this.finding(
        'grammar/too-large',
        at,
        to,
        `found \`${this.findings.text(at, to)}\`, expected less than ${limit}`,
      );
    }
  }

  /** A value that is not a plain number: `#`, `[` or a function. NaN when it cannot be used. */
  private expression(at: number, p: number, ch: number, letter: number): number {
    const opens = ch === 35 || ch === 91;
    const named = (ch >= 65 && ch <= 90) || (ch >= 97 && ch <= 122);
    if (!opens && !(named && this.functionAt(p))) {
      this.noNumber(at, p, ch);
      return Number.NaN;
    }
    if (!this.profile.ngc) {
      this.fault(
        'grammar/expression-not-supported',
        at,
        p + 1,
        'found an expression or a parameter, expected a number',
      );
      return Number.NaN;
    }
    if (letter === L_N || letter === 14) {
      this.noNumber(at, p, ch);
      return Number.NaN;
    }
    this.finding('grammar/expression-profile', at, p + 1, 'found an expression, expected a plain number');
    try {
      return this.expressions.value(this.bytes, p, this.endOfLine(p));
    } catch (fault) {
      this.expressionFault(fault);
      return Number.NaN;
    }
  }

  private expressionFault(fault: unknown): void {
    if (!(fault instanceof ExpressionFault)) throw fault;
    this.fault(fault.rule, fault.from, fault.from + 1, fault.message);
  }

  private endOfLine(from: number): number {
    let p = from;
    while (p < this.bytes.length && this.bytes[p] !== LF && this.bytes[p] !== CR) p++;
    return p;
  }

  private functionAt(p: number): boolean {
    let word = '';
    for (let i = p; i < this.bytes.length && word.length < 5; i++) {
      const c = this.bytes[i]!;
      if (c === SPACE || c === TAB) continue;
      if ((c | 32) < 97 || (c | 32) > 122) break;
      word += String.fromCharCode(c | 32);
    }
    // Two letters in a row can only be a function: any other word has a number after its letter.
    return word.length >= 2;
  }

  private gWord(value: number, at: number, to: number): boolean {
    const exact = value * 10;
    const code = Math.round(exact);
    const off = exact - code;
    const profile = this.profile;
    if (!(off < 0.0001 && off > -0.0001) || code < 0 || code >= 1000 || profile.gStatus[code] === UNKNOWN) {
      this.fault(
        'grammar/unknown-code',
        at,
        to,
        `found \`${this.findings.text(at, to)}\`, which is not known`,
      );
      return false;
    }
    const group = profile.gGroup[code]!;
    const bit = 1 << group;
    if ((this.gMask & bit) !== 0) {
      this.fault(
        'grammar/modal-group',
        at,
        to,
        `found G${this.g[group]! / 10} and G${code / 10} in one block, which exclude each other`,
      );
      return false;
    }
    this.gMask |= bit;
    this.g[group] = code;
    this.gFrom[group] = at;
    this.gCount++;
    const status = profile.gStatus[code];
    if (status === ALLOWED) return true;
    return this.codeStatus(status!, group === GROUP.compensation, at, to);
  }

  private codeStatus(status: number, compensation: boolean, at: number, to: number): boolean {
    const text = this.findings.text(at, to);
    if (status === NOT_ISSUED) {
      this.finding('grammar/code-not-issued', at, to, `found \`${text}\`, which issued programs never use`);
      return true;
    }
    if (status === NOT_IN_PROFILE) {
      this.fault(
        'grammar/code-not-allowed',
        at,
        to,
        `found \`${text}\`, which this controller does not have`,
      );
      return false;
    }
    if (status === NOT_FOLLOWED) {
      this.fault(
        compensation ? 'state/radius-compensation' : 'grammar/code-not-followed',
        at,
        to,
        `found \`${text}\`, whose motion is not in the text`,
      );
      return false;
    }
    return true;
  }

  private mWord(value: number, at: number, to: number): boolean {
    const code = Math.round(value);
    const profile = this.profile;
    if (code === 98 || code === 99) {
      this.fault(
        'grammar/subprogram',
        at,
        to,
        `found \`${this.findings.text(at, to)}\`, which belongs to subprograms`,
      );
      return false;
    }
    if (
      !(Math.abs(value - code) <= 0.0001) ||
      code < 0 ||
      code >= 1000 ||
      profile.mStatus[code] === UNKNOWN
    ) {
      this.fault(
        'grammar/unknown-code',
        at,
        to,
        `found \`${this.findings.text(at, to)}\`, which is not known`,
      );
      return false;
    }
    const group = profile.mGroup[code]!;
    const bit = 1 << group;
    if ((this.mMask & bit) !== 0) {
      this.fault(
        'grammar/modal-group',
        at,
        to,
        `found M${this.m[group]} and M${code} in one block, which exclude each other`,
      );
      return false;
    }
    this.mMask |= bit;
    this.m[group] = code;
    this.mFrom[group] = at;
    this.mCount++;
    const status = profile.mStatus[code];
    return status === ALLOWED ? true : this.codeStatus(status!, false, at, to);
  }

  private lineNumber(
    value: number,
    at: number,
    to: number,
    digits: number,
    places: number,
    mask: number,
  ): boolean {
    const text = this.findings.text(at, to);
    if ((mask & ~(1 << L_N)) !== 0 || this.gCount + this.mCount > 0 || this.comments.length > 0) {
      this.fault('grammar/line-number', at, to, `found \`${text}\` after other words, expected it first`);
      return false;
    }
    if ((mask & (1 << L_N)) !== 0) {
      this.fault('grammar/duplicate-word', at, to, 'found two line numbers in one block');
      return false;
    }
    if (places >= 0 || digits > 5 || this.bytes[at + 1] === 43 || this.bytes[at + 1] === 45 || value < 0) {
      this.fault('grammar/line-number', at, to, `found \`${text}\`, expected N and one to five digits`);
      return false;
    }
    this.value[L_N] = value;
    this.from[L_N] = at;
    return true;
  }

  private program(value: number, at: number, to: number, mask: number): boolean {
    const c = this.profile.controller;
    const first = this.bytes[at] === 58 ? ':' : 'O';
    if (c.start.programWord !== first || (mask & ~(1 << L_N)) !== 0 || this.gCount + this.mCount > 0) {
      this.subprogram(at, to);
      return false;
    }
    this.programNumber = value;
    return true;
  }

  /** Everything that is not blank, letter or line end. Returns where to go on, −1 to give the line up. */
  private other(p: number, c: number, mask: number): number {
    const bytes = this.bytes;
    const empty = mask === 0 && this.gCount + this.mCount === 0 && this.settings.length === 0;
    switch (c) {
      case 40: // (
        return this.comment(p);
      case 59: // ;
        if (this.profile.commentOpening !== c && this.profile.anyComment) this.otherForm(p, '`;`');
        else if (this.profile.commentOpening !== c) {
          this.fault(
            this.profile.ngc ? 'grammar/character' : 'text/comment-not-supported',
            p,
            p + 1,
            'found `;`, which begins no comment on this controller',
          );
          return -1;
        }
        return this.lineComment(p);
      case 47: // /
        if (!empty || this.comments.length > 0 || this.deletable) {
          this.fault('grammar/block-delete', p, p + 1, 'found `/` after other words, expected it first');
          return -1;
        }
        this.deletable = true;
        // Issued programs must not depend on a switch.
        if (this.profile.strict || !this.profile.controller.blockDelete) {
          this.finding('grammar/block-delete-profile', p, p + 1, 'found a block delete mark');
        }
        return p + 1;
      case 37: // %
        if (!empty || this.comments.length > 0 || this.deletable) {
          this.fault('grammar/character', p, p + 1, 'found `%` inside a block');
          return -1;
        }
        this.percent = true;
        return this.percentTail(p + 1);
      case 58: // :
        return this.colon(p, mask);
      case 35: // #
        return this.setting(p);
      default: {
        if (c >= 128) {
          if (p === 0 && c === 0xef && bytes[1] === 0xbb && bytes[2] === 0xbf) {
            this.fault('text/byte-order-mark', 0, 3, 'found a byte order mark before the first block');
            return 3;
          }
          this.fault('text/non-ascii', p, p + 1, `found byte ${c}, expected 7-bit characters`);
        } else if (c < 32 || c === 127) {
          this.fault('text/control-character', p, p + 1, `found control character ${c}`);
        } else if (c === 44) {
          this.fault(
            'grammar/decimal-comma',
            p,
            p + 1,
            'found a comma, which is no character of the language',
          );
        } else {
          this.fault('grammar/character', p, p + 1, `found \`${String.fromCharCode(c)}\`, expected a word`);
        }
        return -1;
      }
    }
  }

  private percentTail(from: number): number {
    const bytes = this.bytes;
    let p = from;
    while (p < bytes.length && bytes[p] !== LF && bytes[p] !== CR) {
      const c = bytes[p]!;
      const blank = c === SPACE || c === TAB;
      // In ISO 6983 the start character may be followed by a program number or name.
      const identifier = !this.profile.ngc && c > 32 && c < 127;
      if (!blank && !identifier) {
        this.fault('grammar/character', p, p + 1, 'found more than `%` on a percent line');
        return -1;
      }
      p++;
    }
    return p;
  }

  private colon(p: number, mask: number): number {
    const bytes = this.bytes;
    let q = p + 1;
    let value = 0;
    let digits = 0;
    while (q < bytes.length && bytes[q]! >= 48 && bytes[q]! <= 57 && digits < 15) {
      value = value * 10 + bytes[q]! - 48;
      q++;
      digits++;
    }
    if (digits === 0 || this.profile.controller.start.programWord !== ':') {
      this.fault('grammar/character', p, q, 'found `:`, which begins no word of this controller');
      return -1;
    }
    return this.program(value, p, q, mask) ? q : -1;
  }

  private setting(p: number): number {
    if (!this.profile.ngc) {
      this.fault('grammar/expression-not-supported', p, p + 1, 'found a parameter');
      return -1;
    }
    this.finding(
      'grammar/expression-profile',
      p,
      p + 1,
      'found a parameter setting, expected plain words only',
    );
    try {
      const end = this.endOfLine(p);
      const index = this.expressions.at(this.bytes, p, end).parameterIndex();
      let q = this.expressions.position;
      while (q < end && (this.bytes[q] === SPACE || this.bytes[q] === TAB)) q++;
      if (this.bytes[q] !== 61) {
        this.fault('grammar/parameter', p, q, 'found a parameter without `=` after it');
        return -1;
      }
      const value = this.expressions.value(this.bytes, q + 1, end);
      if (index >= FIRST_RESERVED) {
        this.fault(
          'grammar/parameter',
          p,
          q,
          `found a setting of #${index}, which the controller keeps its positions and offsets in`,
        );
        return -1;
      }
      this.settings.push(index, value);
      return this.expressions.position;
    } catch (fault) {
      this.expressionFault(fault);
      return -1;
    }
  }

  private comment(p: number): number {
    const bytes = this.bytes;
    const n = bytes.length;
    if (this.profile.commentOpening !== bytes[p] && this.profile.anyComment) this.otherForm(p, '`(`');
    else if (this.profile.commentOpening !== bytes[p]) {
      this.fault(
        'text/comment-not-supported',
        p,
        p + 1,
        'found a comment in parentheses, which this controller does not have',
      );
      return -1;
    }
    let q = p + 1;
    for (; q < n; q++) {
      const c = bytes[q]!;
      if (c === 41) break;
      if (c === LF || c === CR) break;
      if (c === 40) {
        this.fault('text/comment-nested', q, q + 1, 'found `(` inside a comment');
        return -1;
      }
      if (!this.commentCharacter(q, c)) return -1;
    }
    if (q >= n || bytes[q] !== 41) {
      this.fault('text/comment-open', p, q, 'found a comment that is not closed on its line');
      return -1;
    }
    this.commentLength(p + 1, q);
    this.comments.push(p + 1, q);
    return q + 1;
  }

  /** A comment as design programs write it, in a job from elsewhere: told once. */
  private otherForm(at: number, opening: string): void {
    if (this.otherFormSeen) return;
    this.otherFormSeen = true;
    this.finding(
      'text/comment-form',
      at,
      at + 1,
      `found ${opening}, which begins no comment on this controller`,
    );
  }

  private commentLength(from: number, to: number): void {
    const most = this.profile.controller.commentLength;
    if (to - from > most) {
      this.finding(
        'text/comment-length',
        from,
        to,
        `found a comment of ${to - from} characters, expected at most ${most}`,
      );
    }
  }

  private lineComment(p: number): number {
    const bytes = this.bytes;
    let q = p + 1;
    while (q < bytes.length && bytes[q] !== LF && bytes[q] !== CR) {
      if (!this.commentCharacter(q, bytes[q]!)) return -1;
      q++;
    }
    this.commentLength(p + 1, q);
    this.comments.push(p + 1, q);
    return q;
  }

  private commentCharacter(q: number, c: number): boolean {
    if (c >= 32 && c < 127) {
      if ((c === 37 && !this.profile.ngc) || (c === 58 && this.profile.colonReserved)) {
        const what = String.fromCharCode(c);
        this.finding('text/comment-character', q, q + 1, `found \`${what}\` inside a comment`);
      } else if (c >= 97 && c <= 122 && this.upperOnly) this.lowerCase(q);
      return true;
    }
    if (c === TAB) {
      this.finding('text/tab', q, q + 1, 'found a tab, expected a space');
      return true;
    }
    if (c >= 128 && this.profile.anyComment) {
      this.finding('text/comment-character', q, q + 1, `found byte ${c} inside a comment`);
      return true;
    }
    if (c >= 128) this.fault('text/non-ascii', q, q + 1, `found byte ${c}, expected 7-bit characters`);
    else this.fault('text/control-character', q, q + 1, `found control character ${c}`);
    return false;
  }
}

const name = (letter: number): string => String.fromCharCode(65 + letter);
