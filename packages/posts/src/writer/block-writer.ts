import type { Controller } from '@bedledger/fleet';
import { type NumberForm, putNumber } from '../numbers/number-form.ts';
import { refusal } from '../report.ts';
import type { ByteText } from '../text/byte-text.ts';
import type { Setup } from './setup.ts';

const SPACE = 32;
/** More than any block of ours can be long. */
const ROOM = 320;
const CODE = /^[GM]\d{1,4}(\.\d)?$/;

/** A code word as bytes: `G1`, `M3`, or `G01`, `M03` where the controller wants two digits. */
function codeBytes(code: string, twoDigits: boolean): Uint8Array {
  if (!CODE.test(code)) throw new RangeError(`not a code word: ${JSON.stringify(code)}`);
  const text = twoDigits && /^[GM]\d(\.|$)/.test(code) ? `${code[0]}0${code.slice(1)}` : code;
  return Uint8Array.from(text, (c) => c.charCodeAt(0));
}

/** Where the line numbers stand. */
export interface Numbering {
  readonly number: number;
  readonly on: boolean;
  readonly marked: boolean;
}

/** Writes blocks, word by word: numbering, spacing, code words and the longest line. Which words, and in which order, is the caller's. */
export class BlockWriter {
  readonly text: ByteText;
  readonly #numbers: Controller['lineNumbers'];
  readonly #everyBlock: boolean;
  readonly #wraps: boolean;
  readonly #spaced: boolean;
  readonly #twoDigits: boolean;
  readonly #longest: number;
  readonly #codes = new Map<string, Uint8Array>();
  readonly #numberForm: NumberForm;
  #number: number;
  #numbering: boolean;
  #marked = true;
  #start = 0;
  #first = true;

  constructor(text: ByteText, { controller, choices, rules, integer }: Setup) {
    this.text = text;
    this.#numbers = controller.lineNumbers;
    this.#everyBlock = choices.numbered === 'all';
    this.#wraps = choices.numbersWrap;
    this.#spaced = choices.spaced;
    this.#twoDigits = controller.words.twoDigits ?? rules.twoDigits;
    this.#longest = controller.maxLineLength;
    this.#number = controller.lineNumbers.start;
    this.#numbering = choices.numbered !== 'none';
    this.#numberForm = integer;
  }

  /** The next block opens a section: where only sections are numbered, it gets a number. */
  mark(): void {
    this.#marked = true;
  }

  numbering(): Numbering {
    return { number: this.#number, on: this.#numbering, marked: this.#marked };
  }

  /** Back to an earlier point of the numbering, when blocks have been cut off. */
  resume(at: Numbering): void {
    this.#number = at.number;
    this.#numbering = at.on;
    this.#marked = at.marked;
  }

  open(): void {
    const text = this.text;
    text.reserve(ROOM);
    this.#start = text.length;
    this.#first = true;
    if (this.#numbering && (this.#marked || this.#everyBlock)) this.#putLineNumber();
    this.#marked = false;
  }

  #putLineNumber(): void {
    const width = this.#numbers.width ?? 0;
    const digits = String(this.#number).padStart(width, '0');
    this.text.ascii(`N${digits}`);
    this.#first = false;
    this.#number += this.#numbers.step;
    if (this.#number > this.#numbers.max) {
      if (this.#wraps) this.#number = this.#numbers.start;
      else this.#numbering = false;
    }
  }

  #gap(): void {
    if (this.#first) this.#first = false;
    else if (this.#spaced) this.text.bytes[this.text.length++] = SPACE;
  }

  code(code: string): void {
    let bytes = this.#codes.get(code);
    if (bytes === undefined) {
      bytes = codeBytes(code, this.#twoDigits);
      this.#codes.set(code, bytes);
    }
    this.#gap();
    const text = this.text;
    for (let i = 0; i < bytes.length; i++) text.bytes[text.length++] = bytes[i]!;
  }

  /** Letter (as a character code) and `q` steps in `form`; the caller has checked the range. */
  number(letter: number, q: number, form: NumberForm): void {
    this.#gap();
    const text = this.text;
    text.bytes[text.length++] = letter;
    text.length = putNumber(text.bytes, text.length, q, form);
  }

  /** Letter and a plain whole number. */
  integer(letter: number, value: number): void {
    this.number(letter, value, this.#numberForm);
  }

  /** A word of the profile, already checked. */
  verbatim(word: string): void {
    this.#gap();
    this.text.ascii(word);
  }

  close(): void {
    const length = this.text.length - this.#start;
    if (length > this.#longest) {
      const block = String.fromCharCode(...this.text.bytes.subarray(this.#start, this.text.length));
      throw refusal({
        code: 'post/line-length',
        message: `block ${block} has ${length} characters, the controller takes ${this.#longest}`,
        facts: { length, limit: this.#longest },
      });
    }
    this.text.endLine();
  }

  /** Blocks of at most `most` words each. */
  codes(words: readonly string[], most: number): void {
    for (let i = 0; i < words.length; i += most) {
      this.open();
      for (const word of words.slice(i, i + most)) this.code(word);
      this.close();
    }
  }
}
