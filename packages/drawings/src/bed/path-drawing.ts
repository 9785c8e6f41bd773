import type { MachineRecord } from '@bedledger/fleet';
import { type Box, IDENTITY, type Point, type Transform } from '@bedledger/geometry';
import { clampPoint, clipSegment, isInside } from '../svg/clip.ts';
import { hatchDefs } from '../svg/hatch.ts';
import { INK, LETTERING, LINE } from '../svg/ink.ts';
import { element, num } from '../svg/markup.ts';
import { FRAME, fitScale, sheet, sheetSizes, TITLE_HEIGHT } from '../svg/sheet.ts';
import { fitText, label } from '../svg/text.ts';
import { View } from '../svg/view.ts';
import { titleBlockOf } from '../title-fields.ts';
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
  /** Metal in or on the bed, and how near the cutter comes. */
  readonly metal: readonly {
    readonly at: readonly [number, number];
    readonly radius: number;
    readonly name: string;
    readonly distance: number | null;
  }[];
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

/**
 * A program's path over the bed: rapids long-dashed, cuts continuous and the wider the deeper, metal filled, places to look at numbered.
 */
export function pathDrawing(
  record: MachineRecord,
  picture: PathPicture,
  transform: Transform = IDENTITY,
): string {
  const { machine } = record;
  const size = sheetSizes(machine.units)[0] as ReturnType<typeof sheetSizes>[number];
  const box = machineBox(machine, transform);
  const listHeight = Math.min(picture.marks.length, 10) * 4.2 + 12;
  const scale = fitScale(
    box.maxX - box.minX,
    box.maxY - box.minY,
    size.width - 2 * FRAME - 16,
    size.height - 2 * FRAME - TITLE_HEIGHT - listHeight - 22,
  );
  const left = (size.width - (box.maxX - box.minX) * scale.ratio) / 2;
  const bottom = FRAME + 14 + (box.maxY - box.minY) * scale.ratio;
  const view = new View(box, scale.ratio, left, bottom);
  const body = backdrop(machine, transform, view, 'edges');
  // A job may leave the bed by metres: what is beyond the picture is cut off at its edge and said in words.
  const room: Box = {
    minX: FRAME + 3,
    minY: FRAME + 11,
    maxX: size.width - FRAME - 3,
    maxY: bottom + 5,
  };
  let outside = 0;
  const paths = new Map<string, string[]>();
  for (const s of picture.segments) {
    const kind = s.rapid ? 'rapid' : s.z >= picture.boardTop ? 'above' : s.z >= 0 ? 'board' : 'bed';
    const list = paths.get(kind) ?? [];
    const part = clipSegment(
      [view.x(s.from[0]), view.y(s.from[1])],
      [view.x(s.to[0]), view.y(s.to[1])],
      room,
    );
    if (part === null) {
      outside++;
      continue;
    }
    list.push(`M${num(part[0][0], 2)} ${num(part[0][1], 2)}L${num(part[1][0], 2)} ${num(part[1][1], 2)}`);
    paths.set(kind, list);
  }
  const style: Readonly<Record<string, Readonly<Record<string, string | number>>>> = {
    rapid: { ...LINE.hidden, stroke: INK.second },
    above: { ...LINE.narrow, stroke: INK.second },
    board: { ...LINE.narrow, stroke: INK.measured },
    bed: { ...LINE.wide, stroke: INK.metal },
  };
  for (const kind of ['rapid', 'above', 'board', 'bed']) {
    const list = paths.get(kind);
    if (list !== undefined) body.push(element('path', { d: list.join(''), ...style[kind] }));
  }
  for (const m of picture.metal) {
    const at: Point = [view.x(m.at[0]), view.y(m.at[1])];
    if (!isInside(at, room)) continue;
    body.push(
      element('circle', {
        cx: at[0],
        cy: at[1],
        r: Math.max(m.radius * scale.ratio, 0.6),
        fill: INK.metal,
        stroke: 'none',
      }),
    );
  }
  const words: string[] = [];
  picture.marks.slice(0, 10).forEach((mark, i) => {
    const [x, y] = clampPoint([view.x(mark.at[0]), view.y(mark.at[1])], {
      minX: room.minX + 3,
      minY: room.minY + 3,
      maxX: room.maxX - 8,
      maxY: room.maxY - 3,
    });
    const ink = mark.stop ? INK.metal : INK.warn;
    body.push(element('circle', { cx: x, cy: y, r: 2.4, ...LINE.wide, stroke: ink }));
    words.push(label(x + 3, y - 2, String(i + 1), { bold: true, ink, halo: true }));
    words.push(
      label(
        FRAME + 6,
        bottom + 16 + i * 4.2,
        `${i + 1}  ${fitText(mark.text, size.width - 2 * FRAME - 20, LETTERING.small)}`,
        { ink },
      ),
    );
  });
  words.push(
    label(FRAME + 6, FRAME + 8, fitText(picture.verdict, size.width - 2 * FRAME - 12, LETTERING.large), {
      height: LETTERING.normal,
      bold: true,
    }),
    label(
      FRAME + 6,
      bottom + 9,
      fitText(
        `dashed: rapid; narrow grey: above the board; narrow blue: in the board; wide red: in the bed; filled red: metal${outside > 0 ? `; ${outside} moves outside the picture` : ''}`,
        size.width - 2 * FRAME - 12,
        2.2,
      ),
      { ink: INK.second, height: 2.2 },
    ),
  );
  body.push(element('g', { stroke: 'none' }, words));
  return sheet(
    size,
    titleBlockOf(record, 'path', { subtitle: picture.title, status: 'for review', scale, size }),
    `Path of ${picture.title} over the bed of ${machine.title}`,
    hatchDefs(['keepOut']),
    body,
  );
}
