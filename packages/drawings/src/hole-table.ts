import type { WorkPlan } from '@bedledger/bedwork';
import { HOLE_COLUMNS } from '@bedledger/fleet';
import { fixed } from './svg/markup.ts';

/**
 * `holes.csv`: one row a site in the order of the layout, columns of `HOLE_COLUMNS`; millimetres to 0.001,
 * positions in the program's frame, heights above the bed. RFC 4180 with LF line ends.
 */
export function holeTable(plan: WorkPlan): string {
  const rows = [HOLE_COLUMNS.join(',')];
  for (const site of plan.layout.sites) {
    const stack = plan.stacks.get(site.id);
    const cell = (value: number | undefined): string => (value === undefined ? '' : fixed(value, 3));
    rows.push(
      [
        site.id,
        site.state,
        cell(site.nominal[0]),
        cell(site.nominal[1]),
        cell(site.actual[0]),
        cell(site.actual[1]),
        cell(stack?.pocketDiameter),
        cell(stack?.web),
        cell(stack?.clearanceDiameter),
        cell(stack?.refitDiameter),
        cell(stack?.handDrill.diameter),
        cell(stack?.handDrill.depth),
        cell(stack?.screwLength),
        cell(stack?.web),
        cell(stack?.cover),
      ].join(','),
    );
  }
  return `${rows.join('\n')}\n`;
}
