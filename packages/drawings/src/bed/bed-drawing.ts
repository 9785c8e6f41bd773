import type { Site, WorkPlan } from '@bedledger/bedwork';
import { bedFeatures, zoneRegion } from '@bedledger/fleet';
import {
  type Box,
  bounds,
  boxOfRings,
  containsPoint,
  IDENTITY,
  mapRegion,
  nearestOnBoundary,
  type Point,
  type Region,
} from '@bedledger/geometry';
import { lengthFormat } from '../format-length.ts';
import { hatchDefs } from '../svg/hatch.ts';
import { INK, LETTERING, LINE, WIDE } from '../svg/ink.ts';
import { element, num } from '../svg/markup.ts';
import {
  FRAME,
  fitScale,
  type Scale,
  type SheetSize,
  sheet,
  sheetSizes,
  TITLE_HEIGHT,
} from '../svg/sheet.ts';
import { fitText, label } from '../svg/text.ts';
import { View } from '../svg/view.ts';
import { lastFactDate, statusWord } from '../title-fields.ts';
import { backdrop, machineBox } from './backdrop.ts';
import { siteGlyph, siteLegend } from './site-glyph.ts';
import { siteTable, TABLE_WIDTH } from './site-table.ts';

/** Room for the running dimensions at the left of and below the bed, sheet millimetres. */
const LEFT_ROOM = 24;
const BELOW_ROOM = 32;
const ABOVE_ROOM = 14;

/**
 * The bed seen from above, X to the right and Y away from the operator, with everything that decides where a site may be:
 * zones, grooves and ports (hidden under the board), keep-outs, the board, the spindle's reach, the sites and their table.
 * Drawn in the surveyed frame: what the programs know. An SVG text for a standard sheet at a standard scale.
 */
export function bedDrawing(plan: WorkPlan): string {
  const { machine } = plan.record;
  const transform = plan.layout.registration?.transform ?? IDENTITY;
  const mapped = (region: Region): Region => mapRegion(region, transform);
  const box = machineBox(machine, transform);
  const { size, scale } = chooseSheet(machine.units, box);
  const roomY = size.height - 2 * FRAME - TITLE_HEIGHT;
  const pictureHeight = (box.maxY - box.minY) * scale.ratio;
  const bottom = FRAME + ABOVE_ROOM + pictureHeight;
  const view = new View(box, scale.ratio, FRAME + LEFT_ROOM, bottom);

  const body: string[] = [];
  body.push(
    element('path', {
      d: view.region(plan.layout.lands),
      fill: INK.hairline,
      'fill-opacity': 0.28,
      stroke: INK.hairline,
      ...LINE.narrow,
      'fill-rule': 'evenodd',
    }),
  );
  body.push(...backdrop(machine, transform, view, 'full'));
  body.push(...runningDimensions(plan, view, box, bottom));
  for (const site of plan.layout.sites) body.push(...siteMarks(plan, site, view));
  body.push(datumMarks(plan, view));
  body.push(...names(plan, view, mapped, bottom, box, size.width - 2 * FRAME - TABLE_WIDTH - LEFT_ROOM - 6));

  const tableX = size.width - FRAME - TABLE_WIDTH - 4;
  const table = siteTable(plan, tableX, FRAME + 6, roomY - 62);
  body.push(table.svg);
  body.push(legend(tableX, Math.min(table.bottom + 8, size.height - FRAME - TITLE_HEIGHT - 52)));

  const { layout } = plan;
  return sheet(
    size,
    {
      title: machine.title,
      subtitle: `bed from above, ${layout.sites.length} sites`,
      number: `${machine.id}-bed`,
      revision: plan.record.revision,
      date: lastFactDate(plan.record),
      sheet: '1 of 1',
      status: statusWord(plan),
      scale: `${scale.text} ${size.name.split(' ')[0]}`,
      units: machine.units,
    },
    `Bed of ${machine.title} from above with ${layout.sites.length} sites`,
    hatchDefs(['keepOut']),
    body,
  );
}

function chooseSheet(units: 'mm' | 'in', box: Box): { size: SheetSize; scale: Scale } {
  let best: { size: SheetSize; scale: Scale } | null = null;
  for (const size of sheetSizes(units)) {
    const roomX = size.width - 2 * FRAME - LEFT_ROOM - TABLE_WIDTH - 8;
    const roomY = size.height - 2 * FRAME - TITLE_HEIGHT - ABOVE_ROOM - BELOW_ROOM;
    const scale = fitScale(box.maxX - box.minX, box.maxY - box.minY, roomX, roomY);
    if (best === null || scale.ratio > best.scale.ratio + 1e-12) best = { size, scale };
  }
  return best as { size: SheetSize; scale: Scale };
}

/** Rows and columns as running dimensions from the datum (ISO 129-1): each tick carries its coordinate. */
function runningDimensions(plan: WorkPlan, view: View, box: Box, bottom: number): string[] {
  const { rows, columns } = plan.layout;
  const { plain } = lengthFormat(plan.record.machine.units);
  const out: string[] = [];
  const yLine = bottom + 7;
  const xLine = view.x(box.minX) - 6;
  if (columns.length > 0) {
    const last = columns[columns.length - 1] as number;
    out.push(
      element('path', { d: `M${num(view.x(0))} ${num(yLine)}H${num(view.x(last) + 2)}`, ...LINE.narrow }),
    );
    const places = spread([0, ...columns].map((x) => view.x(x)));
    for (const [i, x] of [0, ...columns].entries()) {
      out.push(element('path', { d: `M${num(view.x(x))} ${num(yLine - 1.5)}v3`, ...LINE.narrow }));
      out.push(
        element('g', { stroke: 'none' }, [
          label((places[i] as number) + 0.9, yLine + 2.2, plain(x), { anchor: 'end', turn: 90 }),
        ]),
      );
    }
    out.push(element('g', { stroke: 'none' }, [label(view.x(last) + 4, yLine + 1, 'X', { bold: true })]));
  }
  if (rows.length > 0) {
    const last = rows[rows.length - 1] as number;
    out.push(
      element('path', { d: `M${num(xLine)} ${num(view.y(0))}V${num(view.y(last) - 2)}`, ...LINE.narrow }),
    );
    const places = spread([0, ...rows].map((y) => -view.y(y))).map((y) => -y);
    for (const [i, y] of [0, ...rows].entries()) {
      out.push(element('path', { d: `M${num(xLine - 1.5)} ${num(view.y(y))}h3`, ...LINE.narrow }));
      out.push(
        element('g', { stroke: 'none' }, [
          label(xLine - 2, (places[i] as number) + 0.9, plain(y), { anchor: 'end' }),
        ]),
      );
    }
    out.push(
      element('g', { stroke: 'none' }, [
        label(xLine, view.y(last) - 4, 'Y', { bold: true, anchor: 'middle' }),
      ]),
    );
  }
  return out;
}

/** Ascending places of labels, moved up where two would stand on each other: a label is about 3 mm high. */
function spread(places: readonly number[]): number[] {
  const out: number[] = [];
  for (const place of places)
    out.push(Math.max(place, (out[out.length - 1] ?? Number.NEGATIVE_INFINITY) + 3.2));
  return out;
}

function siteMarks(plan: WorkPlan, site: Site, view: View): string[] {
  const stack = plan.stacks.get(site.id);
  const radius = Math.max(((stack?.pocketDiameter ?? 16) / 2) * view.scale, 0.9);
  const [x, y] = [view.x(site.actual[0]), view.y(site.actual[1])];
  return [
    element('g', { 'data-site': site.id }, [siteGlyph(x, y, radius, site.state)]),
    element('g', { stroke: 'none' }, [
      label(x + radius + 0.7, y - radius - 0.4, site.id, { height: LETTERING.small, halo: true, bold: true }),
    ]),
  ];
}

function datumMarks(plan: WorkPlan, view: View): string {
  const { datum } = plan.record.machine;
  const mark = (p: Point, text: string): string => {
    const [x, y] = [view.x(p[0]), view.y(p[1])];
    return [
      element('g', { 'data-site': text }, [
        element('circle', { cx: x, cy: y, r: 1.6, ...LINE.narrow, fill: INK.paper }),
      ]),
      element('path', {
        d: `M${num(x)} ${num(y)}V${num(y - 1.6)}A1.6 1.6 0 0 1 ${num(x + 1.6)} ${num(y)}ZM${num(x)} ${num(y)}V${num(y + 1.6)}A1.6 1.6 0 0 1 ${num(x - 1.6)} ${num(y)}Z`,
        fill: INK.ink,
        stroke: 'none',
      }),
      element('g', { stroke: 'none' }, [label(x + 2.2, y + 3.4, text, { halo: true, ink: INK.measured })]),
    ].join('');
  };
  return mark(datum.mark, 'datum mark') + mark(datum.second, 'second mark');
}

function names(
  plan: WorkPlan,
  view: View,
  mapped: (r: Region) => Region,
  bottom: number,
  box: Box,
  room: number,
): string[] {
  const { machine } = plan.record;
  const out: string[] = [];
  for (const zone of machine.bed.zones) {
    const region = mapped(zoneRegion(zone));
    if (region.length === 0) continue;
    const [zx, zy] = clearSpot(region, plan);
    out.push(
      label(view.x(zx), view.y(zy) + 1.8, `zone ${zone.id}`, {
        height: LETTERING.normal,
        anchor: 'middle',
        halo: true,
        ink: INK.second,
      }),
    );
  }
  for (const keepOut of machine.bed.keepOuts) {
    const feature = bedFeatures(machine).find((f) => f.kind === 'keep-out' && f.id.includes(keepOut.id));
    const ring = feature === undefined ? undefined : mapped(feature.region)[0]?.outer;
    if (ring === undefined) continue;
    const b = boxOfRings([ring]);
    out.push(
      label(view.x((b.minX + b.maxX) / 2), view.y(b.maxY) - 1, keepOut.id, {
        anchor: 'middle',
        halo: true,
        ink: keepOut.metal ? INK.metal : INK.ink,
      }),
    );
  }
  out.push(
    label(view.x((box.minX + box.maxX) / 2), bottom + 29, "operator's side", {
      anchor: 'middle',
      height: LETTERING.small,
    }),
  );
  const cover = plan.layout.coverage;
  const { plain, unit } = lengthFormat(machine.units);
  out.push(
    label(
      view.x(box.minX),
      FRAME + 6,
      fitText(
        `farthest point of the board from a site: ${plain(cover.radius)} ${unit} (allowed ${plain(cover.allowed)} ${unit})`,
        room,
        LETTERING.small,
      ),
      { ink: INK.measured },
    ),
  );
  return [element('g', { stroke: 'none' }, out)];
}

function legend(x: number, y: number): string {
  const rows: readonly (readonly [Readonly<Record<string, string | number>>, string])[] = [
    [LINE.wide, 'edge of bed and board'],
    [{ ...LINE.hidden, stroke: INK.second }, 'zone, groove, port under the board'],
    [{ ...LINE.reach, stroke: INK.second }, "reach of the spindle's axis"],
    [{ 'stroke-width': WIDE * 6, stroke: INK.hairline, 'stroke-opacity': 0.5 }, 'land where a site may be'],
  ];
  const parts = rows.map(([style, text], i) => {
    const top = y + i * 4.4;
    return (
      element('path', { d: `M${num(x)} ${num(top)}h14`, stroke: INK.ink, ...style }) +
      element('g', { stroke: 'none' }, [label(x + 17, top + 0.9, text)])
    );
  });
  parts.push(siteLegend(x, y + rows.length * 4.4 + 1));
  return element('g', { fill: 'none', stroke: INK.ink }, parts);
}

/** The spot of a zone, of a coarse grid of spots, that is farthest from every site and from the zone's edge: a name there covers neither. */
function clearSpot(zone: Region, plan: WorkPlan): Point {
  const box = bounds(zone);
  let best: Point = [(box.minX + box.maxX) / 2, (box.minY + box.maxY) / 2];
  let farthest = -1;
  for (const fy of [0.5, 0.35, 0.65, 0.2, 0.8]) {
    for (const fx of [0.5, 0.35, 0.65, 0.2, 0.8]) {
      const spot: Point = [box.minX + fx * (box.maxX - box.minX), box.minY + fy * (box.maxY - box.minY)];
      if (!containsPoint(zone, spot)) continue;
      // Names are wider than high: what stands beside one is nearer than it looks.
      const clear = Math.min(
        nearestOnBoundary(zone, spot).distance / 2,
        ...plan.layout.sites.map(({ actual }) =>
          Math.max(Math.abs(actual[0] - spot[0]) / 3, Math.abs(actual[1] - spot[1])),
        ),
      );
      if (clear > farthest + 1e-9) {
        farthest = clear;
        best = spot;
      }
    }
  }
  return best;
}
