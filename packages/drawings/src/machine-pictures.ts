import type { WorkPlan } from '@bedledger/bedwork';
import { bedDrawing } from './bed/bed-drawing.ts';
import { heightDrawing } from './heights/height-drawing.ts';
import { stackDrawing } from './stack/stack-drawing.ts';
import { surfaceDrawing } from './surface/surface-drawing.ts';

/** One drawing of a machine's issued set. */
export interface MachinePicture {
  /** File name beside the run sheet. */
  readonly file: string;
  readonly svg: string;
  readonly caption: string;
}

/** Every drawing that a machine's issued set has, in the order in which the run sheet shows them. */
export function machinePictures(plan: WorkPlan): MachinePicture[] {
  const pictures: MachinePicture[] = [
    { file: 'bed.svg', svg: bedDrawing(plan), caption: 'The bed from above, as surveyed' },
    { file: 'stack.svg', svg: stackDrawing(plan), caption: 'Section through the tightest site' },
  ];
  const surface = surfaceDrawing(plan);
  if (surface !== null) {
    const heights = heightDrawing(plan);
    if (heights !== null)
      pictures.push({
        file: 'heights.svg',
        svg: heights,
        caption: 'Heights of the board’s top, and what the skim takes off',
      });
    pictures.push({
      file: 'surface.svg',
      svg: surface,
      caption: 'Where the surfacing cutter runs, and what it does not reach',
    });
  }
  return pictures;
}
