import type { WorkPlan } from '@bedledger/bedwork';
import { INK, LETTERING, NARROW } from '../svg/ink.ts';
import { lengthOnSheet } from '../svg/length.ts';
import { element, num } from '../svg/markup.ts';
import { label } from '../svg/text.ts';
import { stateWord } from './site-glyph.ts';

export const TABLE_WIDTH = 104;
const ROW = 3.9;

/** Column: head, right edge from the table's left, cell. */
type Column = readonly [head: string, right: number, cell: (row: number) => string];

/** Sites as a table at `x`,`y`; as many rows as fit into `room`, and a line that says where the rest is. */
export function siteTable(
  plan: WorkPlan,
  x: number,
  y: number,
  room: number,
): { svg: string; bottom: number } {
  const { sites } = plan.layout;
  const { units } = plan.record.machine;
  const stackOf = (row: number) => plan.stacks.get((sites[row] as { id: string }).id);
  const length = (value: number | undefined): string =>
    value === undefined ? '–' : lengthOnSheet(value, units);
  const columns: readonly Column[] = [
    ['site', 9, (r) => sites[r]?.id ?? ''],
    ['X', 24, (r) => length(sites[r]?.actual[0])],
    ['Y', 39, (r) => length(sites[r]?.actual[1])],
    ['pocket ⌀', 56, (r) => length(stackOf(r)?.pocketDiameter)],
    ['floor', 67, (r) => length(stackOf(r)?.web)],
    ['hole ⌀', 80, (r) => length(stackOf(r)?.clearanceDiameter)],
    ['cover', 91, (r) => length(stackOf(r)?.cover)],
    ['state', TABLE_WIDTH, (r) => stateWord(sites[r]?.state ?? 'none')],
  ];
  const most = Math.max(1, Math.floor((room - 2 * ROW) / ROW));
  const shown = sites.length <= most ? sites.length : most - 1;
  const parts: string[] = [
    label(x, y, `sites, ${units}; X Y as surveyed, floor above the bed`, { ink: INK.second }),
  ];
  const head = y + ROW * 1.2;
  for (const [name, right] of columns)
    parts.push(label(x + right, head, name, { anchor: 'end', bold: true, height: 2.2 }));
  const lines = [`M${num(x)} ${num(head + 1.2)}h${TABLE_WIDTH}`];
  for (let row = 0; row < shown; row++) {
    const base = head + ROW * (row + 1);
    for (const [, right, cell] of columns)
      parts.push(label(x + right, base, cell(row), { anchor: 'end', height: LETTERING.small * 0.92 }));
    if (row % 5 === 4) lines.push(`M${num(x)} ${num(base + 1.1)}h${TABLE_WIDTH}`);
  }
  let bottom = head + ROW * shown + 1.2;
  if (shown < sites.length) {
    bottom += ROW;
    parts.push(
      label(x, bottom, `and ${sites.length - shown} more: holes.csv has them all`, { ink: INK.second }),
    );
  }
  return {
    svg:
      element('path', { d: lines.join(''), 'stroke-width': NARROW, stroke: INK.hairline }) +
      element('g', { stroke: 'none', 'font-variant-numeric': 'tabular-nums' }, parts),
    bottom,
  };
}
