import type { Units } from '@bedledger/diagnostics';
import { INK, LETTERING, NARROW, SANS, WIDE } from './ink.ts';
import { element, escapeMarkup, num } from './markup.ts';
import { fitText, label, textWidth } from './text.ts';

export interface SheetSize {
  readonly name: string;
  readonly width: number;
  readonly height: number;
}

/** ISO 216 and the North American sizes (ASME Y14.1), millimetres, upright. */
const SHEETS: Readonly<Record<Units, readonly SheetSize[]>> = {
  mm: [
    { name: 'A4', width: 210, height: 297 },
    { name: 'A3', width: 297, height: 420 },
  ],
  in: [
    { name: 'Letter', width: 215.9, height: 279.4 },
    { name: 'Tabloid', width: 279.4, height: 431.8 },
  ],
};

/** Sheets for the people of a machine, smallest first, each upright and on its side. */
export function sheetSizes(units: Units): SheetSize[] {
  return SHEETS[units].flatMap((s) => [s, { name: `${s.name} landscape`, width: s.height, height: s.width }]);
}

/** The smallest sheet, upright. */
export function smallestSheet(units: Units): SheetSize {
  return SHEETS[units][0] as SheetSize;
}

/** Scales of ISO 5455 from the largest down: drawing ÷ thing. */
const SCALES: readonly (readonly [number, number])[] = [
  [50, 1],
  [20, 1],
  [10, 1],
  [5, 1],
  [2, 1],
  [1, 1],
  [1, 2],
  [1, 5],
  [1, 10],
  [1, 20],
  [1, 50],
  [1, 100],
];

/** Drawing ÷ thing, and how a title block writes it. */
export interface Scale {
  readonly ratio: number;
  readonly text: string;
}

/** The largest standard scale at which `width` × `height` of the thing fits `roomX` × `roomY` of paper. */
export function fitScale(width: number, height: number, roomX: number, roomY: number): Scale {
  for (const [a, b] of SCALES) {
    if ((width * a) / b <= roomX && (height * a) / b <= roomY) return { ratio: a / b, text: `${a}:${b}` };
  }
  // The series goes on by whole powers of ten.
  for (let power = 100; power <= 1e12; power *= 10) {
    for (const step of [2, 5, 10]) {
      const b = power * step;
      if (width / b <= roomX && height / b <= roomY) return { ratio: 1 / b, text: `1:${b}` };
    }
  }
  throw new RangeError(`${width} × ${height} mm cannot be drawn on ${roomX} × ${roomY} mm of paper`);
}

/** What a drawing needs of the sheet around its picture, mm. */
interface SheetNeeds {
  readonly width: number;
  readonly height: number;
}

/**
 * The sheet and arrangement that show a thing largest, the smallest sheet among equals.
 *
 * @param around room that the rest of the drawing takes beside and below the picture, for each arrangement worth trying
 */
export function chooseSheet(
  units: Units,
  width: number,
  height: number,
  around: readonly SheetNeeds[],
): { readonly size: SheetSize; readonly scale: Scale; readonly arrangement: number } {
  let best: { size: SheetSize; scale: Scale; arrangement: number } | null = null;
  for (const size of sheetSizes(units)) {
    around.forEach((needs, arrangement) => {
      const roomX = size.width - 2 * FRAME - needs.width;
      const roomY = size.height - 2 * FRAME - TITLE_HEIGHT - needs.height;
      if (roomX <= 0 || roomY <= 0) return;
      const scale = fitScale(width, height, roomX, roomY);
      if (best === null || scale.ratio > best.scale.ratio * (1 + 1e-9)) best = { size, scale, arrangement };
    });
  }
  if (best === null) throw new RangeError('no sheet has that much room');
  return best;
}

/** Fields of the title block after ISO 7200. */
export interface TitleBlock {
  readonly title: string;
  readonly subtitle: string;
  /** Identification number. */
  readonly number: string;
  readonly revision: string;
  /** Date of the last fact the drawing rests on: a drawing has no clock of its own. */
  readonly date: string;
  readonly sheet: string;
  readonly status: string;
  readonly scale: string;
  readonly units: Units;
}

export const FRAME = 8;
export const TITLE_HEIGHT = 25;
/** Width of the title block of ISO 7200. */
const TITLE_WIDTH = 180;

/** The whole picture: paper, frame, title block and `body` in sheet millimetres, Y down. */
export function sheet(
  size: SheetSize,
  block: TitleBlock,
  description: string,
  defs: string,
  body: readonly string[],
): string {
  const { width, height } = size;
  return `${element(
    'svg',
    {
      xmlns: 'http://www.w3.org/2000/svg',
      width: `${num(width)}mm`,
      height: `${num(height)}mm`,
      viewBox: `0 0 ${num(width)} ${num(height)}`,
      'font-family': SANS,
      role: 'img',
      'aria-label': description,
    },
    [
      '\n',
      element('title', {}, [escapeMarkup(description)]),
      '\n',
      defs === '' ? '' : `<defs>${defs}</defs>\n`,
      element('rect', { width, height, fill: INK.paper }),
      '\n',
      element('g', { fill: 'none', stroke: INK.ink, 'stroke-linecap': 'butt' }, [
        '\n',
        ...body.map((b) => `${b}\n`),
      ]),
      '\n',
      titleBlock(size, block),
      '\n',
    ],
  )}\n`;
}

/** One field of the title block: what it is, what stands in it, and its share of the row's width. */
type Field = readonly [name: string, value: string, share: number];

function titleBlock(size: SheetSize, block: TitleBlock): string {
  const width = Math.min(TITLE_WIDTH, size.width - 2 * FRAME);
  const x = size.width - FRAME - width;
  const y = size.height - FRAME - TITLE_HEIGHT;
  const half = y + TITLE_HEIGHT / 2;
  const frame = {
    x: FRAME,
    y: FRAME,
    width: size.width - 2 * FRAME,
    height: size.height - 2 * FRAME,
    'stroke-width': WIDE,
  };
  const upper: readonly Field[] = [
    ['title', block.title, 8],
    ['number', block.number, 4],
    ['revision', block.revision, 2.2],
  ];
  const lower: readonly Field[] = [
    ['what it shows', block.subtitle, 5.2],
    ['status', block.status, 2.4],
    ['date of last fact', block.date, 2.4],
    ['scale', block.scale, 2],
    ['units', block.units, 1],
    ['sheet', block.sheet, 1.2],
  ];
  return element('g', { fill: 'none', stroke: INK.ink }, [
    element('rect', frame),
    element('rect', { x, y, width, height: TITLE_HEIGHT, 'stroke-width': WIDE, fill: INK.paper }),
    element('path', { d: `M${num(x)} ${num(half)}h${num(width)}`, 'stroke-width': NARROW }),
    ...titleRow([x, y], width, upper, true),
    ...titleRow([x, half], width, lower, false),
  ]);
}

/** Fields side by side; the first of the upper row is the title, in large letters. */
function titleRow(
  [left, top]: readonly [number, number],
  width: number,
  fields: readonly Field[],
  upper: boolean,
): string[] {
  const parts: string[] = [];
  const total = fields.reduce((sum, field) => sum + field[2], 0);
  let at = left;
  fields.forEach(([name, value, share], i) => {
    const room = (width * share) / total;
    if (i > 0)
      parts.push(
        element('path', { d: `M${num(at)} ${num(top)}v${num(TITLE_HEIGHT / 2)}`, 'stroke-width': NARROW }),
      );
    const large = upper && i === 0;
    // A long title or subtitle is set smaller before anything of it is left out.
    const height =
      [LETTERING.normal, 3, LETTERING.small, 2.2, 2]
        .filter((size) => large || size <= LETTERING.small)
        .find((size) => textWidth(value, size, large) <= room - 3) ?? 2;
    parts.push(
      element('g', { stroke: 'none' }, [
        label(at + 1.5, top + 3.6, name, { height: 1.8, ink: INK.second }),
        label(at + 1.5, top + 9.8, fitText(value, room - 3, height, large), { height, bold: large }),
      ]),
    );
    at += room;
  });
  return parts;
}
