import { intersection, offset, rectangleRing, regionFromRing } from '@bedledger/geometry';
import fc from 'fast-check';
import Coordinate from 'jsts/org/locationtech/jts/geom/Coordinate.js';
import GeometryFactory from 'jsts/org/locationtech/jts/geom/GeometryFactory.js';
import BufferOp from 'jsts/org/locationtech/jts/operation/buffer/BufferOp.js';
import OverlayOp from 'jsts/org/locationtech/jts/operation/overlay/OverlayOp.js';
import { describe, expect, test } from 'vitest';
import { proveCoverage } from './coverage.ts';
import { chainLength, planPath, RING_STEP_MOST, type SurfacingRules, splitChains } from './path.ts';

const factory = new GeometryFactory();

/** Area of the board that no disc along the pieces covers, by another library's buffer and overlay. */
function leftByOther(
  rules: SurfacingRules,
  pieces: readonly { readonly points: readonly (readonly number[])[] }[],
): number {
  const { board } = rules;
  const ring = [
    [board.minX, board.minY],
    [board.maxX, board.minY],
    [board.maxX, board.maxY],
    [board.minX, board.maxY],
    [board.minX, board.minY],
  ].map(([x, y]) => new Coordinate(x, y));
  let left = factory.createPolygon(factory.createLinearRing(ring), []);
  for (const piece of pieces) {
    const line = factory.createLineString(piece.points.map(([x, y]) => new Coordinate(x, y)));
    const swept = BufferOp.bufferOp(line, rules.radius, 96);
    left = OverlayOp.overlayOp(left, swept, OverlayOp.DIFFERENCE);
  }
  return left.getArea();
}

const RULES: SurfacingRules = {
  board: { minX: 0, minY: 0, maxX: 1219.2, maxY: 2438.4 },
  reach: { x: [-100, 1400], y: [-100, 2600] },
  radius: 31.5,
  stepover: 38,
  overrun: 5,
  rows: 'y',
  style: 'serpentine',
  perimeterPass: false,
};
const region = (rules: SurfacingRules) =>
  regionFromRing(
    rectangleRing(
      [rules.board.minX, rules.board.minY],
      [rules.board.maxX - rules.board.minX, rules.board.maxY - rules.board.minY],
    ),
  );
const pieces = (rules: SurfacingRules, every = 20_000) => splitChains(planPath(rules).chains, every);

describe('coverage', () => {
  test.each([
    ['serpentine rows along y', {}],
    ['rows along x', { rows: 'x' }],
    ['one way, climb', { style: 'one-way-climb', stepover: 30 }],
    ['one way, conventional', { style: 'one-way-conventional', rows: 'x', stepover: 30 }],
    ['inward', { style: 'inward' }],
    ['no overrun at all', { overrun: 0 }],
    ['stepover of the whole diameter less a little', { stepover: 62.9 }],
    ['perimeter pass', { perimeterPass: true }],
    ['a board narrower than the cutter', { board: { minX: 0, minY: 0, maxX: 40, maxY: 900 } }],
    ['a board smaller than the cutter', { board: { minX: 10, minY: 10, maxX: 50, maxY: 60 } }],
    ['a board two rows wide', { board: { minX: 0, minY: 0, maxX: 80, maxY: 300 } }],
  ] as const)('%s: nothing left, by two libraries', (_, over) => {
    const rules = { ...RULES, ...over } as SurfacingRules;
    const cut = pieces(rules);
    expect(proveCoverage(region(rules), cut, rules.radius).covered).toBe(true);
    // The other library's arcs are chords of 1/96 of a quarter: it may miss slivers of that size.
    expect(leftByOther(rules, cut)).toBeLessThan(1);
  });

  test('rows that stop at their plain overrun leave the triangles owners complain of, and the proof sees them', () => {
    const path = planPath(RULES);
    const short = path.chains.map((c) => ({
      ...c,
      points: c.points.map(([x, y]) => [x, Math.min(Math.max(y, 31.5), 2438.4 - 31.5)] as const),
    }));
    const cut = splitChains(short, 1e9);
    const proof = proveCoverage(region(RULES), cut, RULES.radius);
    expect(proof.covered).toBe(false);
    expect(Math.abs(proof.leftArea - leftByOther(RULES, cut))).toBeLessThan(0.02 * proof.leftArea);
  });

  test('any board, cutter and style: covered, and never beyond reach', () => {
    fc.assert(
      fc.property(
        fc.record({
          w: fc.integer({ min: 30, max: 1500 }),
          h: fc.integer({ min: 30, max: 1500 }),
          radius: fc.double({ min: 8, max: 50, noNaN: true }),
          share: fc.double({ min: 0.3, max: 0.95, noNaN: true }),
          overrun: fc.double({ min: 0, max: 20, noNaN: true }),
          rows: fc.constantFrom('x' as const, 'y' as const),
          style: fc.constantFrom('serpentine', 'one-way-climb', 'one-way-conventional', 'inward' as const),
          every: fc.integer({ min: 200, max: 40_000 }),
        }),
        (c) => {
          const rules: SurfacingRules = {
            board: { minX: 0, minY: 0, maxX: c.w, maxY: c.h },
            reach: { x: [0, c.w], y: [0, c.h] },
            radius: c.radius,
            stepover: 2 * c.radius * c.share,
            overrun: c.overrun,
            rows: c.rows,
            style: c.style as SurfacingRules['style'],
            perimeterPass: false,
          };
          const cut = pieces(rules, c.every);
          const proof = proveCoverage(region(rules), cut, rules.radius);
          expect(proof.covered, `${proof.leftArea} mm²`).toBe(true);
          for (const piece of cut) {
            for (const [x, y] of piece.points) {
              expect(x).toBeGreaterThanOrEqual(-1e-9);
              expect(x).toBeLessThanOrEqual(c.w + 1e-9);
              expect(y).toBeGreaterThanOrEqual(-1e-9);
              expect(y).toBeLessThanOrEqual(c.h + 1e-9);
            }
          }
        },
      ),
      { numRuns: 150, seed: 19 },
    );
  });

  test('whatever the travel: all that the rim can reach is cut', () => {
    fc.assert(
      fc.property(
        fc.record({
          left: fc.integer({ min: -60, max: 80 }),
          right: fc.integer({ min: -60, max: 80 }),
          front: fc.integer({ min: -60, max: 80 }),
          back: fc.integer({ min: -60, max: 80 }),
          rows: fc.constantFrom('x' as const, 'y' as const),
          style: fc.constantFrom('serpentine', 'one-way-climb', 'inward' as const),
          every: fc.integer({ min: 300, max: 40_000 }),
        }),
        (c) => {
          const rules: SurfacingRules = {
            ...RULES,
            board: { minX: 0, minY: 0, maxX: 600, maxY: 700 },
            reach: { x: [c.left, 600 - c.right], y: [c.front, 700 - c.back] },
            rows: c.rows,
            style: c.style as SurfacingRules['style'],
          };
          const proof = proveCoverage(region(rules), pieces(rules, c.every), rules.radius);
          // All places within the rim's radius of the travel, less a hair.
          const size = [600 - c.right - c.left, 700 - c.back - c.front] as const;
          const can = offset(regionFromRing(rectangleRing([c.left, c.front], size)), rules.radius - 0.02);
          expect(offset(intersection(proof.left, can), -0.005)).toEqual([]);
        },
      ),
      { numRuns: 120, seed: 29 },
    );
  });

  test('beyond reach: the strip is as wide as the formula says', () => {
    const rules: SurfacingRules = { ...RULES, reach: { x: [-100, 1400], y: [60, 2600] } };
    const path = planPath(rules);
    expect(path.strips).toEqual([{ side: 'front', width: 28.5 }]);
    const proof = proveCoverage(region(rules), pieces(rules), rules.radius);
    // The strip's own area; round row ends leave a little more, less than a cusp for each row.
    expect(proof.leftArea).toBeGreaterThan(28.5 * 1219.2 - 1);
    expect(Math.abs(proof.leftArea - leftByOther(rules, pieces(rules)))).toBeLessThan(2);
  });
});

describe('economy', () => {
  test.each(['x', 'y'] as const)('rows along %s: at most 1.06 × area/stepover', (rows) => {
    const path = planPath({ ...RULES, rows });
    expect(path.length / ((1219.2 * 2438.4) / path.step)).toBeLessThanOrEqual(1.06);
  });

  test('even stepover, never more than asked', () => {
    const path = planPath(RULES);
    expect(path.step).toBeLessThanOrEqual(38);
    // n = ⌈W_c/s⌉ + 1 rows, W_c between first and last (derived)
    const between = 1219.2 - 2 * (31.5 - 5);
    expect(path.rowCount).toBe(Math.ceil(between / 38) + 1);
    expect(path.step).toBeCloseTo(between / (path.rowCount - 1), 9);
  });

  test('rings never step wider than a 90° corner clears: 0.85355 of the diameter (derived)', () => {
    expect(RING_STEP_MOST).toBeCloseTo(0.85355, 5);
    const path = planPath({ ...RULES, style: 'inward', stepover: 62 });
    expect(path.step).toBeLessThanOrEqual(63 * RING_STEP_MOST);
    expect(path.notes.length).toBe(1);
  });
});

test('climb keeps the uncut board on the right of travel', () => {
  for (const rows of ['x', 'y'] as const) {
    const path = planPath({ ...RULES, rows, style: 'one-way-climb', stepover: 30 });
    const [first, second] = path.chains;
    const [a, b] = first!.points;
    const along = [b![0] - a![0], b![1] - a![1]] as const;
    const next = [second!.points[0]![0] - a![0], second!.points[0]![1] - a![1]] as const;
    // Right of travel: negative cross product.
    expect(along[0] * next[1] - along[1] * next[0]).toBeLessThan(0);
  }
});

test('pieces of rows drop only links, pieces of a loop drop nothing', () => {
  const rows = planPath(RULES);
  const cut = splitChains(rows.chains, 5000);
  expect(cut.length).toBeGreaterThan(5);
  for (const piece of cut) expect(piece.points.length % 2).toBe(0);
  const loop = planPath({ ...RULES, style: 'inward' });
  const parts = splitChains(loop.chains, 5000);
  const total = parts.reduce((sum, piece) => sum + chainLength(piece.points), 0);
  expect(total).toBeCloseTo(loop.length, 6);
});

test('wrong figures are refused', () => {
  expect(() => planPath({ ...RULES, stepover: 64 })).toThrow(RangeError);
  expect(() => planPath({ ...RULES, radius: Number.NaN })).toThrow(RangeError);
  expect(() => planPath({ ...RULES, board: { minX: 0, minY: 0, maxX: 0, maxY: 5 } })).toThrow(RangeError);
});
