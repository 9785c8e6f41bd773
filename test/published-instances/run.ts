import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { type CoverInstance, coverSet, shortestTour } from '@bedledger/geometry';
import { withinRadius } from '../../packages/geometry/src/testing/instances.ts';

// Published tour and covering instances, read from a folder with their original files (test/reference/SOURCES.md says
// why the project does not carry them). A missing file is an error.

/** Published optimum of each tour (TSPLIB, Reinelt 1991), and the share above it that is allowed. */
const TOURS = [
  ['berlin52', 7542, 0],
  ['a280', 2579, 0],
  ['eil51', 426, 0.005],
  ['pcb442', 50778, 0.005],
] as const;
/** Best known number of columns (OR-Library, Beasley 1990; CYC: Grossman & Wool 1997). */
const UNICOST = [
  ['scp41', 38],
  ['scp42', 37],
  ['scpcyc06', 60],
  ['scpe1', 5],
  ['scpe2', 5],
] as const;
/** Published optimum with costs (Beasley 1987). */
const WEIGHTED = [
  ['scp41', 429],
  ['scp42', 512],
] as const;
/** Least radius of p centres, by covering. */
const CENTRES = [
  ['pmed1', 127],
  ['pmed2', 98],
] as const;

/** Solves every instance below `folder`; a line each, false where one is worse than published. */
export function run(folder: string, say: (line: string) => void): boolean {
  let good = true;
  const judge = (name: string, found: string, right: boolean): void => {
    say(`${right ? 'ok   ' : 'WRONG'} ${name}: ${found}`);
    good &&= right;
  };
  for (const [name, optimum, slack] of TOURS) {
    const { count, cost } = readTour(join(folder, 'tsplib', `${name}.tsp`));
    const found = shortestTour(count, cost, { closed: true }).cost;
    judge(name, `${found}, published ${optimum}`, found >= optimum && found <= optimum * (1 + slack));
  }
  const order = readOrder(join(folder, 'tsplib/pcb442.opt.tour'));
  const { cost } = readTour(join(folder, 'tsplib/pcb442.tsp'));
  const length = order.reduce((sum, from, i) => sum + cost(from, order[(i + 1) % order.length]!), 0);
  judge('pcb442, the published tour as it is read here', `${length}, published 50778`, length === 50778);
  for (const [name, best] of UNICOST) {
    const { columns, rows } = readCover(join(folder, 'orlib', `${name}.txt`));
    const cover = coverSet({ columns, rows });
    judge(
      `${name}, every column at cost 1`,
      `${cover.cost}, bound ${cover.lowerBound}, best known ${best}`,
      covers(rows, cover.chosen) && cover.cost === best && cover.lowerBound <= best,
    );
  }
  for (const [name, optimum] of WEIGHTED) {
    const instance = readCover(join(folder, 'orlib', `${name}.txt`));
    const cover = coverSet(instance);
    judge(
      `${name} with its costs`,
      `${cover.cost}, bound ${cover.lowerBound}, published ${optimum}`,
      covers(instance.rows, cover.chosen) && cover.cost === optimum && cover.provenOptimal,
    );
  }
  for (const [name, radius] of CENTRES) {
    const { n, p, distances } = readMedian(join(folder, 'orlib', `${name}.txt`));
    const enough = coverSet(withinRadius(distances, n, radius)).cost;
    const tooFew = coverSet(withinRadius(distances, n, radius - 1)).lowerBound;
    judge(
      `${name}, ${p} centres`,
      `${enough} at radius ${radius}, at least ${tooFew} at ${radius - 1}`,
      enough <= p && tooFew > p,
    );
  }
  return good;
}

function covers(rows: CoverInstance['rows'], chosen: readonly number[]): boolean {
  const inside = new Set(chosen);
  return rows.every((row) => row.some((j) => inside.has(j)));
}

/** Coordinates, and the rounded distance of TSPLIB's documentation (EUC_2D). */
function readTour(file: string): { count: number; cost: (i: number, j: number) => number } {
  const rows = readFileSync(file, 'utf8').split('NODE_COORD_SECTION')[1]!.split('EOF')[0]!.trim().split('\n');
  const points = rows.map((row) => row.trim().split(/\s+/).map(Number));
  const cost = (i: number, j: number): number => {
    const dx = points[i]![1]! - points[j]![1]!;
    const dy = points[i]![2]! - points[j]![2]!;
    return Math.floor(Math.sqrt(dx * dx + dy * dy) + 0.5);
  };
  return { count: points.length, cost };
}

function readOrder(file: string): number[] {
  const text = readFileSync(file, 'utf8').split('TOUR_SECTION')[1]!.split('-1')[0]!;
  return text.trim().split(/\s+/).map((place) => Number(place) - 1); // biome-ignore format: one line
}

/** Rows and columns, costs, then how many columns cover each row, and which, counted from 1. */
function readCover(file: string): { columns: number; rows: number[][]; cost: number[] } {
  const numbers = readFileSync(file, 'utf8').trim().split(/\s+/).map(Number);
  let at = 0;
  const count = numbers[at++]!;
  const columns = numbers[at++]!;
  const cost = numbers.slice(at, at + columns);
  at += columns;
  const rows: number[][] = [];
  for (let r = 0; r < count; r++) {
    const size = numbers[at++]!;
    rows.push(numbers.slice(at, at + size).map((j) => j - 1));
    at += size;
  }
  return { columns, rows, cost };
}

/** Shortest distances between all corners of the graph (of an edge that is listed twice the last one counts), and p. */
function readMedian(file: string): { n: number; p: number; distances: Float64Array } {
  const numbers = readFileSync(file, 'utf8').trim().split(/\s+/).map(Number);
  const [n, edges, p] = [numbers[0]!, numbers[1]!, numbers[2]!];
  const distances = new Float64Array(n * n).fill(Infinity);
  for (let i = 0; i < n; i++) distances[i * n + i] = 0;
  for (let e = 0; e < edges; e++) {
    const i = numbers[3 + 3 * e]! - 1;
    const j = numbers[4 + 3 * e]! - 1;
    distances[i * n + j] = numbers[5 + 3 * e]!;
    distances[j * n + i] = numbers[5 + 3 * e]!;
  }
  for (let k = 0; k < n; k++) {
    for (let i = 0; i < n; i++) {
      for (let j = 0; j < n; j++) {
        const via = distances[i * n + k]! + distances[k * n + j]!;
        if (via < distances[i * n + j]!) distances[i * n + j] = via;
      }
    }
  }
  return { n, p, distances };
}
