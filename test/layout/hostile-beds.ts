import type { LayoutRules, MachineRecord, Shape, Survey, Zone } from '@bedledger/fleet';
import { type Point, seededRandom } from '@bedledger/geometry';
import { bare, demoRecord, withMachine } from '../support/demo-records.ts';
import { type AwkwardBed, awkwardBed, between, chance, measured, type Random } from './awkward-beds.ts';

type Grooves = Zone['grooves'];
type Size = readonly [number, number];

/** What is odd about a bed; one bed has several. */
const SIZES = ['tiny', 'strip', 'bench', 'sheet', 'square'] as const;
const ZONES = ['none', 'round', 'u-shaped', 'l-shaped', 'channels', 'grid', 'plenum', 'islands'] as const;

function oneOf<T>(random: Random, list: readonly T[]): T {
  return list[Math.floor(random() * list.length)] as T;
}

/**
 * A bed made to break a layout: boards of a hand's width and strips, round, U- and L-shaped zones, islands of land
 * between channels, a bed like a sieve, a travel that ends far inside the board, a survey turned and skewed more than
 * any bed is built, pitches hardly wider than two sites may stand apart, an edge rule beyond half the pitch, beds that
 * are their own mirror image. The same bed from the same seed.
 */
export function hostileBed(seed: number): AwkwardBed {
  const random = seededRandom(seed * 104_729 + 3);
  for (let k = 0; k < 5; k++) random();
  const base = bare(demoRecord(chance(random, 0.35) ? 'egret' : 'heron'));
  const m = base.machine;
  const [width, depth] = sizeOf(random);
  const mirror = chance(random, 0.25);
  const at: Point = mirror ? [0, 0] : [between(random, -12, 5), between(random, -12, 5)];
  const zones = zonesOf(random, at, [width, depth], mirror);
  const rim = chance(random, 0.2) ? between(random, -30, 0) : between(random, 0, 40);
  const outline: Shape = {
    kind: 'rect',
    at: [at[0] - rim, at[1] - rim],
    size: [width + 2 * rim, depth + 2 * rim],
  };
  const record = withMachine(
    { ...base, survey: mirror ? null : surveyOf(random, width, depth) },
    {
      travel: { ...m.travel, ...travelOf(random, at, [width, depth], mirror) },
      bed: {
        ...m.bed,
        outline,
        zones,
        holes: mirror ? [] : holesOf(random, at, [width, depth]),
        slots: [],
        keepOuts: mirror ? [] : keepOutsOf(random, at, [width, depth]),
      },
      datum: { ...m.datum, mark: [0, 0], second: [Math.max(60, width - 20), 0] },
      board: { ...m.board, at, size: [width, depth] },
      park: [at[0] + width / 2, at[1] + depth],
      fixing: { ...m.fixing, nudges: [], layout: rulesOf(random, width, depth) },
    },
  );
  return { seed, record, small: width * depth < 7e5 };
}

/** Every bed of a row of numbers: the awkward ones by even, the hostile ones by odd number. */
export function anyBed(number: number): AwkwardBed {
  return number % 2 === 0 ? awkwardBed(number / 2) : hostileBed((number - 1) / 2);
}

function sizeOf(random: Random): Size {
  const turned = chance(random, 0.5);
  const [a, b] = ((): Size => {
    switch (oneOf(random, SIZES)) {
      case 'tiny':
        return [between(random, 60, 260), between(random, 60, 260)];
      case 'strip':
        return [between(random, 70, 180), between(random, 600, 2600)];
      case 'bench':
        return [between(random, 300, 700), between(random, 300, 900)];
      case 'sheet':
        return [between(random, 1100, 1600), between(random, 2000, 3200)];
      case 'square':
        return [600, 600];
    }
  })();
  return turned ? [b, a] : [a, b];
}

function rulesOf(random: Random, width: number, depth: number): LayoutRules {
  const longest = Math.max(width, depth);
  const tight = chance(random, 0.15) && longest < 900;
  const pitchMax = tight ? between(random, 30, 70) : between(random, Math.max(60, longest / 9), 560);
  const least = chance(random, 0.1) ? between(random, 0, 12) : between(random, 18, 60);
  const most = chance(random, 0.25)
    ? between(random, pitchMax / 2, pitchMax)
    : least + between(random, 0, 60);
  return {
    pattern: 'aligned',
    pitchMax: chance(random, 0.1) ? null : pitchMax,
    edge: [least, Math.max(least, most)],
    nudgeMax: chance(random, 0.2) ? 0 : between(random, 0, 60),
    sites: [],
  };
}

function zonesOf(random: Random, at: Point, size: Size, mirror: boolean): Zone[] {
  const rim = between(random, 12, 60);
  const [w, d] = [size[0] - 2 * rim, size[1] - 2 * rim];
  if (w < 40 || d < 40) return [];
  const kind = mirror ? oneOf(random, ['none', 'grid', 'plenum'] as const) : oneOf(random, ZONES);
  if (kind === 'none') return [];
  const nx = mirror ? 2 : 1 + Math.floor((random() * size[0]) / 500);
  const ny = mirror ? 2 : 1 + Math.floor((random() * size[1]) / 500);
  const divider = between(random, 14, 50);
  const [zw, zd] = [(w - (nx - 1) * divider) / nx, (d - (ny - 1) * divider) / ny];
  if (zw < 10 || zd < 10) return [];
  const pitch = between(random, 30, 120);
  const width = between(random, 5, 12);
  const zones: Zone[] = [];
  for (let i = 0; i < nx; i++) {
    for (let j = 0; j < ny; j++) {
      const corner: Point = [at[0] + rim + i * (zw + divider), at[1] + rim + j * (zd + divider)];
      zones.push({
        id: `Z${zones.length + 1}`,
        shape: zoneShape(random, kind, corner, [zw, zd]),
        grooves: groovesOf(random, kind, corner, [zw, zd], pitch, width),
        ports: mirror
          ? []
          : [{ at: [corner[0] + 0.4 * zw, corner[1] + 0.3 * zd], diameter: between(random, 15, 60) }],
      });
    }
  }
  return zones;
}

function zoneShape(random: Random, kind: (typeof ZONES)[number], [x, y]: Point, [w, d]: Size): Shape {
  if (kind === 'round') {
    const n = 9 + Math.floor(random() * 20);
    return {
      kind: 'polygon',
      points: Array.from({ length: n }, (_, i): Point => {
        const t = (2 * Math.PI * i) / n;
        return [x + (w / 2) * (1 + Math.cos(t)), y + (d / 2) * (1 + Math.sin(t))];
      }),
    };
  }
  const cx = w * between(random, 0.35, 0.65);
  const cy = d * between(random, 0.35, 0.65);
  if (kind === 'l-shaped')
    return {
      kind: 'polygon',
      points: [
        [x, y],
        [x + w, y],
        [x + w, y + cy],
        [x + cx, y + cy],
        [x + cx, y + d],
        [x, y + d],
      ],
    };
  if (kind === 'u-shaped') {
    const leg = w * between(random, 0.2, 0.4);
    return {
      kind: 'polygon',
      points: [
        [x, y],
        [x + w, y],
        [x + w, y + d],
        [x + w - leg, y + d],
        [x + w - leg, y + cy],
        [x + leg, y + cy],
        [x + leg, y + d],
        [x, y + d],
      ],
    };
  }
  return { kind: 'rect', at: [x, y], size: [w, d] };
}

function groovesOf(
  random: Random,
  kind: (typeof ZONES)[number],
  [x, y]: Point,
  [w, d]: Size,
  pitch: number,
  width: number,
): Grooves {
  if (kind === 'plenum') return { kind: 'none' };
  if (kind === 'channels') {
    const n = 1 + Math.floor(random() * 6);
    return {
      kind: 'channels',
      channels: Array.from({ length: n }, () => ({
        points: Array.from(
          { length: 3 },
          (): Point => [x + w * between(random, 0.1, 0.9), y + d * between(random, 0.1, 0.9)],
        ),
        width: between(random, 6, 30),
        depth: 8,
      })),
    };
  }
  // Rings of wide channels leave islands of land.
  if (kind === 'islands') {
    return {
      kind: 'channels',
      channels: [0.12, 0.27].map((f) => ({
        points: [
          [x + f * w, y + f * d],
          [x + w - f * w, y + f * d],
          [x + w - f * w, y + d - f * d],
          [x + f * w, y + d - f * d],
          [x + f * w, y + f * d],
        ] as Point[],
        width: Math.min(w, d) * 0.1,
        depth: 8,
      })),
    };
  }
  return { kind: 'grid', pitch: [pitch, pitch], width, depth: 8 };
}

function holesOf(random: Random, at: Point, size: Size): MachineRecord['machine']['bed']['holes'] {
  const n = chance(random, 0.3) ? 20 + Math.floor(random() * 100) : 0;
  return Array.from({ length: n }, (_, i) => ({
    id: `old-${i + 1}`,
    at: [at[0] + random() * size[0], at[1] + random() * size[1]] as const,
    diameter: between(random, 4, 16),
  }));
}

function keepOutsOf(random: Random, at: Point, size: Size): MachineRecord['machine']['bed']['keepOuts'] {
  const n = chance(random, 0.4) ? 1 + Math.floor(random() * 3) : 0;
  return Array.from({ length: n }, (_, i) => ({
    id: `stop-${i + 1}`,
    shape: {
      kind: 'circle',
      at: [at[0] + random() * size[0], at[1] + random() * size[1]],
      diameter: between(random, 0.05, 0.5) * Math.min(...size),
    },
    height: null,
    metal: false,
  }));
}

function travelOf(
  random: Random,
  at: Point,
  size: Size,
  mirror: boolean,
): { x: [number, number]; y: [number, number] } {
  const over = (k: 0 | 1): number =>
    mirror || chance(random, 0.8) ? 20 : -between(random, 0, 0.35) * (size[k] as number);
  return {
    x: [at[0] - over(0), at[0] + size[0] + over(0)],
    y: [at[1] - over(1), at[1] + size[1] + over(1)],
  };
}

function surveyOf(random: Random, width: number, depth: number): Survey | null {
  if (chance(random, 0.6)) return null;
  const turn = between(random, -0.02, 0.02);
  const skew = between(random, -0.0018, 0.0018);
  const shift: Point = [between(random, -8, 8), between(random, -8, 8)];
  const spots: Point[] = [
    [0.1 * width, 0.1 * depth],
    [0.9 * width, 0.1 * depth],
    [0.1 * width, 0.9 * depth],
    [0.9 * width, 0.9 * depth],
    [width / 2, depth / 2],
    [width / 2, 0.1 * depth],
  ];
  return measured(random, spots, turn, skew, shift);
}
