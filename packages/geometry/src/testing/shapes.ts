import {
  circleRing,
  difference,
  isSimpleRing,
  type Point,
  type Region,
  type Ring,
  rectangleRing,
  regionFromRing,
  union,
} from '../index.ts';

/** A star-shaped ring on whole millimetres of a small raster: full of shared corners and collinear edges. */
export function starRing(random: () => number, size: number, corners: number): Ring {
  for (;;) {
    const cx = random() * size;
    const cy = random() * size;
    const points = new Map<string, Point>();
    for (let i = 0; i < corners; i++) {
      const p: Point = [Math.floor(random() * (size + 1)), Math.floor(random() * (size + 1))];
      points.set(`${p[0]},${p[1]}`, p);
    }
    const ring = [...points.values()].sort(
      (p, q) => Math.atan2(p[1] - cy, p[0] - cx) - Math.atan2(q[1] - cy, q[0] - cx),
    );
    if (isSimpleRing(ring)) return ring;
  }
}

export function plate(width: number, height: number, at: Point = [0, 0]): Region {
  return regionFromRing(rectangleRing(at, [width, height]));
}

export function disc(at: Point, radius: number): Region {
  return regionFromRing(circleRing(at, radius, 'circumscribed'));
}

/** A plate with random round and square holes and bites: not convex, usually with holes. */
export function swissCheese(random: () => number, width: number, height: number, holes: number): Region {
  const cuts: Region[] = [];
  for (let i = 0; i < holes; i++) {
    const at: Point = [random() * width, random() * height];
    const size = (0.03 + 0.12 * random()) * Math.min(width, height);
    cuts.push(i % 2 === 0 ? disc(at, size) : regionFromRing(rectangleRing(at, [size, 2 * size])));
  }
  return difference(plate(width, height), union(...cuts));
}
