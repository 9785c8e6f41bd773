import type { WorkPlan } from '@bedledger/bedwork';
import type { Fixing, Stack } from '@bedledger/fasteners';
import { lengthFormat } from '../format-length.ts';
import { dimension } from '../svg/dimension.ts';
import { type HatchName, hatch, hatchDefs } from '../svg/hatch.ts';
import { INK, LETTERING, LINE, NARROW } from '../svg/ink.ts';
import { element, num } from '../svg/markup.ts';
import { FRAME, fitScale, sheet, sheetSizes, TITLE_HEIGHT } from '../svg/sheet.ts';
import { fitText, label } from '../svg/text.ts';
import { lastFactDate, statusWord } from '../title-fields.ts';

/** Board and bed shown to this far on either side of the axis, as a multiple of the pocket's radius. */
const BREADTH = 2.1;

/**
 * Section through one site on its axis: bed, bore, adhesive, insert, screw, board, pocket and the driving socket, with every height
 * and the bounds that the stack obeys. The site shown is the one with the least margin of the bound that governs.
 */
export function stackDrawing(plan: WorkPlan): string {
  const { machine } = plan.record;
  const shown = tightestSite(plan);
  const size = sheetSizes(machine.units)[0] as typeof sheetSizes extends (u: never) => (infer S)[]
    ? S
    : never;
  const fields = {
    title: machine.title,
    number: `${machine.id}-stack`,
    revision: plan.record.revision,
    date: lastFactDate(plan.record),
    sheet: '1 of 1',
    status: statusWord(plan),
    units: machine.units,
  };
  if (shown === null) {
    return sheet(size, { ...fields, subtitle: 'no site', scale: '–' }, `No site on ${machine.title}`, '', [
      element('g', { stroke: 'none' }, [
        label(FRAME + 8, FRAME + 14, 'this machine has no site yet', { height: LETTERING.normal }),
      ]),
    ]);
  }
  const { id, stack } = shown;
  const { fixing } = plan.record;
  const thickness = plan.record.state.board?.thickness ?? plan.record.stock.thickness;
  const half = Math.max((stack.pocketDiameter / 2) * BREADTH, stack.handDrill.diameter * 1.8);
  const socketTop = thickness + Math.max(6, thickness * 0.4);
  const roomX = size.width - 2 * FRAME - 60;
  const roomY = size.height - 2 * FRAME - TITLE_HEIGHT - 118;
  const scale = fitScale(2 * half, machine.bed.thickness + socketTop, roomX, roomY);
  const cx = FRAME + 26 + half * scale.ratio;
  const zero = FRAME + 12 + socketTop * scale.ratio;
  const X = (x: number): number => cx + x * scale.ratio;
  const Z = (z: number): number => zero - z * scale.ratio;

  const body = [
    ...section(fixing, stack, { thickness, half, bedThickness: machine.bed.thickness, socketTop, X, Z }),
    ...heights(plan, stack, thickness, half, X, Z),
    bounds(plan, stack, FRAME + 6, Z(-machine.bed.thickness) + 14, size.width - 2 * FRAME - 12),
  ];
  return sheet(
    size,
    { ...fields, subtitle: `section at ${id}, ${fixing.title}`, scale: `${scale.text} ${size.name}` },
    `Section through site ${id} of ${machine.title}`,
    hatchDefs(['bed', 'board', 'insert', 'washer', 'adhesive']),
    body,
  );
}

function tightestSite(plan: WorkPlan): { id: string; stack: Stack } | null {
  let best: { id: string; stack: Stack; margin: number } | null = null;
  for (const site of plan.layout.sites) {
    const stack = plan.stacks.get(site.id);
    if (stack === undefined) continue;
    const margin = Math.min(
      ...stack.bounds.filter((b) => b.governs).map((b) => b.margin),
      Number.POSITIVE_INFINITY,
    );
    if (best === null || margin < best.margin) best = { id: site.id, stack, margin };
  }
  return best;
}

interface Section {
  readonly thickness: number;
  readonly half: number;
  readonly bedThickness: number;
  readonly socketTop: number;
  readonly X: (x: number) => number;
  readonly Z: (z: number) => number;
}

function section(fixing: Fixing, stack: Stack, s: Section): string[] {
  const { X, Z } = s;
  const boreRadius = stack.handDrill.diameter / 2;
  const insertRadius = fixing.insert.outside.value / 2;
  const threadRadius = fixing.screw.thread.majorDiameter / 2;
  const holeRadius = stack.clearanceDiameter / 2;
  const pocketRadius = stack.pocketDiameter / 2;
  const headRadius = fixing.screw.headDiameter.value / 2;
  const washer = fixing.washer?.thickness.value ?? 0;
  const headBase = stack.web + washer;
  const end = -stack.endDepth;
  // A countersunk screw is measured over all, so its top follows from its end.
  const sunkTop = end + stack.screwLength;
  const sink = stack.countersink;
  const rect = (x0: number, z0: number, x1: number, z1: number): string =>
    `M${num(X(x0))} ${num(Z(z0))}H${num(X(x1))}V${num(Z(z1))}H${num(X(x0))}Z`;
  const both = (x0: number, z0: number, x1: number, z1: number): string =>
    rect(x0, z0, x1, z1) + rect(-x0, z0, -x1, z1);
  const out: string[] = [];
  const solid = (d: string, fill: string, stroke: string = INK.ink): void => {
    out.push(element('path', { d, fill, stroke, ...LINE.wide, 'fill-rule': 'evenodd' }));
  };
  // What the hand drill's point leaves below the bore's full diameter.
  const cone = `M${num(X(-boreRadius))} ${num(Z(-stack.handDrill.depth))}H${num(X(boreRadius))}L${num(X(0))} ${num(Z(-stack.handDrill.tipDepth))}Z`;
  // The bed either side of the bore and below it; the broken outer edges are left open.
  solid(
    both(boreRadius, 0, s.half, -stack.handDrill.depth) +
      cone +
      rect(-s.half, -stack.handDrill.depth, s.half, -s.bedThickness),
    hatch('bed'),
    'none',
  );
  out.push(
    element('path', {
      d: `M${num(X(-s.half))} ${num(Z(0))}H${num(X(-boreRadius))}V${num(Z(-stack.handDrill.depth))}L${num(X(0))} ${num(Z(-stack.handDrill.tipDepth))}L${num(X(boreRadius))} ${num(Z(-stack.handDrill.depth))}V${num(Z(0))}H${num(X(s.half))}M${num(X(-s.half))} ${num(Z(-s.bedThickness))}H${num(X(s.half))}`,
      ...LINE.wide,
    }),
  );
  const insertEnd = -fixing.insert.length.value;
  solid(
    both(insertRadius, 0, boreRadius, insertEnd) +
      rect(-boreRadius, insertEnd, boreRadius, -stack.handDrill.depth) +
      cone,
    hatch('adhesive'),
    'none',
  );
  solid(both(threadRadius, 0, insertRadius, insertEnd), hatch('insert'), INK.metal);
  // The board: pocket above the web, clearance hole through it.
  const coneEdge = (side: number): string =>
    sink === undefined
      ? `V${num(Z(stack.web))}`
      : `V${num(Z(stack.web - sink.depth))}L${num(X((side * sink.diameter) / 2))} ${num(Z(stack.web))}`;
  solid(
    [-1, 1]
      .map(
        (side) =>
          `M${num(X(side * s.half))} ${num(Z(0))}H${num(X(side * holeRadius))}${coneEdge(side)}H${num(X(side * pocketRadius))}V${num(Z(s.thickness))}H${num(X(side * s.half))}Z`,
      )
      .join(''),
    hatch('board'),
    'none',
  );
  for (const side of [-1, 1]) {
    out.push(
      element('path', {
        d: `M${num(X(side * s.half))} ${num(Z(0))}H${num(X(side * holeRadius))}${coneEdge(side)}H${num(X(side * pocketRadius))}V${num(Z(s.thickness))}H${num(X(side * s.half))}`,
        ...LINE.wide,
      }),
    );
  }
  if (fixing.washer !== undefined) {
    solid(
      both(fixing.washer.inside.value / 2, stack.web, fixing.washer.outside.value / 2, stack.web + washer),
      hatch('washer'),
    );
  }
  // The screw is not sectioned along its axis (ISO 128-3); its thread is shown after ISO 6410-1.
  const headTop = headBase + fixing.screw.headHeight.value;
  if (fixing.screw.countersunk) {
    solid(
      `M${num(X(-headRadius))} ${num(Z(sunkTop))}H${num(X(headRadius))}L${num(X(threadRadius))} ${num(Z(sunkTop - fixing.screw.headHeight.value))}V${num(Z(end))}H${num(X(-threadRadius))}V${num(Z(sunkTop - fixing.screw.headHeight.value))}Z`,
      INK.paper,
    );
  } else {
    solid(rect(-threadRadius, headBase, threadRadius, end), INK.paper);
    solid(rect(-headRadius, headTop, headRadius, headBase), INK.paper);
  }
  const minor = threadRadius - 0.61 * fixing.screw.thread.pitch;
  const threadFrom = Math.min(headBase, 0);
  out.push(
    element('path', {
      d: `M${num(X(-minor))} ${num(Z(threadFrom))}V${num(Z(end))}M${num(X(minor))} ${num(Z(threadFrom))}V${num(Z(end))}`,
      ...LINE.narrow,
    }),
  );
  const socketRadius = fixing.socket.outside.value / 2;
  out.push(
    element('path', {
      d: `M${num(X(-socketRadius))} ${num(Z(s.socketTop))}V${num(Z(headBase))}M${num(X(socketRadius))} ${num(Z(s.socketTop))}V${num(Z(headBase))}`,
      ...LINE.reach,
      stroke: INK.second,
    }),
  );
  out.push(
    element('path', {
      d: `M${num(X(0))} ${num(Z(s.socketTop) - 2)}V${num(Z(-s.bedThickness) + 2)}`,
      ...LINE.axis,
    }),
  );
  const names: readonly (readonly [number, number, string])[] = [
    [s.half, (stack.web + s.thickness) / 2 - 0.4, 'board'],
    [s.half, -s.bedThickness * 0.62, 'bed'],
  ];
  out.push(
    element(
      'g',
      { stroke: 'none' },
      names.map(([x, z, text]) => label(X(x) - 1.5, Z(z), text, { anchor: 'end', halo: true })),
    ),
  );
  return out;
}

function heights(
  plan: WorkPlan,
  stack: Stack,
  thickness: number,
  half: number,
  X: (x: number) => number,
  Z: (z: number) => number,
): string[] {
  const { bed } = plan.record.machine;
  const { plain, unit } = lengthFormat(plan.record.machine.units);
  const { fixing } = plan.record;
  const out: string[] = [];
  const right = X(half);
  const left = X(-half);
  const vertical = (side: 'left' | 'right', from: number, to: number, step: number, text: string): void => {
    const edge = side === 'right' ? right : left;
    out.push(
      dimension(
        'vertical',
        [edge, Z(from)],
        [edge, Z(to)],
        side === 'right' ? right + step : left - step,
        text,
      ),
    );
  };
  vertical('right', 0, stack.web, 7, `web ${plain(stack.web)}`);
  vertical('right', stack.headTop, thickness, 7, `cover ${plain(stack.cover)}`);
  vertical('right', 0, thickness, 36, `board ${plain(thickness)}`);
  vertical(
    'right',
    -stack.handDrill.tipDepth,
    -bed.thickness,
    7,
    `bed left ${plain(bed.thickness - stack.handDrill.tipDepth)}`,
  );
  vertical('right', 0, -stack.endDepth, 20, `screw end ${plain(stack.endDepth)}`);
  vertical('left', 0, -stack.handDrill.depth, 7, `bore ${plain(stack.handDrill.depth)}`);
  vertical('left', 0, -fixing.insert.length.value, 15, `insert ${plain(fixing.insert.length.value)}`);
  vertical(
    'left',
    stack.screwLength - stack.endDepth,
    -stack.endDepth,
    22,
    `screw ${plain(stack.screwLength)}`,
  );
  const top = Z(thickness) - 9;
  out.push(
    dimension(
      'horizontal',
      [X(-stack.pocketDiameter / 2), Z(thickness)],
      [X(stack.pocketDiameter / 2), Z(thickness)],
      top,
      `⌀${plain(stack.pocketDiameter)} pocket`,
    ),
    dimension(
      'horizontal',
      [X(-stack.handDrill.diameter / 2), Z(-stack.handDrill.depth)],
      [X(stack.handDrill.diameter / 2), Z(-stack.handDrill.depth)],
      Z(-bed.thickness) + 7,
      `⌀${plain(stack.handDrill.diameter)} bore`,
    ),
  );
  // How deep the machine itself may go; the rest of the bore is drilled by hand.
  out.push(
    element('path', {
      d: `M${num(left)} ${num(Z(-bed.cutLimit))}H${num(right)}`,
      ...LINE.reach,
      stroke: INK.metal,
    }),
  );
  out.push(
    element('g', { stroke: 'none' }, [
      label(right - 1, Z(-bed.cutLimit) + 3, `cut limit ${plain(bed.cutLimit)} ${unit}`, {
        anchor: 'end',
        halo: true,
        ink: INK.metal,
      }),
      label(X(0), Z(0.5 * stack.web) + 1, `⌀${plain(stack.clearanceDiameter)} hole`, {
        anchor: 'middle',
        halo: true,
      }),
    ]),
  );
  return out;
}

/** Right edges of the columns as shares of the table's width. */
const VALUE = 0.71;
const LIMIT = 0.83;
const MARGIN = 0.94;

/** The stack's bounds as a table: what holds, by how much, and which one governs. */
function bounds(plan: WorkPlan, stack: Stack, x: number, y: number, width: number): string {
  const { unit } = lengthFormat(plan.record.machine.units);
  const parts: string[] = [
    label(x, y, 'bounds of this stack', { bold: true }),
    label(x + width * VALUE, y, 'value', { anchor: 'end', bold: true }),
    label(x + width * LIMIT, y, 'limit', { anchor: 'end', bold: true }),
    label(x + width * MARGIN, y, 'margin', { anchor: 'end', bold: true }),
    label(x + width, y, 'unit', { anchor: 'end', bold: true }),
  ];
  const row = 4.1;
  const asShown = (value: number, of: string): string =>
    of === 'mm' && unit === 'in' ? lengthFormat('in').plain(value) : value.toFixed(2);
  const lines = [`M${num(x)} ${num(y + 1.3)}h${num(width)}`];
  stack.bounds.forEach((bound, i) => {
    const base = y + row * (i + 1);
    parts.push(
      label(x, base, fitText(`${bound.governs ? '▸ ' : '  '}${bound.title}`, width * 0.6, 2.3), {
        height: 2.3,
        bold: bound.governs,
      }),
      label(x + width * VALUE, base, asShown(bound.value, bound.unit), { anchor: 'end', height: 2.3 }),
      label(
        x + width * LIMIT,
        base,
        `${bound.sense === '>=' ? '≥' : '≤'} ${asShown(bound.limit, bound.unit)}`,
        { anchor: 'end', height: 2.3 },
      ),
      label(x + width * MARGIN, base, asShown(bound.margin, bound.unit), {
        anchor: 'end',
        height: 2.3,
        ink: bound.margin < 0 ? INK.metal : INK.ink,
      }),
      label(x + width, base, bound.unit === 'mm' ? unit : bound.unit, { anchor: 'end', height: 2.3 }),
    );
  });
  const below = y + row * (stack.bounds.length + 1.6);
  parts.push(
    label(x, below, 'every value is the worst case: measuring error and tolerances are taken off already', {
      height: 2.2,
      ink: INK.second,
    }),
  );
  return (
    materials(x, below + 7, width, plan.record.fixing.washer !== undefined) +
    element('path', { d: lines.join(''), 'stroke-width': NARROW, stroke: INK.hairline }) +
    element('g', { stroke: 'none', 'font-variant-numeric': 'tabular-nums' }, parts)
  );
}

/** What each hatching and line stands for. */
function materials(x: number, y: number, width: number, washer: boolean): string {
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
