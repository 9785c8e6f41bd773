import type { Units } from '@bedledger/diagnostics';
import type { Fixing, Stack } from '@bedledger/fasteners';
import { dimension } from '../svg/dimension.ts';
import { INK, LINE } from '../svg/ink.ts';
import { lengthOnSheet } from '../svg/length.ts';
import { element, num } from '../svg/markup.ts';
import { label } from '../svg/text.ts';
import type { SectionView } from './section.ts';

/** A height or depth: what it is called, between which heights above the bed, and how far out its dimension line runs, sheet mm. */
interface Height {
  readonly name: string;
  readonly from: number;
  readonly to: number;
  /** What is written, mm: a worst case may differ from what is drawn. */
  readonly value: number;
  readonly side: 'left' | 'right';
  readonly out: number;
}

function heightsOf(fixing: Fixing, stack: Stack, { thickness, bed }: SectionView): readonly Height[] {
  const { handDrill, endDepth } = stack;
  return [
    { name: 'web', from: 0, to: stack.web, value: stack.web, side: 'right', out: 7 },
    { name: 'cover', from: stack.headTop, to: thickness, value: stack.cover, side: 'right', out: 7 },
    { name: 'board', from: 0, to: thickness, value: thickness, side: 'right', out: 36 },
    {
      name: 'bed left',
      from: -handDrill.tipDepth,
      to: -bed.thickness,
      value: bed.thickness - handDrill.tipDepth,
      side: 'right',
      out: 7,
    },
    { name: 'screw end', from: 0, to: -endDepth, value: endDepth, side: 'right', out: 7 },
    { name: 'bore', from: 0, to: -handDrill.depth, value: handDrill.depth, side: 'left', out: 7 },
    {
      name: 'insert',
      from: 0,
      to: -fixing.insert.length.value,
      value: fixing.insert.length.value,
      side: 'left',
      out: 15,
    },
    {
      name: 'screw',
      from: stack.screwLength - endDepth,
      to: -endDepth,
      value: stack.screwLength,
      side: 'left',
      out: 22,
    },
  ];
}

/** Every height and diameter of the stack, and how deep the machine itself may go. */
export function stackDimensions(fixing: Fixing, stack: Stack, view: SectionView, units: Units): string[] {
  return [
    ...heightsOf(fixing, stack, view).map((height) => heightDimension(height, view, units)),
    ...diameters(stack, view, units),
    cutLimit(view),
    element('g', { stroke: 'none' }, [
      label(
        view.x(view.half) - 1,
        view.z(-view.bed.cutLimit) + 3,
        `cut limit ${lengthOnSheet(view.bed.cutLimit, units)} ${units}`,
        { anchor: 'end', halo: true, ink: INK.metal },
      ),
      label(
        view.x(0),
        view.z(0.5 * stack.web) + 1,
        `⌀${lengthOnSheet(stack.clearanceDiameter, units)} hole`,
        { anchor: 'middle', halo: true },
      ),
    ]),
  ];
}

function heightDimension(
  { name, from, to, value, side, out }: Height,
  view: SectionView,
  units: Units,
): string {
  const right = side === 'right';
  const edge = view.x(right ? view.half : -view.half);
  return dimension({
    kind: 'vertical',
    from: [edge, view.z(from)],
    to: [edge, view.z(to)],
    at: right ? edge + out : edge - out,
    text: `${name} ${lengthOnSheet(value, units)}`,
  });
}

function diameters({ pocketDiameter, handDrill }: Stack, view: SectionView, units: Units): string[] {
  const across = (diameter: number, z: number, at: number, name: string): string =>
    dimension({
      kind: 'horizontal',
      from: [view.x(-diameter / 2), view.z(z)],
      to: [view.x(diameter / 2), view.z(z)],
      at,
      text: `⌀${lengthOnSheet(diameter, units)} ${name}`,
    });
  return [
    across(pocketDiameter, view.thickness, view.z(view.thickness) - 9, 'pocket'),
    across(handDrill.diameter, -handDrill.depth, view.z(-view.bed.thickness) + 7, 'bore'),
  ];
}

/** How deep the machine itself may go; the rest of the bore is drilled by hand. */
function cutLimit({ x, z, half, bed }: SectionView): string {
  return element('path', {
    d: `M${num(x(-half))} ${num(z(-bed.cutLimit))}H${num(x(half))}`,
    ...LINE.reach,
    stroke: INK.metal,
  });
}
