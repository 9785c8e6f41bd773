import type { MachineRecord } from '@bedledger/fleet';
import { type Box, IDENTITY, type Point, type Transform } from '@bedledger/geometry';
import { clampPoint, clipSegment, isInside } from '../svg/clip.ts';
import { hatchDefs } from '../svg/hatch.ts';
import { INK, LETTERING, LINE } from '../svg/ink.ts';
import { element, num } from '../svg/markup.ts';
import { FRAME, fitScale, type SheetSize, sheet, smallestSheet, TITLE_HEIGHT } from '../svg/sheet.ts';
import { fitText, label } from '../svg/text.ts';
import { centredView, type View } from '../svg/view.ts';
import { scaleOn, titleBlockOf } from '../title-fields.ts';
import { backdrop, machineBox } from './backdrop.ts';

/** Where a program goes over the bed. Bed frame, mm. */
export interface PathPicture {
  readonly segments: readonly {
    readonly from: readonly [number, number];
    readonly to: readonly [number, number];
    /** Lowest height above the bed on the segment. */
    readonly z: number;
    readonly rapid: boolean;
  }[];
  /** Metal in or on the bed. */
  readonly metal: readonly { readonly at: readonly [number, number]; readonly radius: number }[];
  /** Places to look at, numbered in the picture as in the list below it. */
  readonly marks: readonly {
    readonly at: readonly [number, number];
    readonly text: string;
    readonly stop: boolean;
  }[];
  readonly title: string;
  readonly verdict: string;
  /** Heights above the bed: the board's top, so that cuts in the board and links above it are told apart. */
  readonly boardTop: number;
}

/** What a stretch of a path is to the person who looks at it, in the order of drawing: the deepest is on top. */
const STRETCHES = ['rapid', 'above', 'board', 'bed'] as const;
type Stretch = (typeof STRETCHES)[number];

const STRETCH_LINES: Readonly<Record<Stretch, Readonly<Record<string, string | number>>>> = {
  rapid: { ...LINE.hidden, stroke: INK.second },
  above: { ...LINE.narrow, stroke: INK.second },
  board: { ...LINE.narrow, stroke: INK.measured },
  bed: { ...LINE.wide, stroke: INK.metal },
};

/** More marks than this are not shown: nobody looks at an eleventh place. */
const MOST_MARKS = 10;
/** Height of a line of the list of marks. */
const LIST_LINE = 4.2;

/**
 * A program's path over the bed: rapids long-dashed, cuts continuous and the wider the deeper, metal filled, places to look at numbered.
 */
export function pathDrawing(
  record: MachineRecord,
  picture: PathPicture,
  transform: Transform = IDENTITY,
): string {
  const { machine } = record;
  const size = smallestSheet(machine.units);
  const box = machineBox(machine, transform);
  const listHeight = Math.min(picture.marks.length, MOST_MARKS) * LIST_LINE + 12;
  const scale = fitScale(
    box.maxX - box.minX,
    box.maxY - box.minY,
    size.width - 2 * FRAME - 16,
    size.height - 2 * FRAME - TITLE_HEIGHT - listHeight - 22,
  );
  const view = centredView(size, box, scale, 14);
  const bottom = view.y(box.minY);
  // A job may leave the bed by metres: what is beyond the picture is cut off at its edge and said in words.
  const room: Box = { minX: FRAME + 3, minY: FRAME + 11, maxX: size.width - FRAME - 3, maxY: bottom + 5 };
  const path = stretches(picture, view, room);
  const marks = markedPlaces(picture, view, room);
  return sheet(
    size,
    titleBlockOf(record, 'path', {
      subtitle: picture.title,
      status: 'for review',
      scale: scaleOn(size, scale),
    }),
    `Path of ${picture.title} over the bed of ${machine.title}`,
    hatchDefs(['keepOut']),
    [
      ...backdrop(machine, transform, view, 'edges'),
      ...path.lines,
      ...metal(picture, view, room),
      ...marks.circles,
      element('g', { stroke: 'none' }, [
        ...marks.list(size, bottom),
        label(FRAME + 6, FRAME + 8, fitText(picture.verdict, size.width - 2 * FRAME - 12, LETTERING.large), {
          height: LETTERING.normal,
          bold: true,
        }),
        explained(size, bottom, path.outside),
      ]),
    ],
  );
}

/** The path as one line for each kind of stretch, and how many moves lie outside the picture. */
function stretches(
  { segments, boardTop }: PathPicture,
  view: View,
  room: Box,
): { readonly lines: readonly string[]; readonly outside: number } {
  const parts: Readonly<Record<Stretch, string[]>> = { rapid: [], above: [], board: [], bed: [] };
  let outside = 0;
  for (const { from, to, z, rapid } of segments) {
    const kind: Stretch = rapid ? 'rapid' : z >= boardTop ? 'above' : z >= 0 ? 'board' : 'bed';
    const part = clipSegment([view.x(from[0]), view.y(from[1])], [view.x(to[0]), view.y(to[1])], room);
    if (part === null) outside++;
    else {
      const [[x0, y0], [x1, y1]] = part;
      parts[kind].push(`M${num(x0, 2)} ${num(y0, 2)}L${num(x1, 2)} ${num(y1, 2)}`);
    }
  }
  const lines = STRETCHES.flatMap((kind) => {
    const d = parts[kind].join('');
    return d === '' ? [] : element('path', { d, ...STRETCH_LINES[kind] });
  });
  return { lines, outside };
}

function metal(picture: PathPicture, view: View, room: Box): string[] {
  return picture.metal.flatMap(({ at, radius }) => {
    const place: Point = [view.x(at[0]), view.y(at[1])];
    if (!isInside(place, room)) return [];
    const r = Math.max(radius * view.scale, 0.6);
    return element('circle', { cx: place[0], cy: place[1], r, fill: INK.metal, stroke: 'none' });
  });
}

/** A circle at every place to look at, and the numbers that join it to its line in the list below the picture. */
function markedPlaces(
  picture: PathPicture,
  view: View,
  room: Box,
): {
  readonly circles: readonly string[];
  readonly list: (size: SheetSize, bottom: number) => readonly string[];
} {
  const inner: Box = {
    minX: room.minX + 3,
    minY: room.minY + 3,
    maxX: room.maxX - 8,
    maxY: room.maxY - 3,
  };
  const marks = picture.marks.slice(0, MOST_MARKS).map(({ at, text, stop }, i) => ({
    place: clampPoint([view.x(at[0]), view.y(at[1])], inner),
    ink: stop ? INK.metal : INK.warn,
    number: String(i + 1),
    text,
  }));
  return {
    circles: marks.map(({ place: [cx, cy], ink }) =>
      element('circle', { cx, cy, r: 2.4, ...LINE.wide, stroke: ink }),
    ),
    list: (size, bottom) =>
      marks.flatMap(({ place: [x, y], ink, number, text }, i) => {
        const line = `${number}  ${fitText(text, size.width - 2 * FRAME - 20, LETTERING.small)}`;
        return [
          label(x + 3, y - 2, number, { bold: true, ink, halo: true }),
          label(FRAME + 6, bottom + 16 + i * LIST_LINE, line, { ink }),
        ];
      }),
  };
}

function explained(size: SheetSize, bottom: number, outside: number): string {
  const lines =
    'dashed: rapid; narrow grey: above the board; narrow blue: in the board; wide red: in the bed; filled red: metal';
  const text = outside > 0 ? `${lines}; ${outside} moves outside the picture` : lines;
  return label(FRAME + 6, bottom + 9, fitText(text, size.width - 2 * FRAME - 12, 2.2), {
    ink: INK.second,
    height: 2.2,
  });
}
