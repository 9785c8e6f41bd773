import type { WorkPlan } from '@bedledger/bedwork';
import { tableNumber } from '@bedledger/diagnostics';
import { holeColumns } from '@bedledger/fleet';
import { finite } from './svg/markup.ts';

/**
 * `holes.csv`: one row a site in the order of the layout, under a header that names the machine's unit; lengths to
 * 0.001 mm or 0.00001 in, positions in the program's frame, heights above the bed; the last cell tells the one site that
 * holds the board. RFC 4180 with LF line ends.
 */
export function holeTable(plan: WorkPlan): string {
  const { units } = plan.record.machine;
  const cell = (mm: number | undefined): string => (mm === undefined ? '' : tableNumber(finite(mm), units));
  const rows = [holeColumns(units).join(',')];
  for (const site of plan.layout.sites) {
    const stack = plan.stacks.get(site.id);
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
        plan.work.hold.site === site.id ? 'held' : 'floats',
      ].join(','),
    );
  }
  return `${rows.join('\n')}\n`;
}
