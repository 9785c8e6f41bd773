import type { Units } from '@bedledger/diagnostics';
import type { MachineRecord } from '@bedledger/fleet';
import { applyTransform, type Point, type Registration } from '@bedledger/geometry';
import { hatchDefs } from '../svg/hatch.ts';
import { INK, LETTERING, LINE } from '../svg/ink.ts';
import { fineLengthOnSheet, lengthOnSheet } from '../svg/length.ts';
import { element, num } from '../svg/markup.ts';
import { FRAME, fitScale, type Scale, sheet, smallestSheet, TITLE_HEIGHT } from '../svg/sheet.ts';
import { fitText, label } from '../svg/text.ts';
import { centredView, type View } from '../svg/view.ts';
import { scaleOn, titleBlockOf } from '../title-fields.ts';
import { backdrop, machineBox } from './backdrop.ts';

/** Magnifications of the residual arrows: one of these, so that the longest arrow is about this long on paper, mm. */
const MAGNIFY = [1, 2, 5, 10, 20, 50, 100, 200, 500, 1000] as const;
const ARROW = 18;

/**
 * The residuals of a survey on the bed: at each measured feature an arrow from where the fit puts it to where it was found,
 * magnified by a stated factor. The feature that the fit would be better without is named in words.
 */
export function surveyDrawing(record: MachineRecord, registration: Registration): string {
  const { machine } = record;
  const { transform } = registration;
  const size = smallestSheet(machine.units);
  const box = machineBox(machine, transform);
  const roomX = size.width - 2 * FRAME - 24;
  const roomY = size.height - 2 * FRAME - TITLE_HEIGHT - 40;
  const scale = fitScale(box.maxX - box.minX, box.maxY - box.minY, roomX, roomY);
  const view = centredView(size, box, scale, 24);
  const magnify = magnification(registration, scale);
  return sheet(
    size,
    titleBlockOf(record, 'survey', {
      subtitle: 'residuals of the survey',
      status: 'for review',
      scale: scaleOn(size, scale),
    }),
    `Residuals of the survey of ${machine.title}`,
    hatchDefs(['keepOut']),
    [
      ...backdrop(machine, transform, view, 'edges'),
      ...residuals(record, registration, view, { magnify, middle: size.width / 2 }),
      element('g', { stroke: 'none' }, [
        ...aboutFit(registration, magnify, machine.units),
        label(size.width / 2, view.y(box.minY) + 8, "operator's side", { anchor: 'middle' }),
      ]),
    ],
  );
}

/** The factor by which the residuals are drawn longer than they are at the drawing's scale. */
function magnification({ residuals }: Registration, scale: Scale): number {
  const longest = Math.max(0, ...residuals.map((r) => r.length));
  if (longest === 0) return 1;
  return [...MAGNIFY].reverse().find((m) => longest * scale.ratio * m <= ARROW) ?? 1;
}

/** An arrow and a length at every feature; `middle`: names stand on the side of the sheet's middle where there is room. */
function residuals(
  record: MachineRecord,
  registration: Registration,
  view: View,
  { magnify, middle }: { readonly magnify: number; readonly middle: number },
): string[] {
  const features = new Map((record.survey?.features ?? []).map((f) => [f.id, f]));
  return registration.residuals.flatMap(({ id, dx, dy, length }) => {
    const feature = features.get(id);
    if (feature === undefined) return [];
    const fitted = applyTransform(registration.transform, feature.nominal);
    const [x, y] = [view.x(fitted[0]), view.y(fitted[1])];
    const end = [x + dx * view.scale * magnify, y - dy * view.scale * magnify] as const;
    const suspect = id === registration.suspect;
    const ink = suspect ? INK.metal : INK.measured;
    const anchor = x > middle ? 'end' : 'start';
    const name = `${fitText(id, 40, LETTERING.small)} ${lengthOnSheet(length, record.machine.units)}`;
    return [
      element('circle', { cx: x, cy: y, r: 1.1, ...LINE.narrow, stroke: ink, fill: INK.paper }),
      ...(length > 0 ? [arrow([x, y], end, ink)] : []),
      element('g', { stroke: 'none' }, [
        label(anchor === 'end' ? x - 2.4 : x + 2.4, y - 1.2, name + (suspect ? ' measure again' : ''), {
          anchor,
          halo: true,
          ink,
          bold: suspect,
        }),
      ]),
    ];
  });
}

function aboutFit({ model, sigmaFound, sigmaStated }: Registration, magnify: number, units: Units): string[] {
  const fit = `fit: ${model}; arrows ${magnify} times as long as the residual; lengths in ${units}`;
  const spread =
    sigmaFound === null
      ? 'no redundancy: this fit cannot check itself'
      : `standard deviation of one coordinate: ${fineLengthOnSheet(sigmaFound, units)} ${units} found, ${fineLengthOnSheet(sigmaStated, units)} stated`;
  return [fit, spread].map((text, i) => label(FRAME + 4, FRAME + 7 + i * 5, text, { ink: INK.second }));
}

function arrow([x, y]: Point, [ex, ey]: Point, ink: string): string {
  const length = Math.sqrt((ex - x) * (ex - x) + (ey - y) * (ey - y));
  if (length < 1e-6) return '';
  const [ux, uy] = [(ex - x) / length, (ey - y) / length];
  const head = Math.min(2, length);
  const [bx, by] = [ex - ux * head, ey - uy * head];
  return (
    element('path', { d: `M${num(x)} ${num(y)}L${num(bx)} ${num(by)}`, ...LINE.wide, stroke: ink }) +
    element('path', {
      d: `M${num(ex)} ${num(ey)}L${num(bx - uy * head * 0.3)} ${num(by + ux * head * 0.3)}L${num(bx + uy * head * 0.3)} ${num(by - ux * head * 0.3)}Z`,
      fill: ink,
      stroke: 'none',
    })
  );
}
