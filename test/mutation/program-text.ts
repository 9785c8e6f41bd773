import { createHash } from 'node:crypto';
import type { Controller } from '@bedledger/fleet';

/** One word of a block with its place in the line. */
export interface Word {
  readonly letter: string;
  readonly text: string;
  readonly at: number;
  readonly end: number;
}

/** A line of a program taken apart by a plain scan; shares nothing with the product's reader. */
export interface Line {
  readonly text: string;
  readonly words: readonly Word[];
  readonly comment: boolean;
}

export interface Program {
  readonly path: string;
  readonly lines: readonly Line[];
  readonly eol: string;
  readonly controller: Controller;
}

export function wordsOf(text: string): Word[] {
  const words: Word[] = [];
  let k = 0;
  while (k < text.length) {
    const c = text[k]!;
    if (c === '(') {
      const close = text.indexOf(')', k);
      k = close < 0 ? text.length : close + 1;
      continue;
    }
    if (c === ';' || c === '%' || c === ':') break;
    const match = /^([A-Za-z])\s*([-+]?[0-9.]*)/.exec(text.slice(k));
    if (match) {
      words.push({ letter: match[1]!.toUpperCase(), text: match[2]!, at: k, end: k + match[0].length });
      k += match[0].length;
    } else k++;
  }
  return words;
}

export function parseProgram(path: string, text: string, controller: Controller): Program {
  const eol = controller.lineEnding === 'crlf' ? '\r\n' : controller.lineEnding === 'cr' ? '\r' : '\n';
  const body = text.endsWith(eol) ? text.slice(0, -eol.length) : text;
  return {
    path,
    eol,
    controller,
    lines: body.split(eol).map((line) => ({
      text: line,
      words: wordsOf(line),
      comment: /^\s*[(;]/.test(line),
    })),
  };
}

export function textOf(lines: readonly string[], eol: string): string {
  return lines.join(eol) + eol;
}

/** Value of a word in program units, by the controller's number rules. */
export function wordValue(word: Word, c: Controller): number {
  if (!usesPlace(word.letter, c) || word.text.includes('.')) return Number(word.text);
  const format = formatOf(word.letter, c);
  const sign = word.text.startsWith('-') ? -1 : 1;
  let digits = word.text.replace(/^[-+]/, '');
  if (c.numbers.suppress === 'trailing') digits = digits.padEnd(format.integers + format.decimals, '0');
  let value = Number(digits);
  for (let k = 0; k < format.decimals; k++) value /= 10;
  return sign * value;
}

function formatOf(letter: string, c: Controller): { decimals: number; integers: number } {
  const n = c.numbers;
  if ('XYZRQ'.includes(letter)) return n.xyz;
  if ('IJK'.includes(letter)) return n.ijk;
  if (letter === 'F') return n.feed;
  if (letter === 'S') return n.speed;
  return n.dwell;
}

/** Letters whose numbers have an implied place where the controller writes no point. */
function usesPlace(letter: string, c: Controller): boolean {
  return c.numbers.point === 'never' && 'XYZRQIJKFSP'.includes(letter);
}

/** Writes a value as the controller writes it, as near as its format allows. */
export function numberText(letter: string, value: number, c: Controller): string {
  const format = formatOf(letter, c);
  const negative = value < 0;
  const fixed = Math.abs(value).toFixed(format.decimals);
  if (Number(fixed) === 0) return zero(letter, c);
  if (usesPlace(letter, c)) {
    let digits = fixed.replace('.', '');
    if (c.numbers.suppress === 'leading') digits = digits.replace(/^0+(?=\d)/, '');
    else {
      digits = digits.padStart(format.integers + format.decimals, '0');
      if (c.numbers.suppress === 'trailing') digits = digits.replace(/0+$/, '') || '0';
    }
    return (negative ? '-' : c.numbers.plus ? '+' : '') + digits;
  }
  let text = fixed;
  if (c.numbers.zeros === 'strip-trailing' && text.includes('.')) text = text.replace(/0+$/, '');
  if (text.endsWith('.') && c.numbers.point !== 'always') text = text.slice(0, -1);
  return (negative ? '-' : c.numbers.plus ? '+' : '') + text;
}

function zero(letter: string, c: Controller): string {
  const format = formatOf(letter, c);
  if (usesPlace(letter, c)) {
    return c.numbers.suppress === 'none' ? '0'.repeat(format.integers + format.decimals) : '0';
  }
  const text = (0).toFixed(format.decimals);
  if (c.numbers.zeros === 'strip-trailing') return c.numbers.point === 'always' ? '0.' : '0';
  return text;
}

/** The line with one word's number replaced. */
export function withNumber(line: Line, word: Word, text: string): string {
  return line.text.slice(0, word.at) + word.letter + text + line.text.slice(word.end);
}

export function withValue(line: Line, word: Word, value: number, c: Controller): string {
  return withNumber(line, word, numberText(word.letter, value, c));
}

/** The line without one word; the blank before it goes with it. */
export function without(line: Line, word: Word): string {
  return (line.text.slice(0, word.at).replace(/ $/, '') + line.text.slice(word.end)).replace(/^ /, '');
}

/** True when a line holds nothing but its number, if that. */
export function isEmptyBlock(text: string): boolean {
  return wordsOf(text).every((w) => w.letter === 'N');
}

const FOOTER = /LINES(?:: | = )\d+ SHA(?:: | = )[0-9A-Fa-f]{16}/;

/**
 * Puts the closing comment right again: number of lines before it, first 16 hexadecimal digits of SHA-256 over all bytes
 * before it. So only the meaning of a change can give it away.
 */
export function repairFooter(text: string, eol: string): string {
  const lines = text.split(eol);
  const at = lines.findLastIndex((line) => FOOTER.test(line));
  if (at < 0) return text;
  const before = lines.slice(0, at).join(eol) + (at > 0 ? eol : '');
  const hash = createHash('sha256').update(before, 'utf8').digest('hex').slice(0, 16);
  lines[at] = lines[at]!.replace(FOOTER, (match) => {
    const separator = match.startsWith('LINES = ') ? ' = ' : ': ';
    const sha = /[A-F]/.test(match.slice(-16)) || !/[a-f]/.test(match.slice(-16)) ? hash.toUpperCase() : hash;
    return `LINES${separator}${at} SHA${separator}${sha}`;
  });
  return lines.join(eol);
}
