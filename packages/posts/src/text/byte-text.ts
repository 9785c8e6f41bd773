import type { Controller } from '@bedledger/fleet';
import { entryOf } from '../closed-list.ts';

type LineEnding = Controller['lineEnding'];

const ENDINGS: Readonly<Record<LineEnding, Uint8Array>> = {
  lf: Uint8Array.of(10),
  cr: Uint8Array.of(13),
  crlf: Uint8Array.of(13, 10),
};

/** Program text under construction: 7-bit bytes in one growing buffer, cut back where a part has to end earlier. */
export class ByteText {
  bytes: Uint8Array;
  length = 0;
  lines = 0;
  readonly #ending: Uint8Array;

  constructor(ending: LineEnding, capacity = 1 << 16) {
    this.bytes = new Uint8Array(capacity);
    this.#ending = entryOf(ENDINGS, ending, 'line ending');
  }

  /** Makes room for `more` bytes. */
  reserve(more: number): void {
    if (this.length + more <= this.bytes.length) return;
    const grown = new Uint8Array(Math.max(this.bytes.length * 2, this.length + more));
    grown.set(this.bytes.subarray(0, this.length));
    this.bytes = grown;
  }

  ascii(text: string): void {
    this.reserve(text.length);
    for (let i = 0; i < text.length; i++) this.bytes[this.length++] = text.charCodeAt(i);
  }

  endLine(): void {
    this.reserve(2);
    for (let i = 0; i < this.#ending.length; i++) this.bytes[this.length++] = this.#ending[i]!;
    this.lines++;
  }

  line(text: string): void {
    this.ascii(text);
    this.endLine();
  }

  /** Back to an earlier length and line count. */
  cut(length: number, lines: number): void {
    this.length = length;
    this.lines = lines;
  }

  view(): Uint8Array {
    return this.bytes.subarray(0, this.length);
  }
}
