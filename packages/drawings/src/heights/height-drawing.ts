import type { WorkPlan } from '@bedledger/bedwork';
import { fromUnits, type Units } from '@bedledger/diagnostics';
import { currentHeights, type HeightMap } from '@bedledger/fleet';
import {
  type Box,
  boxOfRings,
  type HeightSurface,
  heightSurface,
  IDENTITY,
  type Point,
} from '@bedledger/geometry';
import { backdrop } from '../bed/backdrop.ts';
import { type Skim, skimOf } from '../surface/skim.ts';
import { hatchDefs } from '../svg/hatch.ts';
import { INK, LINE, NARROW } from '../svg/ink.ts';
import { LabelRoom } from '../svg/label-room.ts';
import { fineLengthOnSheet, lengthOnSheet } from '../svg/length.ts';
import { element, num } from '../svg/markup.ts';
import { chooseSheet, FRAME, type SheetSize, sheet } from '../svg/sheet.ts';
import { fitText, label, textWidth } from '../svg/text.ts';
import { View } from '../svg/view.ts';
import { scaleOn, statusWord, titleBlockOf } from '../title-fields.ts';
import { contour, type Raster } from './contours.ts';
import { type HeightScale, heightScale } from './height-scale.ts';

/** Width of the legend. */
const LEGEND = 62;
/** Cells of the picture along the board's longer side. */
const CELLS = 200;
/** The least step worth showing, in the units of the machine: nothing finer was measured. */
const GRAIN: Readonly<Record<Units, number>> = { mm: 0.01, in: 0.001 };

/** What every step of the drawing needs. */
interface Picture {
  readonly map: HeightMap;
  readonly surface: HeightSurface;
  readonly bands: HeightScale;
  readonly skim: Skim | null;
  readonly units: Units;
  readonly size: SheetSize;
  /** The board and every point, bed frame. */
  readonly box: Box;
  readonly view: View;
  /** The legend stands beside the picture, else below it. */
  readonly beside: boolean;
  readonly legend: readonly [x: number, y: number];
}

/**
 * The board's top as measured: bands of height with their contours, the points with their values, and, where a skim is planned, what it
 * takes off each band. Null when the board has no height map.
 */
export function heightDrawing(plan: WorkPlan): string | null {
  const { record } = plan;
  const { machine } = record;
  const map = currentHeights(record.heights, record.state);
  if (map === null || map.points.length === 0) return null;
  const corners = boardCorners(machine.board);
  const box = boxOfRings([corners, map.points.map(([x, y]): Point => [x, y])]);
  const surface = heightSurface(map.points);
  const unit = fromUnits(1, machine.units);
  const bands = heightScale(surface.min, surface.max, GRAIN[machine.units] * unit, unit);
  const legendHeight = Math.max((bands.limits.length - 1) * 6 + 6, 34);
  const { size, scale, arrangement } = chooseSheet(machine.units, box.maxX - box.minX, box.maxY - box.minY, [
    { width: LEGEND + 20, height: 34 },
    { width: 16, height: 38 + legendHeight },
  ]);
  const bottom = FRAME + 16 + (box.maxY - box.minY) * scale.ratio;
  const beside = arrangement === 0;
  const picture: Picture = {
    map,
    surface,
    bands,
    skim: skimOf(plan),
    units: machine.units,
    size,
    box,
    view: new View(box, scale.ratio, FRAME + 8, bottom),
    beside,
    legend: beside ? [size.width - FRAME - LEGEND, FRAME + 10] : [FRAME + 8, bottom + 18],
  };
  const raster = rasterOf(surface.at, corners);
  const room = new LabelRoom();
  const lines = contours(picture, raster, room);
  const points = measuredPoints(picture, room);
  const key = legend(picture);
  return sheet(
    size,
    titleBlockOf(record, 'heights', {
      subtitle: 'heights of the board’s top',
      status: statusWord(plan),
      scale: scaleOn(size, scale),
    }),
    `Heights of the board on ${machine.title}`,
    hatchDefs(['keepOut']),
    [
      ...bandPaths(raster, bands.band, picture.view).map(([band, d]) =>
        element('path', { d, fill: bands.ink(band), stroke: 'none', 'data-band': String(band) }),
      ),
      ...lines.body,
      ...hull(picture),
      points.marks,
      ...backdrop(machine, plan.layout.registration?.transform ?? IDENTITY, picture.view, 'board'),
      ...key.body,
      element('g', { stroke: 'none', 'font-variant-numeric': 'tabular-nums' }, [
        ...lines.words,
        ...points.words,
        ...key.words,
        ...notes(picture, points.words.length),
        ...places(picture, bottom),
      ]),
    ],
  );
}

function boardCorners({ at, size }: WorkPlan['record']['machine']['board']): readonly [Point, Point] {
  return [
    [at[0], at[1]],
    [at[0] + size[0], at[1] + size[1]],
  ];
}

interface Drawn {
  readonly body: readonly string[];
  readonly words: readonly string[];
}

/** The limits between the bands as lines, each with its height where that covers no other word. */
function contours({ bands, view, units }: Picture, raster: Raster, room: LabelRoom): Drawn {
  const body: string[] = [];
  const words: string[] = [];
  for (const level of bands.limits.slice(1, -1)) {
    const segments = contour(raster, level);
    if (segments.length === 0) continue;
    const d = segments.map(([p, q]) => view.line([p, q])).join('');
    body.push(element('path', { d, ...LINE.narrow, stroke: INK.ink }));
    const text = lengthOnSheet(level, units);
    // Sixteen places along the contour; the first that is free.
    for (let k = 0; k < 16; k++) {
      const at = Math.floor(((k * 5 + 8) % 16) * (segments.length / 16));
      const [p] = segments[at] as readonly [Point, Point];
      const [x, y] = [view.x(p[0]), view.y(p[1]) + 0.9];
      if (!room.takeText([x, y], text, { height: 2, anchor: 'middle', bold: true })) continue;
      words.push(label(x, y, text, { anchor: 'middle', halo: true, height: 2, bold: true }));
      break;
    }
  }
  return { body, words };
}

/** The edge of the area that was measured. */
function hull({ surface, view }: Picture): string[] {
  if (surface.hull.length <= 2) return [];
  return [element('path', { d: view.ring(surface.hull), ...LINE.hidden, stroke: INK.ink })];
}

/** A cross at every point, and its height where that covers no other word. */
function measuredPoints(
  { map, view, box, units }: Picture,
  room: LabelRoom,
): { readonly marks: string; readonly words: readonly string[] } {
  const marks: string[] = [];
  const words: string[] = [];
  for (const [x, y, z] of map.points) {
    const [px, py] = [view.x(x), view.y(y)];
    marks.push(`M${num(px - 0.7)} ${num(py)}h1.4M${num(px)} ${num(py - 0.7)}v1.4`);
    const text = lengthOnSheet(z, units);
    // Beside the cross, on the side where there is paper.
    const right = px + 1 + textWidth(text, 1.8) < view.x(box.maxX) + 3;
    const [tx, anchor] = right ? [px + 1, 'start' as const] : [px - 1, 'end' as const];
    if (!room.takeText([tx, py - 0.9], text, { height: 1.8, anchor })) continue;
    words.push(label(tx, py - 0.9, text, { height: 1.8, halo: true, anchor }));
  }
  return { marks: element('path', { d: marks.join(''), ...LINE.narrow }), words };
}

/** The bands from high to low, and what a planned skim takes off each at most. */
function legend({ bands, skim, surface, units, legend: [left, top] }: Picture): Drawn {
  const length = (mm: number): string => lengthOnSheet(mm, units);
  const count = bands.limits.length - 1;
  const body: string[] = [];
  const words = [label(left, top, `height above the bed, ${units}`, { bold: true, height: 2.2 })];
  if (skim !== null) words.push(label(left + 58, top, 'off', { bold: true, height: 2.2, anchor: 'end' }));
  for (let band = count - 1; band >= 0; band--) {
    const y = top + 3 + (count - 1 - band) * 6;
    const [from, to] = [bands.limits[band] as number, bands.limits[band + 1] as number];
    body.push(
      element('rect', { x: left, y, width: 9, height: 6, fill: bands.ink(band), 'stroke-width': NARROW }),
    );
    words.push(label(left + 11, y + 4, `${length(from)} to ${length(to)}`));
    if (skim !== null) {
      const off = Math.max(0, Math.min(to, surface.max) - skim.lowest);
      words.push(label(left + 58, y + 4, `≤ ${length(off)}`, { anchor: 'end' }));
    }
  }
  return { body, words };
}

/** What the map says in numbers; `valued`: how many points have their height written beside them. */
function notes(picture: Picture, valued: number): string[] {
  const { map, surface, skim, units, size, beside, bands } = picture;
  const [left, top] = picture.legend;
  const fine = (mm: number): string => fineLengthOnSheet(mm, units);
  const length = (mm: number): string => lengthOnSheet(mm, units);
  const texts = [
    `${map.points.length} points, ${fine(surface.min)} to ${fine(surface.max)} ${units}`,
    `difference ${fine(surface.max - surface.min)} ${units}`,
    ...(surface.kind === 'plane' ? ['the points span no area'] : []),
    ...(valued < map.points.length ? ['values where there is room for them'] : []),
    ...(skim === null
      ? ['no skim is planned']
      : [
          `skim down to ${length(skim.lowest)} ${units}`,
          `takes off ${length(Math.max(0, surface.min - skim.lowest))} to ${length(surface.max - skim.lowest)} ${units}`,
        ]),
    'dashed: the area that was measured',
  ];
  const [x, y] = beside ? [left, top + 12 + (bands.limits.length - 1) * 6] : [left + LEGEND + 12, top];
  const width = beside ? LEGEND - 2 : size.width - FRAME - x - 4;
  return texts.map((text, i) => label(x, y + i * 4.4, fitText(text, width, 2.2), { height: 2.2 }));
}

/** The operator's side, and which file the heights are from. */
function places({ map, view, box, size, beside }: Picture, bottom: number): string[] {
  const width = (beside ? size.width - LEGEND : size.width) - 2 * FRAME - 20;
  return [
    label(view.x((box.minX + box.maxX) / 2), bottom + 7, "operator's side", { anchor: 'middle' }),
    label(FRAME + 8, FRAME + 8, fitText(`measured: ${map.file}`, width, 2.2), {
      height: 2.2,
      ink: INK.measured,
    }),
  ];
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
