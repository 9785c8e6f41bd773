import { fontSize, INK, LETTERING } from './ink.ts';
import { element, escapeMarkup } from './markup.ts';

/** Which end of a text stands at the place that is given for it. */
export type Anchor = 'start' | 'middle' | 'end';

/** Share of a text's width that lies left of its anchor. */
const BEFORE_ANCHOR: Readonly<Record<Anchor, number>> = { start: 0, middle: 0.5, end: 1 };

/** Left edge of a text of some width whose anchor is at `x`. */
export function leftOf(x: number, width: number, anchor: Anchor): number {
  return x - width * BEFORE_ANCHOR[anchor];
}

export interface TextStyle {
  readonly height?: number;
  readonly anchor?: Anchor;
  readonly ink?: string;
  readonly bold?: boolean;
  /** Degrees, counter-clockwise as one reads the sheet. */
  readonly turn?: number;
  /** Paper-coloured surround, so that a line behind does not run through the letters. */
  readonly halo?: boolean;
}

/** Text with its baseline's anchor at `x`,`y` on the sheet. */
export function label(x: number, y: number, text: string, style: TextStyle = {}): string {
  const {
    height = LETTERING.small,
    anchor = 'start',
    ink = INK.ink,
    bold = false,
    turn = 0,
    halo = false,
  } = style;
  return element(
    'text',
    {
      x,
      y,
      'font-size': fontSize(height),
      'text-anchor': anchor === 'start' ? undefined : anchor,
      fill: ink,
      'font-weight': bold ? '600' : undefined,
      transform: turn === 0 ? undefined : `rotate(${-turn} ${x.toFixed(3)} ${y.toFixed(3)})`,
      stroke: halo ? INK.paper : undefined,
      'stroke-width': halo ? 0.9 : undefined,
      'stroke-linejoin': halo ? 'round' : undefined,
      'paint-order': halo ? 'stroke' : undefined,
    },
    [escapeMarkup(text)],
  );
}

/** Width that a text will take, millimetres: an estimate for laying out, a little generous; bold faces run about 12 % wider. */
export function textWidth(text: string, height: number, bold = false): number {
  let units = 0;
  for (const c of text)
    units += /[iljt.,:;'|! ]/.test(c) ? 0.34 : /[mwMW@%]/.test(c) ? 0.92 : /[A-Z]/.test(c) ? 0.7 : 0.58;
  return units * fontSize(height) * (bold ? 1.12 : 1);
}

/** Words of `text` in lines no wider than `width`; a word longer than a line stays whole on its own. */
export function wrapText(text: string, width: number, height: number): string[] {
  const lines: string[] = [];
  let line = '';
  for (const word of text.split(/\s+/).filter((w) => w !== '')) {
    const longer = line === '' ? word : `${line} ${word}`;
    if (line !== '' && textWidth(longer, height) > width) {
      lines.push(line);
      line = word;
    } else line = longer;
  }
  if (line !== '') lines.push(line);
  return lines;
}

/** `text` cut to `width` with an ellipsis when it is longer. */
export function fitText(text: string, width: number, height: number, bold = false): string {
  if (textWidth(text, height, bold) <= width) return text;
  const letters = [...text];
  while (letters.length > 1 && textWidth(`${letters.join('')}…`, height, bold) > width) letters.pop();
  return `${letters.join('')}…`;
}
