import { leftOf, type TextStyle, textWidth } from './text.ts';

/** Keeps account of where words stand on the sheet, so that none is set over another. */
export class LabelRoom {
  readonly #taken: (readonly [number, number, number, number])[] = [];

  /** Takes the room of a box; false (and nothing taken) when something stands there already. */
  take(left: number, top: number, right: number, bottom: number): boolean {
    for (const [l, t, r, b] of this.#taken) if (left < r && right > l && top < b && bottom > t) return false;
    this.#taken.push([left, top, right, bottom]);
    return true;
  }

  /** Takes the room of a text with its baseline's anchor at a place. */
  takeText(
    [x, y]: readonly [number, number],
    text: string,
    {
      height,
      anchor,
      bold = false,
    }: Required<Pick<TextStyle, 'height' | 'anchor'>> & Pick<TextStyle, 'bold'>,
  ): boolean {
    const width = textWidth(text, height, bold);
    const left = leftOf(x, width, anchor);
    return this.take(left, y - height * 1.1, left + width, y + height * 0.3);
  }
}
