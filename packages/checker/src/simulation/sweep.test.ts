import { describe, expect, it } from 'vitest';
import type { CutterShape } from './cutter-shape.ts';
import { flatShape } from './cutter-shape.ts';
import { HeightField, UNITS } from './height-field.ts';
import { layeredSurface } from './layered-surface.ts';
import { sweepLine } from './sweep.ts';

const TOP = 20;
const board = layeredSurface([
  {
    region: [
      {
        outer: [
          [0, 0],
          [60, 0],
          [60, 60],
          [0, 60],
        ],
        holes: [],
      },
    ],
    height: TOP,
  },
]);
const field = (cell: number): HeightField =>
  new HeightField({ minX: 0, minY: 0, maxX: 60, maxY: 60 }, cell, board);
const cone = (radius: number, slope: number): CutterShape => ({
  form: 'cone',
  radius,
  slope,
  pointLength: slope * radius,
});
const ball = (radius: number): CutterShape => ({ form: 'ball', radius, slope: 0, pointLength: radius });

/** Volume that a set of lines removes. */
function volume(shape: CutterShape, cell: number, lines: readonly number[][]): number {
  const f = field(cell);
  let sum = 0;
  for (const l of lines) sum += sweepLine(f, shape, l[0]!, l[1]!, l[2]!, l[3]!, l[4]!, l[5]!);
  return sum;
}

describe('volumes of swept shapes against closed forms', () => {
  it('a plunge is a cylinder: π r² h', () => {
    const v = volume(flatShape(10), 0.1, [[30, 30, 25, 30, 30, 12]]);
    expect(Math.abs(v / (Math.PI * 25 * 8) - 1)).toBeLessThan(0.003);
  });

  it('a level slot is a capsule: (2 r L + π r²) h, in any direction', () => {
    const expected = (2 * 3 * 30 + Math.PI * 9) * 5;
    for (const angle of [0, 0.3, Math.PI / 4, 1.2, Math.PI / 2]) {
      const dx = 15 * Math.cos(angle);
      const dy = 15 * Math.sin(angle);
      const v = volume(flatShape(6), 0.1, [[30 - dx, 30 - dy, 15, 30 + dx, 30 + dy, 15]]);
      expect(Math.abs(v / expected - 1), `angle ${angle}`).toBeLessThan(0.003);
    }
  });

  it('a drill point leaves a cone and a cylinder: π r² (h − p) + π r² p / 3, p = r / tan(59°) for 118°', () => {
    const r = 5;
    const slope = 1 / Math.tan((59 * Math.PI) / 180);
    const p = slope * r; // 0.30043·D, as handbooks tabulate
    expect(p).toBeCloseTo(0.30043 * 10, 4);
    const v = volume(cone(r, slope), 0.1, [[30, 30, 25, 30, 30, 12]]);
    expect(Math.abs(v / (Math.PI * r * r * (8 - p) + (Math.PI * r * r * p) / 3) - 1)).toBeLessThan(0.004);
  });

  it('a ball leaves a hemisphere and a cylinder: π r² (h − r) + 2/3 π r³', () => {
    const v = volume(ball(4), 0.1, [[30, 30, 25, 30, 30, 12]]);
    expect(Math.abs(v / (Math.PI * 16 * (8 - 4) + (2 / 3) * Math.PI * 64) - 1)).toBeLessThan(0.004);
  });

  it('a v-point groove is a triangle along its length, with half a cone at either end', () => {
    // 90°: slope 1; depth 3: cross-section 9, end caps together one cone π·3²·3/3
    const v = volume(cone(6, 1), 0.1, [[15, 30, 17, 45, 30, 17]]);
    expect(Math.abs(v / (9 * 30 + Math.PI * 9) - 1)).toBeLessThan(0.004);
  });

  it('a ball groove of depth r is a half disc along its length, with a hemisphere at its ends', () => {
    const v = volume(ball(3), 0.1, [[15, 30, 17, 45, 30, 17]]);
    expect(Math.abs(v / (((Math.PI * 9) / 2) * 30 + (2 / 3) * Math.PI * 27) - 1)).toBeLessThan(0.004);
  });

  it('a ramp lies under a level slot at its end and over one at its middle: the same volume as many short ramps', () => {
    const whole = volume(flatShape(6), 0.1, [[15, 30, 20, 45, 30, 14]]);
    const pieces: number[][] = [];
    for (let k = 0; k < 60; k++)
      pieces.push([15 + k / 2, 30, 20 - k / 10, 15 + (k + 1) / 2, 30, 20 - (k + 1) / 10]);
    expect(Math.abs(volume(flatShape(6), 0.1, pieces) / whole - 1)).toBeLessThan(0.003);
    // derived: at distance x behind the end the flat end has last covered a point r further on; the slot's mean depth is
    // that of its middle plus the lead of the front half disc
    expect(whole).toBeGreaterThan(6 * 30 * 3);
    expect(whole).toBeLessThan((6 * 30 + Math.PI * 9) * 6);
  });

  it('ramps of pointed and round cutters agree with the same ramp in a thousand level steps', () => {
    for (const shape of [cone(5, 0.6), cone(5, 0.2), ball(4)]) {
      const whole = volume(shape, 0.2, [[20, 25, 20, 42, 33, 15]]);
      const steps: number[][] = [];
      for (let k = 0; k <= 1000; k++) {
        const f = k / 1000;
        const at = [20 + 22 * f, 25 + 8 * f, 20 - 5 * f];
        steps.push([...at, ...at]);
      }
      expect(Math.abs(volume(shape, 0.2, steps) / whole - 1), shape.form).toBeLessThan(0.004);
    }
  });

  it('a full circle of chords leaves a ring: 4 π R r h', () => {
    const lines: number[][] = [];
    for (let k = 0; k < 360; k++) {
      const a = (k * Math.PI) / 180;
      const b = ((k + 1) * Math.PI) / 180;
      lines.push([
        30 + 10 * Math.cos(a),
        30 + 10 * Math.sin(a),
        16,
        30 + 10 * Math.cos(b),
        30 + 10 * Math.sin(b),
        16,
      ]);
    }
    expect(Math.abs(volume(flatShape(6), 0.1, lines) / (4 * Math.PI * 10 * 3 * 4) - 1)).toBeLessThan(0.003);
  });

  it('cutting the same again removes nothing', () => {
    const f = field(0.2);
    expect(sweepLine(f, flatShape(6), 20, 20, 15, 40, 30, 15)).toBeGreaterThan(0);
    expect(sweepLine(f, flatShape(6), 20, 20, 15, 40, 30, 15)).toBe(0);
    expect(sweepLine(f, flatShape(6), 20, 20, 15.5, 40, 30, 15.5)).toBe(0);
  });

  it('nothing is removed off the board, and heights are whole tenths of a micrometre', () => {
    const f = field(0.5);
    expect(sweepLine(f, flatShape(6), -50, -50, 0, -20, -20, 0)).toBe(0);
    sweepLine(f, flatShape(6), 30, 30, 12.34567, 30, 30, 12.34567);
    expect(f.heightAt(60, 60)).toBe(Math.round(12.34567 * UNITS));
  });

  it('cells that the profile stands above are passed over, and nothing else: a tower aside, which widens what is looked at, changes no volume', () => {
    const corner = (x: number, y: number): [number, number][] => [
      [x, y],
      [x + 1, y],
      [x + 1, y + 1],
      [x, y + 1],
    ];
    const surface = (height: number) =>
      layeredSurface([
        { region: [{ outer: [[0, 0], [60, 0], [60, 50], [0, 50]], holes: [] }], height: TOP }, // biome-ignore format: one line
        { region: [{ outer: corner(0, 58), holes: [] }], height },
      ]);
    const box = { minX: 0, minY: 0, maxX: 60, maxY: 60 };
    for (const shape of [cone(6, 1), cone(5, 0.2), ball(4), flatShape(8)]) {
      const [plain, towered] = [TOP, TOP + 100].map((height) => new HeightField(box, 0.2, surface(height)));
      // A circle of ramps over a pocket that was cut before, down to a plunge: chords that overlap, below and above the tip.
      for (const f of [plain, towered]) sweepLine(f!, flatShape(12), 30, 25, 5, 33, 26, 5);
      let from: readonly [number, number] = [30 + 9, 25];
      let z = 21;
      for (let k = 1; k <= 40; k++) {
        const at = [30 + 9 * Math.cos(k / 5), 25 + 9 * Math.sin(k / 5)] as const;
        const low = z - 0.1;
        const [a, b] = [plain, towered].map((f) =>
          sweepLine(f!, shape, from[0], from[1], z, at[0], at[1], low),
        );
        expect(a, `${shape.form} ${k}`).toBe(b);
        from = at;
        z = low;
      }
      expect(sweepLine(plain!, shape, 50, 12, 25, 50, 12, 17)).toBe(
        sweepLine(towered!, shape, 50, 12, 25, 50, 12, 17),
      );
    }
  });

  it('one and the same cut is the same in every quarter turn', () => {
    const at = (x: number, y: number): number[] => [30 + x, 30 + y];
    const turns = [
      [at(-10, -4), at(12, 7)],
      [at(4, -10), at(-7, 12)],
      [at(10, 4), at(-12, -7)],
      [at(-4, 10), at(7, -12)],
    ].map(([a, b]) => volume(flatShape(6), 0.25, [[a![0]!, a![1]!, 15, b![0]!, b![1]!, 15]]));
    for (const v of turns) expect(Math.abs(v / turns[0]! - 1)).toBeLessThan(0.003);
  });
});
