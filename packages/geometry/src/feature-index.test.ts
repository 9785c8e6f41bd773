import { describe, expect, it } from 'vitest';
import {
  containsPoint,
  distance,
  FeatureIndex,
  nearestOnBoundary,
  type Point,
  type Region,
  seededRandom,
  union,
} from './index.ts';
import { disc, plate, swissCheese } from './testing/shapes.ts';

/** What the index must say, by looking at every feature. */
function bruteForce(items: readonly { region: Region; value: number }[], p: Point) {
  return items
    .filter((item) => item.region.length > 0)
    .map(({ region, value }) => {
      const d = nearestOnBoundary(region, p).distance;
      return { value, distance: containsPoint(region, p) ? -d : d };
    })
    .sort((a, b) => a.distance - b.distance || a.value - b.value);
}

const random = seededRandom(41);
const at = (): Point => [1500 * random(), 900 * random()];
const items = Array.from({ length: 60 }, (_, value) => {
  if (value % 10 === 9) return { region: [] as Region, value };
  if (value === 0) return { region: swissCheese(random, 1500, 900, 40), value };
  if (value % 3 === 0) return { region: disc(at(), 2 + 60 * random()), value };
  return { region: union(plate(8, 200 * random() + 1, at()), plate(300, 6, at())), value };
});
const index = new FeatureIndex(items);

describe('feature index against looking at everything', () => {
  it('nearest, with the sign of inside', () => {
    for (let i = 0; i < 1500; i++) {
      const p: Point = [-200 + 1900 * random(), -200 + 1300 * random()];
      const found = index.nearest(p)!;
      const [truth] = bruteForce(items, p);
      expect(found.distance).toBeCloseTo(truth!.distance, 9);
      expect(found.value).toBe(truth!.value);
      expect(Math.abs(found.distance)).toBeCloseTo(distance(found.at, p), 9);
    }
  });

  it('within, nearest first', () => {
    for (let i = 0; i < 300; i++) {
      const p = at();
      const radius = 80 * random();
      const truth = bruteForce(items, p).filter((item) => item.distance <= radius);
      const found = index.within(p, radius);
      expect(found.map((item) => item.value)).toEqual(truth.map((item) => item.value));
      found.forEach((item, k) => {
        expect(item.distance).toBeCloseTo(truth[k]!.distance, 9);
      });
    }
  });

  it('nearest of some', () => {
    for (let i = 0; i < 300; i++) {
      const p = at();
      const some = (value: number): boolean => value % 7 === i % 7;
      const truth = bruteForce(items, p).find((item) => some(item.value));
      const found = index.nearestOf(p, some);
      expect(found?.value).toBe(truth?.value);
    }
    expect(index.nearestOf([0, 0], () => false)).toBeNull();
  });
});

describe('feature index, edge cases', () => {
  it('without features', () => {
    for (const empty of [new FeatureIndex<string>([]), new FeatureIndex([{ region: [], value: 'none' }])]) {
      expect(empty.nearest([0, 0])).toBeNull();
      expect(empty.within([0, 0], 10)).toEqual([]);
    }
  });

  it('on a boundary the distance is zero; ties go to the first', () => {
    const pair = new FeatureIndex([
      { region: plate(10, 10), value: 'left' },
      { region: plate(10, 10, [20, 0]), value: 'right' },
    ]);
    expect(pair.nearest([10, 5])).toMatchObject({ value: 'left', distance: 0 });
    expect(pair.nearest([15, 5])).toMatchObject({ value: 'left', distance: 5 });
    expect(pair.nearest([5, 5])).toMatchObject({ value: 'left', distance: -5 });
    expect(pair.within([15, 5], 5).map((f) => f.value)).toEqual(['left', 'right']);
    expect(pair.within([15, 5], 4.9)).toEqual([]);
    expect(() => pair.nearest([Number.NaN, 0])).toThrow(RangeError);
  });

  it('inside two features the deeper one is nearest', () => {
    const nested = new FeatureIndex([
      { region: plate(100, 100), value: 'large' },
      { region: plate(20, 20, [10, 10]), value: 'small' },
    ]);
    expect(nested.nearest([20, 20])).toMatchObject({ value: 'large', distance: -20 });
    expect(nested.nearestOf([20, 20], (v) => v === 'small')).toMatchObject({ value: 'small', distance: -10 });
  });
});
