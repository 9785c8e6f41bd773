import type { Site, WorkPlan } from '@bedledger/bedwork';
import { bedFeatures, type Machine, zoneRegion } from '@bedledger/fleet';
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
  type Transform,
} from '@bedledger/geometry';
import { hatchDefs } from '../svg/hatch.ts';
import { INK, LETTERING, LINE, WIDE } from '../svg/ink.ts';
import { lengthOnSheet } from '../svg/length.ts';
import { element, num } from '../svg/markup.ts';
import { chooseSheet, FRAME, sheet, TITLE_HEIGHT } from '../svg/sheet.ts';
import { fitText, label } from '../svg/text.ts';
import { View } from '../svg/view.ts';
import { statusWord, titleBlockOf } from '../title-fields.ts';
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
  const { record, layout } = plan;
  const { machine } = record;
  const transform = layout.registration?.transform ?? IDENTITY;
  const box = machineBox(machine, transform);
  const { size, scale } = chooseSheet(machine.units, box.maxX - box.minX, box.maxY - box.minY, [
    { width: LEFT_ROOM + TABLE_WIDTH + 8, height: ABOVE_ROOM + BELOW_ROOM },
  ]);
  const bottom = FRAME + ABOVE_ROOM + (box.maxY - box.minY) * scale.ratio;
  const view = new View(box, scale.ratio, FRAME + LEFT_ROOM, bottom);
  const picture: Picture = { plan, view, box, bottom };

  const tableX = size.width - FRAME - TABLE_WIDTH - 4;
  const table = siteTable(plan, tableX, FRAME + 6, size.height - 2 * FRAME - TITLE_HEIGHT - 62);
  const body = [
    lands(picture),
    ...backdrop(machine, transform, view, 'full'),
    ...columnDimensions(picture),
    ...rowDimensions(picture),
    ...layout.sites.flatMap((site) => siteMarks(plan, site, view)),
    datumMarks(plan, view),
    names(picture, transform, size.width - 2 * FRAME - TABLE_WIDTH - LEFT_ROOM - 6),
    table.svg,
    legend(tableX, Math.min(table.bottom + 8, size.height - FRAME - TITLE_HEIGHT - 52)),
  ];
  return sheet(
    size,
    titleBlockOf(record, 'bed', {
      subtitle: `bed from above, ${layout.sites.length} sites`,
      status: statusWord(plan),
      scale: `${scale.text} ${size.name.split(' ')[0]}`,
    }),
    `Bed of ${machine.title} from above with ${layout.sites.length} sites`,
    hatchDefs(['keepOut']),
    body,
  );
}

/** What every step of the drawing needs. */
interface Picture {
  readonly plan: WorkPlan;
  readonly view: View;
  /** What of the bed frame is shown. */
  readonly box: Box;
  /** Lower edge of the picture on the sheet. */
  readonly bottom: number;
}

/** Where a site may be. */
function lands({ plan, view }: Picture): string {
  return element('path', {
    d: view.region(plan.layout.lands),
    fill: INK.hairline,
    'fill-opacity': 0.28,
    stroke: INK.hairline,
    ...LINE.narrow,
    'fill-rule': 'evenodd',
  });
}

function words(...labels: readonly string[]): string {
  return element('g', { stroke: 'none' }, labels);
}

/** Columns as running dimensions from the datum (ISO 129-1): each tick carries its coordinate. */
function columnDimensions({ plan, view, bottom }: Picture): string[] {
  const { columns } = plan.layout;
  const last = columns[columns.length - 1];
  if (last === undefined) return [];
  const line = bottom + 7;
  const places = spread([0, ...columns].map((x) => view.x(x)));
  return [
    element('path', { d: `M${num(view.x(0))} ${num(line)}H${num(view.x(last) + 2)}`, ...LINE.narrow }),
    ...[0, ...columns].flatMap((x, i) => [
      element('path', { d: `M${num(view.x(x))} ${num(line - 1.5)}v3`, ...LINE.narrow }),
      words(
        label((places[i] as number) + 0.9, line + 2.2, lengthOnSheet(x, plan.record.machine.units), {
          anchor: 'end',
          turn: 90,
        }),
      ),
    ]),
    words(label(view.x(last) + 4, line + 1, 'X', { bold: true })),
  ];
}

/** The same for rows. */
function rowDimensions({ plan, view, box }: Picture): string[] {
  const { rows } = plan.layout;
  const last = rows[rows.length - 1];
  if (last === undefined) return [];
  const line = view.x(box.minX) - 6;
  const places = spread([0, ...rows].map((y) => -view.y(y))).map((y) => -y);
  return [
    element('path', { d: `M${num(line)} ${num(view.y(0))}V${num(view.y(last) - 2)}`, ...LINE.narrow }),
    ...[0, ...rows].flatMap((y, i) => [
      element('path', { d: `M${num(line - 1.5)} ${num(view.y(y))}h3`, ...LINE.narrow }),
      words(
        label(line - 2, (places[i] as number) + 0.9, lengthOnSheet(y, plan.record.machine.units), {
          anchor: 'end',
        }),
      ),
    ]),
    words(label(line, view.y(last) - 4, 'Y', { bold: true, anchor: 'middle' })),
  ];
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
      label(
        x + radius + 0.7,
        y - radius - 0.4,
        plan.work.hold.site === site.id ? `${site.id} held` : site.id,
        { height: LETTERING.small, halo: true, bold: true },
      ),
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

/** Names of zones and keep-outs, the operator's side, and how far the board is from its sites at most. */
function names({ plan, view, box, bottom }: Picture, transform: Transform, room: number): string {
  const { machine } = plan.record;
  const { coverage } = plan.layout;
  const length = (mm: number): string => `${lengthOnSheet(mm, machine.units)} ${machine.units}`;
  const said = `farthest point of the board from a site: ${length(coverage.radius)} (allowed ${length(coverage.allowed)})`;
  return words(
    ...zoneNames(plan, transform, view),
    ...keepOutNames(machine, transform, view),
    label(view.x((box.minX + box.maxX) / 2), bottom + 29, "operator's side", { anchor: 'middle' }),
    label(view.x(box.minX), FRAME + 6, fitText(said, room, LETTERING.small), { ink: INK.measured }),
  );
}

function zoneNames(plan: WorkPlan, transform: Transform, view: View): string[] {
  return plan.record.machine.bed.zones.flatMap((zone) => {
    const region = mapRegion(zoneRegion(zone), transform);
    if (region.length === 0) return [];
    const [x, y] = clearSpot(region, plan);
    return label(view.x(x), view.y(y) + 1.8, `zone ${zone.id}`, {
      height: LETTERING.normal,
      anchor: 'middle',
      halo: true,
      ink: INK.second,
    });
  });
}

function keepOutNames(machine: Machine, transform: Transform, view: View): string[] {
  const features = bedFeatures(machine).filter((f) => f.kind === 'keep-out');
  return machine.bed.keepOuts.flatMap((keepOut) => {
    const feature = features.find((f) => f.id.includes(keepOut.id));
    const ring = feature && mapRegion(feature.region, transform)[0]?.outer;
    if (ring === undefined) return [];
    const b = boxOfRings([ring]);
    return label(view.x((b.minX + b.maxX) / 2), view.y(b.maxY) - 1, keepOut.id, {
      anchor: 'middle',
      halo: true,
      ink: keepOut.metal ? INK.metal : INK.ink,
    });
  });
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
