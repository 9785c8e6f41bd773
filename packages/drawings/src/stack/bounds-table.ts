import { FORCE_UNIT, forceNumber, type Units } from '@bedledger/diagnostics';
import type { Bound, Fixing, Stack } from '@bedledger/fasteners';
import { type HatchName, hatch } from '../svg/hatch.ts';
import { INK, LINE, NARROW } from '../svg/ink.ts';
import { lengthOnSheet } from '../svg/length.ts';
import { element, finite, num } from '../svg/markup.ts';
import { fitText, label } from '../svg/text.ts';

/** Right edges of the columns as shares of the table's width. */
const VALUE = 0.71;
const LIMIT = 0.83;
const MARGIN = 0.94;
const ROW = 4.1;

/** Where the table stands on the sheet. */
interface Place {
  readonly x: number;
  readonly y: number;
  readonly width: number;
}

/** How the figures of a bound are written, by their unit on the inside. */
interface Figures {
  readonly unit: (units: Units) => string;
  readonly text: (value: number, units: Units) => string;
}

const FIGURES: Readonly<Record<Bound['unit'], Figures>> = {
  mm: { unit: (units) => units, text: lengthOnSheet },
  N: { unit: (units) => FORCE_UNIT[units], text: (newton, units) => forceNumber(finite(newton), units) },
};

/** The stack's bounds as a table, what holds, by how much, and which one governs, with what each hatching stands for. */
export function stackBounds(stack: Stack, fixing: Fixing, units: Units, place: Place): string {
  const { x, y, width } = place;
  const below = y + ROW * (stack.bounds.length + 1.6);
  return (
    materials({ x, y: below + 7, width }, fixing.washer !== undefined) +
    element('path', {
      d: `M${num(x)} ${num(y + 1.3)}h${num(width)}`,
      'stroke-width': NARROW,
      stroke: INK.hairline,
    }) +
    element('g', { stroke: 'none', 'font-variant-numeric': 'tabular-nums' }, [
      label(x, y, 'bounds of this stack', { bold: true }),
      label(x + width * VALUE, y, 'value', { anchor: 'end', bold: true }),
      label(x + width * LIMIT, y, 'limit', { anchor: 'end', bold: true }),
      label(x + width * MARGIN, y, 'margin', { anchor: 'end', bold: true }),
      label(x + width, y, 'unit', { anchor: 'end', bold: true }),
      ...stack.bounds.flatMap((bound, i) => boundRow(bound, units, { x, y: y + ROW * (i + 1), width })),
      label(x, below, 'every value is the worst case: measuring error and tolerances are taken off already', {
        height: 2.2,
        ink: INK.second,
      }),
    ])
  );
}

function boundRow(bound: Bound, units: Units, { x, y, width }: Place): string[] {
  const { unit, text } = FIGURES[bound.unit];
  const cell = (right: number, words: string, ink: string = INK.ink): string =>
    label(x + right, y, words, { anchor: 'end', height: 2.3, ink });
  const title = fitText(`${bound.governs ? '▸ ' : '  '}${bound.title}`, width * 0.6, 2.3);
  return [
    label(x, y, title, { height: 2.3, bold: bound.governs }),
    cell(width * VALUE, text(bound.value, units)),
    cell(width * LIMIT, `${bound.sense === '>=' ? '≥' : '≤'} ${text(bound.limit, units)}`),
    cell(width * MARGIN, text(bound.margin, units), bound.margin < 0 ? INK.metal : INK.ink),
    cell(width, unit(units)),
  ];
}

/** What each hatching and line stands for. */
function materials({ x, y, width }: Place, washer: boolean): string {
  const kinds: readonly (readonly [HatchName, string])[] = [
    ['board', 'board'],
    ['bed', 'bed'],
    ['insert', 'insert'],
    ['adhesive', 'adhesive'],
    ...(washer ? [['washer', 'washer'] as const] : []),
  ];
  const step = width / 6;
  const out = kinds.map(
    ([name, text], i) =>
      element('rect', {
        x: x + i * step,
        y: y - 3.2,
        width: 8,
        height: 4.4,
        fill: hatch(name),
        'stroke-width': NARROW,
      }) + element('g', { stroke: 'none' }, [label(x + i * step + 9.5, y, text)]),
  );
  out.push(
    element('path', {
      d: `M${num(x + 5 * step)} ${num(y - 1)}h8`,
      ...LINE.reach,
      stroke: INK.second,
    }),
    element('g', { stroke: 'none' }, [label(x + 5 * step + 9.5, y, 'socket')]),
  );
  return element('g', { fill: 'none', stroke: INK.ink }, out);
}
