import type { WorkPlan } from '@bedledger/bedwork';
import { bounds, boxOfRings, IDENTITY, type Point } from '@bedledger/geometry';
import { backdrop, machineBox } from '../bed/backdrop.ts';
import { lengthFormat } from '../format-length.ts';
import { hatch, hatchDefs } from '../svg/hatch.ts';
import { INK, LETTERING, LINE } from '../svg/ink.ts';
import { LabelRoom } from '../svg/label-room.ts';
import { element, num } from '../svg/markup.ts';
import { chooseSheet, FRAME, sheet } from '../svg/sheet.ts';
import { fitText, label, textWidth, wrapText } from '../svg/text.ts';
import { View } from '../svg/view.ts';
import { statusWord, titleBlockOf } from '../title-fields.ts';
import { skimOf } from './skim.ts';

/** Lines of the account shown under the picture. */
const ACCOUNT_LINES = 9;

/**
 * Where the surfacing cutter runs: its middle's path with arrows, where it goes down first, where the program may be taken up again, and
 * what of the board it cannot reach. Null when no surfacing program is issued.
 */
export function surfaceDrawing(plan: WorkPlan): string | null {
  const skim = skimOf(plan);
  if (skim === null) return null;
  const { record, layout } = plan;
  const { machine } = record;
  const { plain, unit } = lengthFormat(machine.units);
  const transform = layout.registration?.transform ?? IDENTITY;
  const box = boxOfRings([corners(machineBox(machine, transform)), ...skim.runs]);
  const account = plan.accounts.surfacing.slice(0, ACCOUNT_LINES);
  const { size, scale } = chooseSheet(machine.units, box.maxX - box.minX, box.maxY - box.minY, [
    { width: 44, height: 48 + account.length * 5.4 },
  ]);
  const left = (size.width - (box.maxX - box.minX) * scale.ratio) / 2;
  const bottom = FRAME + 12 + (box.maxY - box.minY) * scale.ratio;
  const view = new View(box, scale.ratio, left, bottom);
  const body = backdrop(machine, transform, view, 'edges');
  const words: string[] = [];

  if (skim.left.length > 0)
    body.push(
      element('path', {
        d: view.region(skim.left),
        fill: hatch('keepOut'),
        stroke: INK.warn,
        ...LINE.narrow,
        'fill-rule': 'evenodd',
        'data-left': String(skim.left.length),
      }),
    );
  body.push(
    element('path', {
      d: skim.runs.map((run) => view.line(run)).join(''),
      ...LINE.narrow,
      stroke: INK.measured,
      'data-runs': String(skim.runs.length),
    }),
  );
  body.push(...arrows(skim.runs, view));
  for (const site of layout.sites) {
    body.push(
      element('circle', {
        cx: view.x(site.actual[0]),
        cy: view.y(site.actual[1]),
        r: 0.7,
        fill: INK.metal,
        stroke: 'none',
      }),
    );
  }
  // The cutter itself where it first goes down: its middle, not its rim, is what the program names.
  const radius = (skim.diameter / 2) * scale.ratio;
  const [sx, sy] = [view.x(skim.start[0]), view.y(skim.start[1])];
  body.push(
    element('circle', { cx: sx, cy: sy, r: radius, ...LINE.wide, 'data-start': '' }),
    element('path', { d: `M${num(sx - 1.5)} ${num(sy)}h3M${num(sx)} ${num(sy - 1.5)}v3`, ...LINE.wide }),
    element('path', {
      d: `M${num(view.x(skim.end[0]) - 1.2)} ${num(view.y(skim.end[1]) - 1.2)}l2.4 2.4m0 -2.4l-2.4 2.4`,
      ...LINE.wide,
    }),
  );
  const room = new LabelRoom();
  const frame = { left: FRAME + 1, right: size.width - FRAME - 1 };
  /** Words outside the machine on the side that is nearest; the first and last place may fall back on the other sides. */
  const beside = (at: Point, text: string, always: boolean): void => {
    const [x, y] = [view.x(at[0]), view.y(at[1])];
    type Spot = readonly [x: number, y: number, anchor: 'start' | 'end' | 'middle', near: number];
    const spots: Spot[] = [
      [x - radius - 1.2, y + 1, 'end', x - view.x(box.minX)],
      [x + radius + 1.2, y + 1, 'start', view.x(box.maxX) - x],
      [x, y - radius - 2, 'middle', y - view.y(box.maxY)],
      [x, y + radius + 3.5, 'middle', view.y(box.minY) - y],
    ];
    spots.sort((p, q) => p[3] - q[3]);
    const width = textWidth(text, LETTERING.small);
    const spot = (always ? spots : spots.slice(0, 1)).find(([tx, ty, anchor]) => {
      const from = anchor === 'start' ? tx : anchor === 'end' ? tx - width : tx - width / 2;
      return (
        from >= frame.left &&
        from + width <= frame.right &&
        ty > FRAME + 4 &&
        room.takeText(tx, ty, text, LETTERING.small, anchor)
      );
    });
    if (spot !== undefined) words.push(label(spot[0], spot[1], text, { anchor: spot[2], halo: true }));
  };
  beside(skim.start, 'start', true);
  if (far(skim.start, skim.end, 8 / scale.ratio)) beside(skim.end, 'end', true);
  // The later passes go over the same places: each is named once.
  const places: Point[] = [skim.start];
  for (const { title, at } of skim.restarts) {
    if (places.some((p) => !far(p, at, 1e-6))) continue;
    places.push(at);
    beside(at, title.replace(/^pass \d+ /, '').replace(/^rows from /, ''), false);
  }
  for (const polygon of skim.left) {
    const b = bounds([polygon]);
    const narrow = Math.min(b.maxX - b.minX, b.maxY - b.minY);
    if (narrow < 0.5) continue;
    words.push(
      label(
        view.x((b.minX + b.maxX) / 2),
        view.y((b.minY + b.maxY) / 2) + 4.5,
        `not surfaced: ${plain(narrow)} ${unit} wide`,
        { anchor: 'middle', halo: true, ink: INK.warn, bold: true },
      ),
    );
  }
  words.push(label(size.width / 2, bottom + 7, "operator's side", { anchor: 'middle' }));
  const explained = [
    "line: the cutter's middle; circle: the cutter where it first goes down; ×: where it is lifted at the end",
    places.length > 1 ? 'names beside the path: sections from which the program may be taken up again' : '',
    `${skim.left.length > 0 ? 'hatched: the part of the board that the cutter does not reach' : 'the whole of the board is reached'}; red dots: screws below the surface; ${skim.passes === 1 ? 'one pass' : `${skim.passes} passes over the same lines`}`,
  ].filter((t) => t !== '');
  explained.forEach((text, i) => {
    words.push(
      label(FRAME + 6, bottom + 13 + i * 4, fitText(text, size.width - 2 * FRAME - 12, 2.2), {
        height: 2.2,
        ink: INK.second,
      }),
    );
  });
  let y = bottom + 29;
  for (const { label: name, value, note } of account) {
    words.push(
      label(FRAME + 6, y, fitText(name, 38, 2.2), { height: 2.2 }),
      label(FRAME + 106, y, fitText(value, 64, 2.2), { anchor: 'end', height: 2.2 }),
    );
    for (const text of wrapText(note, size.width - 2 * FRAME - 113, 2.2)) {
      words.push(label(FRAME + 109, y, text, { ink: INK.second, height: 2.2 }));
      y += 4;
    }
    if (note === '') y += 4;
  }
  body.push(element('g', { stroke: 'none', 'font-variant-numeric': 'tabular-nums' }, words));
  return sheet(
    size,
    titleBlockOf(record, 'surface', {
      subtitle: `surfacing path, cutter ⌀${plain(skim.diameter)}`,
      status: statusWord(plan),
      scale,
      size,
    }),
    `Surfacing path on ${machine.title}`,
    hatchDefs(['keepOut']),
    body,
  );
}

function corners(box: { minX: number; minY: number; maxX: number; maxY: number }): Point[] {
  return [
    [box.minX, box.minY],
    [box.maxX, box.maxY],
  ];
}

function far(a: Point, b: Point, least: number): boolean {
  const [dx, dy] = [a[0] - b[0], a[1] - b[1]];
  return dx * dx + dy * dy > least * least;
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
