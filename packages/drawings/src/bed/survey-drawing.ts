import type { MachineRecord } from '@bedledger/fleet';
import { applyTransform, type Registration } from '@bedledger/geometry';
import { lengthFormat } from '../format-length.ts';
import { hatchDefs } from '../svg/hatch.ts';
import { INK, LETTERING, LINE } from '../svg/ink.ts';
import { element, num } from '../svg/markup.ts';
import { FRAME, fitScale, sheet, sheetSizes, TITLE_HEIGHT } from '../svg/sheet.ts';
import { fitText, label } from '../svg/text.ts';
import { View } from '../svg/view.ts';
import { titleBlockOf } from '../title-fields.ts';
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
  const size = sheetSizes(machine.units)[0] as ReturnType<typeof sheetSizes>[number];
  const box = machineBox(machine, registration.transform);
  const roomX = size.width - 2 * FRAME - 24;
  const roomY = size.height - 2 * FRAME - TITLE_HEIGHT - 40;
  const scale = fitScale(box.maxX - box.minX, box.maxY - box.minY, roomX, roomY);
  const left = (size.width - (box.maxX - box.minX) * scale.ratio) / 2;
  const view = new View(box, scale.ratio, left, FRAME + 24 + (box.maxY - box.minY) * scale.ratio);
  const longest = Math.max(0, ...registration.residuals.map((r) => r.length));
  const magnify =
    longest === 0 ? 1 : ([...MAGNIFY].reverse().find((m) => longest * scale.ratio * m <= ARROW) ?? 1);
  const { plain, fine, unit } = lengthFormat(machine.units);
  const body = backdrop(machine, registration.transform, view, 'edges');
  const features = new Map((record.survey?.features ?? []).map((f) => [f.id, f]));
  for (const { id, dx, dy, length } of registration.residuals) {
    const feature = features.get(id);
    if (feature === undefined) continue;
    const fitted = applyTransform(registration.transform, feature.nominal);
    const [x, y] = [view.x(fitted[0]), view.y(fitted[1])];
    const [ex, ey] = [x + dx * scale.ratio * magnify, y - dy * scale.ratio * magnify];
    const suspect = id === registration.suspect;
    const ink = suspect ? INK.metal : INK.measured;
    body.push(element('circle', { cx: x, cy: y, r: 1.1, ...LINE.narrow, stroke: ink, fill: INK.paper }));
    if (length > 0) body.push(arrow(x, y, ex, ey, ink));
    const anchor = x > size.width / 2 ? 'end' : 'start';
    const at = anchor === 'end' ? x - 2.4 : x + 2.4;
    body.push(
      element('g', { stroke: 'none' }, [
        label(
          at,
          y - 1.2,
          `${fitText(id, 40, LETTERING.small)} ${plain(length)}${suspect ? ' measure again' : ''}`,
          { anchor, halo: true, ink, bold: suspect },
        ),
      ]),
    );
  }
  body.push(
    element('g', { stroke: 'none' }, [
      label(
        FRAME + 4,
        FRAME + 7,
        `fit: ${registration.model}; arrows ${magnify} times as long as the residual; lengths in ${unit}`,
        { ink: INK.second },
      ),
      label(
        FRAME + 4,
        FRAME + 12,
        registration.sigmaFound === null
          ? 'no redundancy: this fit cannot check itself'
          : `standard deviation of one coordinate: ${fine(registration.sigmaFound)} ${unit} found, ${fine(registration.sigmaStated)} stated`,
        { ink: INK.second },
      ),
      label(size.width / 2, view.y(box.minY) + 8, "operator's side", { anchor: 'middle' }),
    ]),
  );
  return sheet(
    size,
    titleBlockOf(record, 'survey', {
      subtitle: 'residuals of the survey',
      status: 'for review',
      scale,
      size,
    }),
    `Residuals of the survey of ${machine.title}`,
    hatchDefs(['keepOut']),
    body,
  );
}

function arrow(x: number, y: number, ex: number, ey: number, ink: string): string {
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
