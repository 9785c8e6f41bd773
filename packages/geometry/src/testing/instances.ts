import { type CoverInstance, distance, type Point, seededRandom } from '../index.ts';

// Instances made here from a seed, whose best value is known for a reason that is written beside each of them.

/** Places at whole coordinates and their distances rounded to whole numbers, so that sums are exact. */
export interface Places {
  readonly points: readonly Point[];
  readonly cost: (i: number, j: number) => number;
}

/** `n` places scattered over 1000 × 700. */
export function scatteredPlaces(n: number, seed: number): Places {
  const random = seededRandom(seed);
  const points = Array.from(
    { length: n },
    (): Point => [Math.round(1000 * random()), Math.round(700 * random())],
  );
  const table = Float64Array.from({ length: n * n }, (_, k) =>
    Math.round(distance(points[Math.floor(k / n)]!, points[k % n]!)),
  );
  return { points, cost: (i, j) => table[i * n + j]! };
}

/**
 * A covering instance whose least number of columns is exactly `least`: `least` of its rows are witnesses, no column
 * covers two of them, so that every cover needs at least that many columns; and `least` planted columns share out all
 * the rows among them, so that as many are enough. The other columns are random, about `density` of the rows each.
 */
export function coverWithWitnesses(options: {
  readonly rows: number;
  readonly columns: number;
  readonly least: number;
  readonly density: number;
  readonly seed: number;
}): CoverInstance {
  const { columns, least, density } = options;
  const random = seededRandom(options.seed);
  const rows: number[][] = Array.from({ length: options.rows }, () => []);
  // Rows 0 to least − 1 are the witnesses. Columns are dealt out in a random order, so that nothing shows which are planted.
  const order = shuffled(columns, random);
  for (let r = 0; r < options.rows; r++) rows[r]!.push(order[r < least ? r : Math.floor(least * random())]!);
  for (const column of order.slice(least)) {
    rows[Math.floor(least * random())]!.push(column);
    for (let r = least; r < options.rows; r++) if (random() < density) rows[r]!.push(column);
  }
  return { columns, rows };
}

/**
 * A weighted covering instance by the recipe of Balas & Ho 1980 as Beasley 1987 states it: costs from 1 to 100, every
 * column covers at least one row and every row is covered by at least two columns.
 */
export function weightedCover(
  rowCount: number,
  columns: number,
  density: number,
  seed: number,
): CoverInstance {
  const random = seededRandom(seed);
  const rows = Array.from({ length: rowCount }, () => new Set<number>());
  for (let j = 0; j < columns; j++) rows[Math.floor(rowCount * random())]!.add(j);
  for (const row of rows) {
    for (let j = 0; j < columns; j++) if (random() < density) row.add(j);
    while (row.size < 2) row.add(Math.floor(columns * random()));
  }
  const cost = Array.from({ length: columns }, () => 1 + Math.floor(100 * random()));
  return { columns, rows: rows.map((row) => [...row].sort((a, b) => a - b)), cost };
}

/** Shortest distances between all corners of a random connected graph with `edges` edges of length 1 to 100. */
export function graphDistances(n: number, edges: number, seed: number): Float64Array {
  const random = seededRandom(seed);
  const distances = new Float64Array(n * n).fill(Infinity);
  const join = (i: number, j: number): void => {
    const length = 1 + Math.floor(100 * random());
    distances[i * n + j] = Math.min(length, distances[i * n + j]!);
    distances[j * n + i] = distances[i * n + j]!;
  };
  for (let i = 0; i < n; i++) distances[i * n + i] = 0;
  for (let i = 1; i < n; i++) join(i, Math.floor(i * random()));
  for (let e = n - 1; e < edges; e++) {
    const i = Math.floor(n * random());
    join(i, (i + 1 + Math.floor((n - 1) * random())) % n);
  }
  for (let k = 0; k < n; k++) {
    for (let i = 0; i < n; i++) {
      for (let j = 0; j < n; j++) {
        const via = distances[i * n + k]! + distances[k * n + j]!;
        if (via < distances[i * n + j]!) distances[i * n + j] = via;
      }
    }
  }
  return distances;
}

/** Corners of a graph as columns, one row a corner: which corners lie within `radius` of it. */
export function withinRadius(distances: Float64Array, n: number, radius: number): CoverInstance {
  return {
    columns: n,
    rows: Array.from({ length: n }, (_, i) =>
      Array.from({ length: n }, (_, j) => j).filter((j) => distances[i * n + j]! <= radius),
    ),
  };
}

function shuffled(n: number, random: () => number): number[] {
  const order = Array.from({ length: n }, (_, i) => i);
  for (let i = n - 1; i > 0; i--) {
    const j = Math.floor((i + 1) * random());
    [order[i], order[j]] = [order[j]!, order[i]!];
  }
  return order;
}
