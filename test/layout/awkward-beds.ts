import type { LayoutRules, MachineRecord, Shape, Survey, Zone } from '@bedledger/fleet';
import { type Point, seededRandom } from '@bedledger/geometry';
import { bare, demoRecord, withMachine } from '../support/demo-records.ts';

/** A bed that nobody would draw on purpose, and how it was made. */
export interface AwkwardBed {
  readonly seed: number;
  readonly record: MachineRecord;
  /** Small enough for the reference solver to close the cover over dense candidates. */
  readonly small: boolean;
}

export type Random = () => number;
type Grooves = Zone['grooves'];

/** A number between two limits. */
export function between(random: Random, least: number, most: number): number {
  return least + random() * (most - least);
}

/** A whole number of `step` between two limits. */
function stepped(random: Random, least: number, most: number, step: number): number {
  return Math.round(between(random, least, most) / step) * step;
}

export function chance(random: Random, share: number): boolean {
  return random() < share;
}

/**
 * An awkward bed from a seed, the same one every time: any size from a bench to 5 × 10 ft, up to ten zones of which some
 * are L-shaped, old holes, keep-outs in the way, a travel that ends inside the board, a survey with turn, skew and
 * shift, millimetres or inches, and layout rules that fit badly.
 */
export function awkwardBed(seed: number): AwkwardBed {
  const random = seededRandom(seed * 7919 + 11);
  for (let k = 0; k < 5; k++) random();
  const inch = chance(random, 0.35);
  const base = bare(demoRecord(inch ? 'egret' : 'heron'));
  const unit = inch ? 25.4 / 4 : 5;
  const small = chance(random, 0.5);
  const width = small ? stepped(random, 380, 800, unit) : stepped(random, 800, 1540, unit);
  const depth = small ? stepped(random, 420, 950, unit) : stepped(random, 900, 3060, unit);
  const at: Point = [stepped(random, -12, 5, unit / 5), stepped(random, -12, 5, unit / 5)];
  const rules = layoutRules(random, Math.max(width, depth), unit);
  const zones = zonesOf(random, at, [width, depth], small, unit);
  const rim = stepped(random, 5, 40, unit);
  const m = base.machine;
  const record = withMachine(
    { ...base, survey: surveyOf(random, width, depth) },
    {
      travel: { ...m.travel, ...travelOf(random, at, [width, depth]) },
      bed: {
        ...m.bed,
        outline: outlineOf(random, at, [width, depth], rim),
        zones,
        holes: holesOf(random, at, [width, depth]),
        slots: chance(random, 0.2)
          ? [
              {
                id: 'old-slot',
                from: [at[0] + 0.2 * width, at[1] + 0.5 * depth],
                to: [at[0] + 0.6 * width, at[1] + 0.55 * depth],
                width: 12,
              },
            ]
          : [],
        keepOuts: keepOutsOf(random, at, [width, depth]),
      },
      datum: { ...m.datum, mark: [0, 0], second: [width - 20, 0] },
      board: { ...m.board, at, size: [width, depth] },
      park: [at[0] + width / 2, at[1] + depth],
      fixing: { ...m.fixing, nudges: [], layout: rules },
    },
  );
  return { seed, record, small };
}

function layoutRules(random: Random, longest: number, unit: number): LayoutRules {
  const pitchMax = stepped(random, Math.max(140, longest / 9), 520, unit);
  const least = stepped(random, 18, 45, unit / 5);
  // Now and then the edge rule and the pitch contradict each other.
  const most = chance(random, 0.12)
    ? stepped(random, pitchMax / 2, pitchMax * 0.8, unit)
    : least + stepped(random, 5, 70, unit);
  return {
    pattern: 'aligned',
    pitchMax: chance(random, 0.1) ? null : pitchMax,
    edge: [least, Math.max(least, most)],
    nudgeMax: stepped(random, 2, 32, unit / 5),
    sites: [],
  };
}

function zonesOf(random: Random, at: Point, size: Point, small: boolean, unit: number): Zone[] {
  const columns = small ? 1 + Math.floor(random() * 2) : 1 + Math.floor(random() * 2.4);
  const rows = small ? 1 + Math.floor(random() * 2) : 1 + Math.floor(random() * 5);
  if (chance(random, 0.08)) return [];
  const rim = stepped(random, 30, 75, unit);
  const divider = stepped(random, 20, 50, unit);
  const w = (size[0] - 2 * rim - (columns - 1) * divider) / columns;
  const d = (size[1] - 2 * rim - (rows - 1) * divider) / rows;
  // No profile has a zone without an extent.
  if (w < 10 || d < 10) return [];
  const grooves = (): Grooves => {
    const pick = random();
    if (pick < 0.15) return { kind: 'none' };
    const pitch = stepped(random, 40, 110, unit);
    return {
      kind: 'grid',
      pitch: [pitch, chance(random, 0.7) ? pitch : stepped(random, 40, 110, unit)],
      width: between(random, 6, 10),
      depth: 8,
    };
  };
  const same = chance(random, 0.5) ? grooves() : null;
  const zones: Zone[] = [];
  for (let i = 0; i < columns; i++) {
    for (let j = 0; j < rows; j++) {
      const corner: Point = [at[0] + rim + i * (w + divider), at[1] + rim + j * (d + divider)];
      zones.push({
        id: String.fromCharCode(65 + zones.length),
        shape: chance(random, 0.2)
          ? lShape(random, corner, [w, d])
          : { kind: 'rect', at: corner, size: [w, d] },
        grooves: same ?? grooves(),
        ports: chance(random, 0.8)
          ? [{ at: [corner[0] + 0.3 * w, corner[1] + 0.3 * d], diameter: between(random, 25, 55) }]
          : [],
      });
    }
  }
  return zones;
}

/** A rectangle with one quarter or less cut out of its back right corner. */
function lShape(random: Random, [x, y]: Point, [w, d]: Point): Shape {
  const cx = x + w * between(random, 0.5, 0.75);
  const cy = y + d * between(random, 0.5, 0.75);
  return {
    kind: 'polygon',
    points: [
      [x, y],
      [x + w, y],
      [x + w, cy],
      [cx, cy],
      [cx, y + d],
      [x, y + d],
    ],
  };
}

function outlineOf(random: Random, at: Point, size: Point, rim: number): Shape {
  const [x0, y0] = [at[0] - rim, at[1] - rim];
  const [x1, y1] = [at[0] + size[0] + rim, at[1] + size[1] + rim];
  if (chance(random, 0.8)) return { kind: 'rect', at: [x0, y0], size: [x1 - x0, y1 - y0] };
  const cut = between(random, 30, 90);
  return {
    kind: 'polygon',
    points: [
      [x0, y0],
      [x1, y0],
      [x1, y1 - cut],
      [x1 - cut, y1],
      [x0, y1],
    ],
  };
}

function holesOf(random: Random, at: Point, size: Point): MachineRecord['machine']['bed']['holes'] {
  const n = chance(random, 0.5) ? Math.floor(random() * 12) : 0;
  return Array.from({ length: n }, (_, i) => ({
    id: `old-${i + 1}`,
    at: [at[0] + random() * size[0], at[1] + random() * size[1]] as const,
    diameter: between(random, 5, 14),
  }));
}

function keepOutsOf(random: Random, at: Point, size: Point): MachineRecord['machine']['bed']['keepOuts'] {
  const n = chance(random, 0.5) ? 1 + Math.floor(random() * 2) : 0;
  return Array.from({ length: n }, (_, i) => {
    const p: Point = [at[0] + random() * size[0], at[1] + random() * size[1]];
    const shape: Shape = chance(random, 0.5)
      ? { kind: 'circle', at: p, diameter: between(random, 30, 140) }
      : { kind: 'rect', at: p, size: [between(random, 20, 160), between(random, 20, 160)] };
    return { id: `stop-${i + 1}`, shape, height: null, metal: false };
  });
}

/** Usually beyond the board, sometimes up to 120 mm short of one side of it. */
function travelOf(random: Random, at: Point, size: Point): { x: [number, number]; y: [number, number] } {
  const over = (): number => (chance(random, 0.85) ? between(random, 5, 60) : -between(random, 5, 120));
  return {
    x: [at[0] - over(), at[0] + size[0] + over()],
    y: [at[1] - over(), at[1] + size[1] + over()],
  };
}

function surveyOf(random: Random, width: number, depth: number): Survey | null {
  if (chance(random, 0.5)) return null;
  const turn = between(random, -0.007, 0.007);
  const skew = chance(random, 0.5) ? between(random, -0.0018, 0.0018) : 0;
  const shift: Point = [between(random, -4, 4), between(random, -4, 4)];
  const spots: Point[] = [
    [60, 60],
    [width - 60, 60],
    [60, depth - 60],
    [width - 60, depth - 60],
    [width / 2, depth / 2],
    [width / 2, 60],
  ];
  return measured(random, spots, turn, skew, shift);
}

/** A survey of spots on a bed that lies turned, skewed (radians) and shifted (mm), each measured to 0.12 mm. */
export function measured(
  random: Random,
  spots: readonly Point[],
  turn: number,
  skew: number,
  shift: Point,
): Survey {
  const noise = (): number => between(random, -0.12, 0.12);
  return {
    file: 'survey.csv',
    features: spots.map(([x, y], i) => ({
      id: `mark-${i + 1}`,
      nominal: [x, y],
      measured: [x - turn * y + skew * y + shift[0] + noise(), y + turn * x + shift[1] + noise()],
    })),
  };
}

/** The bed with another pattern. */
export function withPattern(record: MachineRecord, pattern: LayoutRules['pattern']): MachineRecord {
  const { fixing } = record.machine;
  return withMachine(record, { fixing: { ...fixing, layout: { ...fixing.layout, pattern } } });
}

/** The same bed with everything that is a list written in another order. */
export function shuffled(record: MachineRecord): MachineRecord {
  const { bed } = record.machine;
  return withMachine(record, {
    bed: {
      ...bed,
      zones: [...bed.zones].reverse(),
      holes: [...bed.holes].reverse(),
      keepOuts: [...bed.keepOuts].reverse(),
    },
  });
}
