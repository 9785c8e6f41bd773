import { applyTransform, type Point, type PointPair, register, seededRandom } from '@bedledger/geometry';

/**
 * Surveys of beds whose true shape is known, with readings that scatter as stated (normal deviates, Box & Muller 1958):
 * what a fit says of itself is held against what is so. Nothing of the fit's own arithmetic is used to judge it.
 */

export const KINDS = ['rigid', 'stretched', 'skewed', 'both'] as const;
export type Kind = (typeof KINDS)[number];
export const MARKS = [4, 5, 6, 8, 10, 14] as const;
/** Standard deviations of one coordinate, mm. */
export const DEVIATIONS = [0.05, 0.15, 0.3] as const;
/** How far a bed is stretched (a share) or skewed (radians): nothing to see, just seen, plain, and most of what is believed. */
export const AMOUNTS = [0.0001, 0.0002, 0.0004, 0.001, 0.0019] as const;
const MOST = { stretch: 0.002, skew: 0.002 };
const BEDS: readonly Point[] = [[620, 440], [1200, 2400], [1500, 3000]]; // biome-ignore format: one line

export interface Cell {
  readonly kind: Kind;
  readonly amount: number;
  readonly marks: number;
  readonly deviation: number;
}

export interface Counts {
  readonly surveys: number;
  /** Places of the bed that were asked for, and those within the stated uncertainty of where they are. */
  readonly places: number;
  readonly within: number;
  /** Surveys in which a good mark was called misread. */
  readonly accused: number;
  /** Stated uncertainty over deviation, mean. */
  readonly width: number;
}

/** Every cell that differs: a rigid bed has no amount. */
export function cells(): Cell[] {
  return KINDS.flatMap((kind) =>
    (kind === 'rigid' ? [0] : AMOUNTS).flatMap((amount) =>
      DEVIATIONS.flatMap((deviation) => MARKS.map((marks) => ({ kind, amount, marks, deviation }))),
    ),
  );
}

/** Surveys of one cell. `stated`: what the house says of the readings, if not the truth. */
export function simulate(
  { kind, amount, marks, deviation }: Cell,
  surveys: number,
  seed: number,
  stated = deviation,
): Counts {
  const random = seededRandom(seed);
  const normal = (): number => Math.sqrt(-2 * Math.log(1 - random())) * Math.cos(2 * Math.PI * random());
  const counts = { surveys, places: 0, within: 0, accused: 0, width: 0 };
  for (let i = 0; i < surveys; i++) {
    const bed = BEDS[i % BEDS.length]!;
    const truth = bedLies(kind, amount, random);
    const pairs = marksOn(bed, marks, random).map((from, k): PointPair => {
      const [x, y] = truth(from);
      return { id: `m${k}`, from, to: [x + deviation * normal(), y + deviation * normal()] };
    });
    const fit = register(pairs, { sigma: stated, most: MOST });
    if (fit.suspect !== null) {
      counts.accused++;
      continue;
    }
    const [w, h] = bed;
    const corners: Point[] = [[0, 0], [w, 0], [w, h], [0, h]]; // biome-ignore format: one line
    const inside = corners.map((): Point => [w * random(), h * random()]);
    for (const place of [...corners, ...inside]) {
      const [x, y] = truth(place);
      const [u, v] = applyTransform(fit.transform, place);
      counts.places++;
      counts.width += fit.uncertaintyAt(place) / deviation;
      if (Math.sqrt((x - u) ** 2 + (y - v) ** 2) <= fit.uncertaintyAt(place)) counts.within++;
    }
  }
  return { ...counts, width: counts.width / Math.max(1, counts.places) };
}

/** Turned up to 5 mrad, shifted, and stretched or skewed by the amount, in either direction. */
function bedLies(kind: Kind, amount: number, random: () => number): (p: Point) => Point {
  const turn = 0.01 * (random() - 0.5);
  const side = (): number => (random() < 0.5 ? -amount : amount);
  const some = (): number => amount * (2 * random() - 1);
  const [sx, sy] = kind === 'stretched' ? [side(), some()] : kind === 'both' ? [some(), some()] : [0, 0];
  const skew = kind === 'skewed' ? side() : kind === 'both' ? some() : 0;
  return ([x, y]) => {
    const u = x * (1 + sx) + skew * y;
    const v = y * (1 + sy);
    return [u * Math.cos(turn) - v * Math.sin(turn) + 3, u * Math.sin(turn) + v * Math.cos(turn) - 2];
  };
}

/** Four marks near the corners, the others anywhere. */
function marksOn([w, h]: Point, count: number, random: () => number): Point[] {
  const near: Point[] = [[0.05, 0.05], [0.95, 0.05], [0.95, 0.95], [0.05, 0.95]]; // biome-ignore format: one line
  return Array.from({ length: count }, (_, k): Point => {
    const [a, b] = near[k] ?? [0.05 + 0.9 * random(), 0.05 + 0.9 * random()];
    return [w * a, h * b];
  });
}
