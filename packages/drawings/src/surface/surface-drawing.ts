import type { AccountLine, WorkPlan } from '@bedledger/bedwork';
import type { Units } from '@bedledger/diagnostics';
import { type Box, bounds, boxOfRings, distance, IDENTITY, type Point } from '@bedledger/geometry';
import { backdrop, machineBox } from '../bed/backdrop.ts';
import { hatch, hatchDefs } from '../svg/hatch.ts';
import { INK, LETTERING, LINE } from '../svg/ink.ts';
import { LabelRoom } from '../svg/label-room.ts';
import { lengthOnSheet } from '../svg/length.ts';
import { element, num } from '../svg/markup.ts';
import { chooseSheet, FRAME, type SheetSize, sheet } from '../svg/sheet.ts';
import { type Anchor, fitText, label, leftOf, textWidth, wrapText } from '../svg/text.ts';
import { centredView, type View } from '../svg/view.ts';
import { scaleOn, statusWord, titleBlockOf } from '../title-fields.ts';
import { type Skim, skimOf } from './skim.ts';

/** Lines of the account shown under the picture. */
const ACCOUNT_LINES = 9;

/** What every step of the drawing needs. */
interface Picture {
  readonly skim: Skim;
  readonly units: Units;
  readonly size: SheetSize;
  /** What of the surveyed frame is shown. */
  readonly box: Box;
  readonly view: View;
  /** Lower edge of the picture on the sheet. */
  readonly bottom: number;
}

/**
 * Where the surfacing cutter runs: its middle's path with arrows, where it goes down first, where the program may be taken up again, and
 * what of the board it cannot reach. Null when no surfacing program is issued.
 */
export function surfaceDrawing(plan: WorkPlan): string | null {
  const skim = skimOf(plan);
  if (skim === null) return null;
  const { record, layout } = plan;
  const { machine } = record;
  const transform = layout.registration?.transform ?? IDENTITY;
  const box = boxOfRings([corners(machineBox(machine, transform)), ...skim.runs]);
  const account = plan.accounts.surfacing.slice(0, ACCOUNT_LINES);
  const { size, scale } = chooseSheet(machine.units, box.maxX - box.minX, box.maxY - box.minY, [
    { width: 44, height: 48 + account.length * 5.4 },
  ]);
  const view = centredView(size, box, scale, 12);
  const picture: Picture = { skim, units: machine.units, size, box, view, bottom: view.y(box.minY) };
  const names = placeNames(picture);
  return sheet(
    size,
    titleBlockOf(record, 'surface', {
      subtitle: `surfacing path, cutter ⌀${lengthOnSheet(skim.diameter, machine.units)}`,
      status: statusWord(plan),
      scale: scaleOn(size, scale),
    }),
    `Surfacing path on ${machine.title}`,
    hatchDefs(['keepOut']),
    [
      ...backdrop(machine, transform, view, 'edges'),
      ...notReached(picture),
      path(picture),
      ...arrows(skim.runs, view),
      ...layout.sites.map(({ actual }) => screw(actual, view)),
      ...cutterAtEnds(picture),
      element('g', { stroke: 'none', 'font-variant-numeric': 'tabular-nums' }, [
        ...names.words,
        ...widthsNotReached(picture),
        label(size.width / 2, picture.bottom + 7, "operator's side", { anchor: 'middle' }),
        ...explained(picture, names.restarts),
        ...accountLines(account, size, picture.bottom + 29),
      ]),
    ],
  );
}

function corners(box: Box): Point[] {
  return [
    [box.minX, box.minY],
    [box.maxX, box.maxY],
  ];
}

function notReached({ skim, view }: Picture): string[] {
  if (skim.left.length === 0) return [];
  return [
    element('path', {
      d: view.region(skim.left),
      fill: hatch('keepOut'),
      stroke: INK.warn,
      ...LINE.narrow,
      'fill-rule': 'evenodd',
      'data-left': String(skim.left.length),
    }),
  ];
}

function path({ skim, view }: Picture): string {
  return element('path', {
    d: skim.runs.map((run) => view.line(run)).join(''),
    ...LINE.narrow,
    stroke: INK.measured,
    'data-runs': String(skim.runs.length),
  });
}

function screw(at: Point, view: View): string {
  return element('circle', { cx: view.x(at[0]), cy: view.y(at[1]), r: 0.7, fill: INK.metal, stroke: 'none' });
}

/** The cutter itself where it first goes down, with its middle, which is what the program names; a cross where it is lifted. */
function cutterAtEnds({ skim, view }: Picture): string[] {
  const [sx, sy] = [view.x(skim.start[0]), view.y(skim.start[1])];
  const [ex, ey] = [view.x(skim.end[0]), view.y(skim.end[1])];
  return [
    element('circle', { cx: sx, cy: sy, r: radiusOnSheet(skim, view), ...LINE.wide, 'data-start': '' }),
    element('path', { d: `M${num(sx - 1.5)} ${num(sy)}h3M${num(sx)} ${num(sy - 1.5)}v3`, ...LINE.wide }),
    element('path', {
      d: `M${num(ex - 1.2)} ${num(ey - 1.2)}l2.4 2.4m0 -2.4l-2.4 2.4`,
      ...LINE.wide,
    }),
  ];
}

function radiusOnSheet({ diameter }: Skim, view: View): number {
  return (diameter / 2) * view.scale;
}

/** Names beside the places of the path, as many as have room; `restarts`: the program may be taken up again on the way. */
function placeNames(picture: Picture): { readonly words: readonly string[]; readonly restarts: boolean } {
  const { skim, view } = picture;
  const room = new LabelRoom();
  const words = [...nameBeside(picture, room, skim.start, 'start', true)];
  if (distance(skim.start, skim.end) > 8 / view.scale)
    words.push(...nameBeside(picture, room, skim.end, 'end', true));
  // The later passes go over the same places: each is named once.
  const places: Point[] = [skim.start];
  for (const { title, at } of skim.restarts) {
    if (places.some((p) => distance(p, at) <= 1e-6)) continue;
    places.push(at);
    const name = title.replace(/^pass \d+ /, '').replace(/^rows from /, '');
    words.push(...nameBeside(picture, room, at, name, false));
  }
  return { words, restarts: places.length > 1 };
}

/** A name outside the machine on the side that is nearest; `always`: on another side where there is no room. */
function nameBeside(
  { skim, view, box, size }: Picture,
  room: LabelRoom,
  at: Point,
  text: string,
  always: boolean,
): string[] {
  const radius = radiusOnSheet(skim, view);
  const [x, y] = [view.x(at[0]), view.y(at[1])];
  const spots: { readonly at: Point; readonly anchor: Anchor; readonly toEdge: number }[] = [
    { at: [x - radius - 1.2, y + 1], anchor: 'end', toEdge: x - view.x(box.minX) },
    { at: [x + radius + 1.2, y + 1], anchor: 'start', toEdge: view.x(box.maxX) - x },
    { at: [x, y - radius - 2], anchor: 'middle', toEdge: y - view.y(box.maxY) },
    { at: [x, y + radius + 3.5], anchor: 'middle', toEdge: view.y(box.minY) - y },
  ];
  spots.sort((p, q) => p.toEdge - q.toEdge);
  const width = textWidth(text, LETTERING.small);
  const spot = (always ? spots : spots.slice(0, 1)).find(({ at: [tx, ty], anchor }) => {
    const from = leftOf(tx, width, anchor);
    return (
      from >= FRAME + 1 &&
      from + width <= size.width - FRAME - 1 &&
      ty > FRAME + 4 &&
      room.takeText([tx, ty], text, { height: LETTERING.small, anchor })
    );
  });
  return spot === undefined ? [] : [label(spot.at[0], spot.at[1], text, { anchor: spot.anchor, halo: true })];
}

/** How wide each strip is that the cutter does not reach. */
function widthsNotReached({ skim, view, units }: Picture): string[] {
  return skim.left.flatMap((polygon) => {
    const b = bounds([polygon]);
    const narrow = Math.min(b.maxX - b.minX, b.maxY - b.minY);
    if (narrow < 0.5) return [];
    return label(
      view.x((b.minX + b.maxX) / 2),
      view.y((b.minY + b.maxY) / 2) + 4.5,
      `not surfaced: ${lengthOnSheet(narrow, units)} ${units} wide`,
      { anchor: 'middle', halo: true, ink: INK.warn, bold: true },
    );
  });
}

function explained({ skim, size, bottom }: Picture, restarts: boolean): string[] {
  const reached =
    skim.left.length > 0
      ? 'hatched: the part of the board that the cutter does not reach'
      : 'the whole of the board is reached';
  const passes = skim.passes === 1 ? 'one pass' : `${skim.passes} passes over the same lines`;
  const texts = [
    "line: the cutter's middle; circle: the cutter where it first goes down; ×: where it is lifted at the end",
    ...(restarts ? ['names beside the path: sections from which the program may be taken up again'] : []),
    `${reached}; red dots: screws below the surface; ${passes}`,
  ];
  return texts.map((text, i) =>
    label(FRAME + 6, bottom + 13 + i * 4, fitText(text, size.width - 2 * FRAME - 12, 2.2), {
      height: 2.2,
      ink: INK.second,
    }),
  );
}

/** What the surfacing account says, below the picture. */
function accountLines(account: readonly AccountLine[], size: SheetSize, top: number): string[] {
  const words: string[] = [];
  let y = top;
  for (const { label: name, value, note } of account) {
    words.push(
      label(FRAME + 6, y, fitText(name, 38, 2.2), { height: 2.2 }),
      label(FRAME + 106, y, fitText(value, 64, 2.2), { anchor: 'end', height: 2.2 }),
    );
    const lines = wrapText(note, size.width - 2 * FRAME - 113, 2.2);
    lines.forEach((text, i) => {
      words.push(label(FRAME + 109, y + i * 4, text, { ink: INK.second, height: 2.2 }));
    });
    y += 4 * Math.max(1, lines.length);
  }
  return words;
}

/** An arrow in the middle of every fifth long stretch: which way the cutter goes. */
function arrows(runs: readonly (readonly Point[])[], view: View): string[] {
  const parts: string[] = [];
  let count = 0;
  for (const run of runs) {
    for (let i = 1; i < run.length; i++) {
      const [a, b] = [run[i - 1] as Point, run[i] as Point];
      const [x0, y0, x1, y1] = [view.x(a[0]), view.y(a[1]), view.x(b[0]), view.y(b[1])];
      const [dx, dy] = [x1 - x0, y1 - y0];
      const length = Math.sqrt(dx * dx + dy * dy);
      if (length < 25) continue;
      if (count++ % 5 !== 0) continue;
      const [ux, uy] = [dx / length, dy / length];
      const [mx, my] = [(x0 + x1) / 2, (y0 + y1) / 2];
      parts.push(
        `M${num(mx + ux * 1.2)} ${num(my + uy * 1.2)}L${num(mx - ux * 1.2 - uy * 0.7)} ${num(my - uy * 1.2 + ux * 0.7)}L${num(mx - ux * 1.2 + uy * 0.7)} ${num(my - uy * 1.2 - ux * 0.7)}Z`,
      );
    }
  }
  return parts.length === 0
    ? []
    : [element('path', { d: parts.join(''), fill: INK.measured, stroke: 'none' })];
}
