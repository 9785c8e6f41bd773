import { bounds, regionArea } from '@bedledger/geometry';
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { demoMachine } from '../../../../test/support/demo-fleet.ts';
import type { Zone } from '../model/machine.ts';
import { bedFeatures } from './bed-features.ts';
import { gridGrooves, gridLines } from './grooves.ts';
import { boardRegion, shapeRegion, zoneRegion } from './regions.ts';

const zone = (shape: Zone['shape'], pitch: [number, number], width: number): Zone => ({
  id: 'A',
  shape,
  grooves: { kind: 'grid', pitch, width, depth: 8 },
  ports: [],
});

describe('groove grid', () => {
  test('lines: as many as fit at the pitch, one at least, centred (derived)', () => {
    expect(gridLines(600, 50)).toEqual(Array.from({ length: 12 }, (_, i) => 25 + 50 * i));
    expect(gridLines(770, 50)[0]).toBe(35);
    expect(gridLines(30, 50)).toEqual([15]);
    expect(gridLines(100, 50, 10)).toEqual([10, 60]);
    expect(gridLines(0, 50)).toEqual([]);
    fc.assert(
      fc.property(
        fc.double({ min: 1, max: 5000, noNaN: true }),
        fc.double({ min: 5, max: 300, noNaN: true }),
        (span, pitch) => {
          const lines = gridLines(span, pitch);
          expect(lines.length).toBe(Math.max(1, Math.floor(span / pitch + 1e-9)));
          // Symmetric about the middle, equal steps.
          expect(lines[0]! + lines.at(-1)!).toBeCloseTo(span, 6);
          for (let i = 1; i < lines.length; i++) expect(lines[i]! - lines[i - 1]!).toBeCloseTo(pitch, 6);
        },
      ),
      { seed: 109 },
    );
  });

  test('the grid is closed: every groove ends at the outer wall of the outermost that crosses it', () => {
    const z = zone({ kind: 'rect', at: [50, 50], size: [550, 770] }, [50, 50], 9);
    if (z.grooves.kind !== 'grid') throw new Error('a grid was made');
    const grooves = gridGrooves(z, z.grooves);
    // 550/50 = 11 lines, first 25 inside; 770/50 = 15 lines, first 35 inside (derived).
    expect(grooves.filter((g) => g.axis === 'x')).toHaveLength(11);
    expect(grooves.filter((g) => g.axis === 'y')).toHaveLength(15);
    const box = bounds(grooves.flatMap((g) => g.region));
    expect(box).toEqual({ minX: 75 - 4.5, maxX: 575 + 4.5, minY: 85 - 4.5, maxY: 785 + 4.5 });
    for (const g of grooves) {
      const b = bounds(g.region);
      if (g.axis === 'x') expect([b.minY, b.maxY]).toEqual([box.minY, box.maxY]);
      else expect([b.minX, b.maxX]).toEqual([box.minX, box.maxX]);
    }
  });

  test('in a polygon no groove comes nearer to its outline than half a width', () => {
    const shape = {
      kind: 'polygon',
      points: [
        [0, 0],
        [600, 0],
        [600, 300],
        [300, 600],
        [0, 600],
      ],
    } as const;
    const z = zone(shape, [50, 50], 8);
    if (z.grooves.kind !== 'grid') throw new Error('a grid was made');
    const grooves = gridGrooves(z, z.grooves);
    expect(grooves.length).toBeGreaterThan(20);
    for (const g of grooves) {
      for (const { outer } of g.region) {
        for (const [x, y] of outer) {
          expect(Math.min(x, y, 600 - x, 600 - y)).toBeGreaterThanOrEqual(4 - 0.01);
          // Distance to the cut corner x + y = 900.
          expect((900 - x - y) / Math.SQRT2).toBeGreaterThanOrEqual(4 - 0.01);
        }
      }
    }
  });
});

describe('regions', () => {
  test('areas (closed forms); what is kept clear of is never smaller, what is stayed within never larger', () => {
    const circle = { kind: 'circle', at: [10, 20], diameter: 50 } as const;
    const exact = Math.PI * 625;
    expect(regionArea(shapeRegion(circle, 'circumscribed'))).toBeGreaterThanOrEqual(exact);
    expect(regionArea(shapeRegion(circle, 'inscribed'))).toBeLessThanOrEqual(exact);
    expect(regionArea(shapeRegion(circle, 'circumscribed'))).toBeLessThan(exact * 1.001);
    expect(regionArea(shapeRegion({ kind: 'rect', at: [0, 0], size: [3, 4] }, 'inscribed'))).toBeCloseTo(
      12,
      6,
    );
  });

  test('a gasket along the outline takes what two rectangles leave between them (derived)', () => {
    const machine = demoMachine('avocet').record!.machine;
    const gasket = bedFeatures(machine).find((f) => f.id === 'A/gasket')!;
    // Zone 350 x 1140, centre line 6 inside, 6 wide: from 3 to 9 inside.
    const between = 344 * 1134 - 332 * 1122;
    expect(regionArea(gasket.region)).toBeGreaterThanOrEqual(between - 1);
    expect(regionArea(gasket.region)).toBeLessThan(between * 1.001);
  });

  test('every feature of every demo bed lies on the bed, has its own name, and comes in the same order each time', () => {
    for (const id of ['heron', 'egret', 'curlew', 'plover', 'avocet']) {
      const { machine } = demoMachine(id).record!;
      const features = bedFeatures(machine);
      const again = bedFeatures(machine);
      expect(again.map((f) => f.id)).toEqual(features.map((f) => f.id));
      expect(new Set(features.map((f) => f.id)).size).toBe(features.length);
      for (const f of features) expect(regionArea(f.region), f.name).toBeGreaterThan(0);
      expect(regionArea(boardRegion(machine))).toBeCloseTo(machine.board.size[0] * machine.board.size[1], 3);
      for (const z of machine.bed.zones) expect(regionArea(zoneRegion(z))).toBeGreaterThan(0);
    }
  });
});
