import type { Fixing, Stack } from '@bedledger/fasteners';
import type { Bed } from '@bedledger/fleet';
import { hatch } from '../svg/hatch.ts';
import { INK, LINE } from '../svg/ink.ts';
import { element, num } from '../svg/markup.ts';
import { label } from '../svg/text.ts';

/** A section on the sheet: what of bed and board is shown, and where distances from the axis and heights above the bed come to lie. */
export interface SectionView {
  /** Of the board, mm. */
  readonly thickness: number;
  /** How far bed and board are shown on either side of the axis, mm. */
  readonly half: number;
  readonly bed: Bed;
  /** Height to which the driving socket is shown, mm. */
  readonly socketTop: number;
  readonly x: (mm: number) => number;
  readonly z: (mm: number) => number;
}

/** A place in the section: distance from the axis, height above the bed; mm. */
type Spot = readonly [x: number, z: number];

/** Path data in the section's millimetres. */
class Outline {
  readonly #view: SectionView;
  constructor(view: SectionView) {
    this.#view = view;
  }

  /** Straight lines through the spots; a line that keeps its X or its Z is written as such. */
  open(...spots: readonly Spot[]): string {
    const { x, z } = this.#view;
    return spots
      .map(([px, pz], i) => {
        const before = spots[i - 1];
        if (before === undefined) return `M${num(x(px))} ${num(z(pz))}`;
        if (pz === before[1]) return `H${num(x(px))}`;
        if (px === before[0]) return `V${num(z(pz))}`;
        return `L${num(x(px))} ${num(z(pz))}`;
      })
      .join('');
  }

  closed(...spots: readonly Spot[]): string {
    return `${this.open(...spots)}Z`;
  }

  /** A rectangle between two opposite corners. */
  rect([x0, z0]: Spot, [x1, z1]: Spot): string {
    return this.closed([x0, z0], [x1, z0], [x1, z1], [x0, z1]);
  }

  /** The same on both sides of the axis. */
  both([x0, z0]: Spot, [x1, z1]: Spot): string {
    return this.rect([x0, z0], [x1, z1]) + this.rect([-x0, z0], [-x1, z1]);
  }
}

function solid(d: string, fill: string, stroke: string = INK.ink): string {
  return element('path', { d, fill, stroke, ...LINE.wide, 'fill-rule': 'evenodd' });
}

/** Everything along a site's axis, from the bed up to the driving socket. */
export function stackSection(fixing: Fixing, stack: Stack, view: SectionView): string[] {
  const outline = new Outline(view);
  return [
    ...bedSection(stack, view, outline),
    ...insertSection(fixing, stack, outline),
    ...boardSection(stack, view, outline),
    ...washerSection(fixing, stack, outline),
    ...screwSection(fixing, stack, outline),
    ...socketAndAxis(fixing, stack, view, outline),
    element('g', { stroke: 'none' }, [
      name('board', (stack.web + view.thickness) / 2 - 0.4, view),
      name('bed', -view.bed.thickness * 0.62, view),
    ]),
  ];
}

function name(text: string, z: number, view: SectionView): string {
  return label(view.x(view.half) - 1.5, view.z(z), text, { anchor: 'end', halo: true });
}

/** What the hand drill's point leaves below the bore's full diameter. */
function drillPoint({ handDrill }: Stack): readonly Spot[] {
  const radius = handDrill.diameter / 2;
  return [
    [-radius, -handDrill.depth],
    [radius, -handDrill.depth],
    [0, -handDrill.tipDepth],
  ];
}

/** The bed either side of the bore and below it; the broken outer edges are left open. */
function bedSection(stack: Stack, { half, bed }: SectionView, outline: Outline): string[] {
  const { depth, tipDepth, diameter } = stack.handDrill;
  const radius = diameter / 2;
  const surface = outline.open(
    [-half, 0],
    [-radius, 0],
    [-radius, -depth],
    [0, -tipDepth],
    [radius, -depth],
    [radius, 0],
    [half, 0],
  );
  const underside = outline.open([-half, -bed.thickness], [half, -bed.thickness]);
  return [
    solid(
      outline.both([radius, 0], [half, -depth]) +
        outline.closed(...drillPoint(stack)) +
        outline.rect([-half, -depth], [half, -bed.thickness]),
      hatch('bed'),
      'none',
    ),
    element('path', { d: surface + underside, ...LINE.wide }),
  ];
}

/** Insert, and the adhesive around and below it. */
function insertSection(fixing: Fixing, stack: Stack, outline: Outline): string[] {
  const bore = stack.handDrill.diameter / 2;
  const outside = fixing.insert.outside.value / 2;
  const thread = fixing.screw.thread.majorDiameter / 2;
  const end = -fixing.insert.length.value;
  return [
    solid(
      outline.both([outside, 0], [bore, end]) +
        outline.rect([-bore, end], [bore, -stack.handDrill.depth]) +
        outline.closed(...drillPoint(stack)),
      hatch('adhesive'),
      'none',
    ),
    solid(outline.both([thread, 0], [outside, end]), hatch('insert'), INK.metal),
  ];
}

/** The board: pocket above the web, clearance hole through it; the broken outer edges are left open. */
function boardSection(stack: Stack, { half, thickness }: SectionView, outline: Outline): string[] {
  const hole = stack.clearanceDiameter / 2;
  const pocket = stack.pocketDiameter / 2;
  const { web, countersink } = stack;
  const sides = [-1, 1].map((side): readonly Spot[] => [
    [side * half, 0],
    [side * hole, 0],
    ...(countersink === undefined
      ? [[side * hole, web] as const]
      : [[side * hole, web - countersink.depth] as const, [(side * countersink.diameter) / 2, web] as const]),
    [side * pocket, web],
    [side * pocket, thickness],
    [side * half, thickness],
  ]);
  return [
    solid(sides.map((side) => outline.closed(...side)).join(''), hatch('board'), 'none'),
    ...sides.map((side) => element('path', { d: outline.open(...side), ...LINE.wide })),
  ];
}

function washerSection({ washer }: Fixing, { web }: Stack, outline: Outline): string[] {
  if (washer === undefined) return [];
  const [inside, outside] = [washer.inside.value / 2, washer.outside.value / 2];
  return [solid(outline.both([inside, web], [outside, web + washer.thickness.value]), hatch('washer'))];
}

/** Height of the head's underside, or of the washer's top under it. */
function headBase({ washer }: Fixing, { web }: Stack): number {
  return web + (washer?.thickness.value ?? 0);
}

/** The screw is not sectioned along its axis (ISO 128-3); its thread is shown after ISO 6410-1. */
function screwSection(fixing: Fixing, stack: Stack, outline: Outline): string[] {
  const { screw } = fixing;
  const thread = screw.thread.majorDiameter / 2;
  const head = screw.headDiameter.value / 2;
  const base = headBase(fixing, stack);
  const end = -stack.endDepth;
  // A countersunk screw is measured over all, so its top follows from its end.
  const sunkTop = end + stack.screwLength;
  const sunkBase = sunkTop - screw.headHeight.value;
  const minor = thread - 0.61 * screw.thread.pitch;
  const threadFrom = Math.min(base, 0);
  return [
    ...(screw.countersunk
      ? [
          solid(
            outline.closed(
              [-head, sunkTop],
              [head, sunkTop],
              [thread, sunkBase],
              [thread, end],
              [-thread, end],
              [-thread, sunkBase],
            ),
            INK.paper,
          ),
        ]
      : [
          solid(outline.rect([-thread, base], [thread, end]), INK.paper),
          solid(outline.rect([-head, base + screw.headHeight.value], [head, base]), INK.paper),
        ]),
    element('path', {
      d: outline.open([-minor, threadFrom], [-minor, end]) + outline.open([minor, threadFrom], [minor, end]),
      ...LINE.narrow,
    }),
  ];
}

function socketAndAxis(fixing: Fixing, stack: Stack, view: SectionView, outline: Outline): string[] {
  const radius = fixing.socket.outside.value / 2;
  const base = headBase(fixing, stack);
  return [
    element('path', {
      d:
        outline.open([-radius, view.socketTop], [-radius, base]) +
        outline.open([radius, view.socketTop], [radius, base]),
      ...LINE.reach,
      stroke: INK.second,
    }),
    element('path', {
      d: `M${num(view.x(0))} ${num(view.z(view.socketTop) - 2)}V${num(view.z(-view.bed.thickness) + 2)}`,
      ...LINE.axis,
    }),
  ];
}
