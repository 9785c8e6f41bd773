import type { WorkPlan } from '@bedledger/bedwork';
import type { HeightMap, MachineRecord } from '@bedledger/fleet';
import { boxOfRings, type HeightPoint, heightSurface, IDENTITY, type Point } from '@bedledger/geometry';
import { backdrop } from '../bed/backdrop.ts';
import { lengthFormat } from '../format-length.ts';
import { skimOf } from '../surface/skim.ts';
import { hatchDefs } from '../svg/hatch.ts';
import { INK, LINE, NARROW } from '../svg/ink.ts';
import { LabelRoom } from '../svg/label-room.ts';
import { element, num } from '../svg/markup.ts';
import { chooseSheet, FRAME, sheet } from '../svg/sheet.ts';
import { fitText, label, textWidth } from '../svg/text.ts';
import { View } from '../svg/view.ts';
import { statusWord, titleBlockOf } from '../title-fields.ts';
import { contour, type Raster } from './contours.ts';
import { heightScale } from './height-scale.ts';

/** The map that is true of the board as it is, or null when there is none. */
export function currentHeights(record: MachineRecord): HeightMap | null {
  const file = record.state.latestHeights;
  if (file === null) return null;
  const map = record.heights.find((h) => h.file === file || h.file.endsWith(`/${file}`));
  return map === undefined || map.points.length === 0 ? null : map;
}

const LEGEND = 62;
/** Cells of the picture along the board's longer side. */
const CELLS = 200;

/**
 * The board's top as measured: bands of height with their contours, the points with their values, and, where a skim is planned, what it
 * takes off each band. Null when the board has no height map.
 */
export function heightDrawing(plan: WorkPlan): string | null {
  const { record } = plan;
  const { machine } = record;
  const map = currentHeights(record);
  if (map === null) return null;
  const { plain, fine, unit } = lengthFormat(machine.units);
  const skim = skimOf(plan);
  const { at, size: boardSize } = machine.board;
  const corners: Point[] = [
    [at[0], at[1]],
    [at[0] + boardSize[0], at[1] + boardSize[1]],
  ];
  const box = boxOfRings([corners, map.points.map(([x, y]): Point => [x, y])]);
  const surface = heightSurface(map.points as readonly HeightPoint[]);
  const millimetres = machine.units === 'mm' ? 1 : 25.4;
  const bands = heightScale(surface.min, surface.max, machine.units === 'mm' ? 0.01 : 0.0254, millimetres);
  const count = bands.limits.length - 1;
  const legendHeight = Math.max(count * 6 + 6, 34);
  const { size, scale, arrangement } = chooseSheet(machine.units, box.maxX - box.minX, box.maxY - box.minY, [
    { width: LEGEND + 20, height: 34 },
    { width: 16, height: 38 + legendHeight },
  ]);
  const pictureHeight = (box.maxY - box.minY) * scale.ratio;
  const bottom = FRAME + 16 + pictureHeight;
  const view = new View(box, scale.ratio, FRAME + 8, bottom);
  const beside = arrangement === 0;
  const legendX = beside ? size.width - FRAME - LEGEND : FRAME + 8;
  const legendY = beside ? FRAME + 10 : bottom + 18;
  const raster = rasterOf(surface.at, corners);

  const body: string[] = [
    ...bandPaths(raster, bands.band, view).map(([band, d]) =>
      element('path', { d, fill: bands.ink(band), stroke: 'none', 'data-band': String(band) }),
    ),
  ];
  const words: string[] = [];
  const room = new LabelRoom();
  for (const level of bands.limits.slice(1, -1)) {
    const segments = contour(raster, level);
    if (segments.length === 0) continue;
    body.push(
      element('path', {
        d: segments
          .map(
            ([p, q]) =>
              `M${num(view.x(p[0]), 2)} ${num(view.y(p[1]), 2)}L${num(view.x(q[0]), 2)} ${num(view.y(q[1]), 2)}`,
          )
          .join(''),
        ...LINE.narrow,
        stroke: INK.ink,
      }),
    );
    const text = plain(level);
    // The first place along the contour where its value covers no other word.
    for (let k = 0; k < 16; k++) {
      const [p] = segments[Math.floor(((k * 5 + 8) % 16) * (segments.length / 16))] as readonly [
        Point,
        Point,
      ];
      const [x, y] = [view.x(p[0]), view.y(p[1]) + 0.9];
      if (!room.takeText(x, y, text, 2, 'middle', true)) continue;
      words.push(label(x, y, text, { anchor: 'middle', halo: true, height: 2, bold: true }));
      break;
    }
  }
  if (surface.hull.length > 2)
    body.push(element('path', { d: view.ring(surface.hull), ...LINE.hidden, stroke: INK.ink }));
  const marks: string[] = [];
  let valued = 0;
  for (const [x, y, z] of map.points) {
    const [px, py] = [view.x(x), view.y(y)];
    marks.push(`M${num(px - 0.7)} ${num(py)}h1.4M${num(px)} ${num(py - 0.7)}v1.4`);
    const text = plain(z);
    // Beside the cross, on the side where there is paper, and only where it covers no other value.
    const right = px + 1 + textWidth(text, 1.8) < view.x(box.maxX) + 3;
    const [tx, anchor] = right ? [px + 1, 'start' as const] : [px - 1, 'end' as const];
    if (!room.takeText(tx, py - 0.9, text, 1.8, anchor)) continue;
    valued++;
    words.push(label(tx, py - 0.9, text, { height: 1.8, halo: true, anchor }));
  }
  body.push(element('path', { d: marks.join(''), ...LINE.narrow }));
  body.push(...backdrop(machine, plan.layout.registration?.transform ?? IDENTITY, view, 'board'));

  words.push(
    label(legendX, legendY, `height above the bed, ${unit}`, { bold: true, height: 2.2 }),
    ...(skim === null
      ? []
      : [label(legendX + 58, legendY, 'off', { bold: true, height: 2.2, anchor: 'end' })]),
  );
  for (let band = count - 1; band >= 0; band--) {
    const y = legendY + 3 + (count - 1 - band) * 6;
    const [from, to] = [bands.limits[band] as number, bands.limits[band + 1] as number];
    body.push(
      element('rect', { x: legendX, y, width: 9, height: 6, fill: bands.ink(band), 'stroke-width': NARROW }),
    );
    words.push(label(legendX + 11, y + 4, `${plain(from)} to ${plain(to)}`));
    if (skim !== null)
      words.push(
        label(legendX + 58, y + 4, `≤ ${plain(Math.max(0, Math.min(to, surface.max) - skim.lowest))}`, {
          anchor: 'end',
        }),
      );
  }
  const notes = [
    `${map.points.length} points, ${fine(surface.min)} to ${fine(surface.max)} ${unit}`,
    `difference ${fine(surface.max - surface.min)} ${unit}`,
    ...(surface.kind === 'plane' ? ['the points span no area'] : []),
    ...(valued < map.points.length ? ['values where there is room for them'] : []),
    ...(skim === null
      ? ['no skim is planned']
      : [
          `skim down to ${plain(skim.lowest)} ${unit}`,
          `takes off ${plain(Math.max(0, surface.min - skim.lowest))} to ${plain(surface.max - skim.lowest)} ${unit}`,
        ]),
    'dashed: the area that was measured',
  ];
  const [notesX, notesY] = beside ? [legendX, legendY + 12 + count * 6] : [legendX + LEGEND + 12, legendY];
  const notesWidth = beside ? LEGEND - 2 : size.width - FRAME - notesX - 4;
  notes.forEach((text, i) => {
    words.push(label(notesX, notesY + i * 4.4, fitText(text, notesWidth, 2.2), { height: 2.2 }));
  });
  words.push(
    label(view.x((box.minX + box.maxX) / 2), bottom + 7, "operator's side", { anchor: 'middle' }),
    label(
      FRAME + 8,
      FRAME + 8,
      fitText(`measured: ${map.file}`, (beside ? size.width - LEGEND : size.width) - 2 * FRAME - 20, 2.2),
      {
        height: 2.2,
        ink: INK.measured,
      },
    ),
  );
  body.push(element('g', { stroke: 'none', 'font-variant-numeric': 'tabular-nums' }, words));
  return sheet(
    size,
    titleBlockOf(record, 'heights', {
      subtitle: 'heights of the board’s top',
      status: statusWord(plan),
      scale,
      size,
    }),
    `Heights of the board on ${machine.title}`,
    hatchDefs(['keepOut']),
    body,
  );
}

/** Heights over the board on a raster of nearly square cells. */
function rasterOf(z: (x: number, y: number) => number, [low, high]: readonly Point[]): Raster {
  const [x0, y0] = low as Point;
  const [x1, y1] = high as Point;
  const cell = Math.max(x1 - x0, y1 - y0) / CELLS;
  const line = (from: number, to: number): number[] => {
    const n = Math.max(2, Math.ceil((to - from) / cell));
    return Array.from({ length: n + 1 }, (_, i) => from + ((to - from) * i) / n);
  };
  const [xs, ys] = [line(x0, x1), line(y0, y1)];
  return { x: xs, y: ys, z: ys.map((y) => xs.map((x) => z(x, y))) };
}

/** Cells of each band as one path, neighbours in a row run together. */
function bandPaths(raster: Raster, band: (z: number) => number, view: View): (readonly [number, string])[] {
  const paths = new Map<number, string[]>();
  for (let j = 0; j + 1 < raster.y.length; j++) {
    const bandAt = (i: number): number => {
      const [low, high] = [raster.z[j] as readonly number[], raster.z[j + 1] as readonly number[]];
      return band(
        ((low[i] as number) + (low[i + 1] as number) + (high[i] as number) + (high[i + 1] as number)) / 4,
      );
    };
    const cells = raster.x.length - 1;
    for (let i = 0; i < cells; ) {
      const own = bandAt(i);
      let end = i + 1;
      while (end < cells && bandAt(end) === own) end++;
      const list = paths.get(own) ?? [];
      const [top, low] = [view.y(raster.y[j + 1] as number), view.y(raster.y[j] as number)];
      // A hair of overlap, so that no paper shows between rows.
      list.push(
        `M${num(view.x(raster.x[i] as number), 2)} ${num(top - 0.02, 2)}H${num(view.x(raster.x[end] as number), 2)}V${num(low + 0.02, 2)}H${num(view.x(raster.x[i] as number), 2)}Z`,
      );
      paths.set(own, list);
      i = end;
    }
  }
  return [...paths].sort(([a], [b]) => a - b).map(([b, list]) => [b, list.join('')] as const);
}
