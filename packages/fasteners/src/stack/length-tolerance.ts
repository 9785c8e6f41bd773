import { catalogue } from '../catalogue/catalogue.ts';
import { mustFigure } from '../catalogue/table.ts';

let steps: readonly { over: number; upTo: number; half: number }[] | undefined;

/**
 * Half width of a screw's length, mm: js15 of ISO 4759-1 for product grade A (±0.42 from 18 to 30 mm). Inch screws
 * are given the same steps; ASME B18.2.1 and B18.3 allow less in excess and about as much short.
 * Outside the table the nearest step holds.
 */
export function lengthTolerance(length: number): number {
  steps ??= (() => {
    const table = catalogue().table('iso-4759-1-length');
    return table.rows.map((row) => ({
      over: mustFigure(table, row, 'over'),
      upTo: mustFigure(table, row, 'upTo'),
      half: mustFigure(table, row, 'tolerance') / 2,
    }));
  })();
  for (const step of steps) if (length <= step.upTo) return step.half;
  return steps.at(-1)?.half ?? 0;
}
