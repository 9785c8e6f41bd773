import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { clampPoint, clipSegment, isInside } from './clip.ts';

const BOX = { minX: -2, minY: -1, maxX: 3, maxY: 4 };
const coordinate = fc.double({ min: -10, max: 10, noNaN: true });
const point = fc.tuple(coordinate, coordinate);

describe('clipping to the picture', () => {
  // By definition: a point of the segment is inside the box exactly when it is on the clipped part.
  it('keeps what is inside and nothing else', () => {
    fc.assert(
      fc.property(point, point, fc.double({ min: 0, max: 1, noNaN: true }), (a, b, t) => {
        const at: [number, number] = [a[0] + t * (b[0] - a[0]), a[1] + t * (b[1] - a[1])];
        const part = clipSegment(a, b, BOX);
        if (part === null) {
          const grown = { minX: -2 + 1e-9, minY: -1 + 1e-9, maxX: 3 - 1e-9, maxY: 4 - 1e-9 };
          expect(isInside(at, grown)).toBe(false);
          return;
        }
        const slack = { minX: -2 - 1e-9, minY: -1 - 1e-9, maxX: 3 + 1e-9, maxY: 4 + 1e-9 };
        for (const p of part) expect(isInside(p, slack)).toBe(true);
        if (isInside(at, { minX: -1.999, minY: -0.999, maxX: 2.999, maxY: 3.999 })) {
          const [p, q] = part;
          const dot = (at[0] - p[0]) * (at[0] - q[0]) + (at[1] - p[1]) * (at[1] - q[1]);
          expect(dot).toBeLessThanOrEqual(1e-9);
        }
      }),
      { seed: 106 },
    );
  });

  it('the nearest place of the box is in it, and a place in it is its own', () => {
    fc.assert(
      fc.property(point, (p) => {
        const q = clampPoint(p, BOX);
        expect(isInside(q, BOX)).toBe(true);
        if (isInside(p, BOX)) expect(q).toEqual(p);
      }),
      { seed: 107 },
    );
  });
});
