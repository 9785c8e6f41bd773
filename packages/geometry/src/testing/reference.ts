import { existsSync, readFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';

/** Root of the repository: the nearest folder above this module (or its bundle) that holds the workspace file. */
function findRoot(): string {
  let folder = dirname(fileURLToPath(import.meta.url));
  while (!existsSync(join(folder, 'pnpm-workspace.yaml'))) {
    const above = dirname(folder);
    if (above === folder) throw new Error('no pnpm-workspace.yaml above the reference reader');
    folder = above;
  }
  return folder;
}

/** Folder of the public reference data: BEDLEDGER_REFERENCE, else `../shared/reference` beside the repository. */
export const referenceFolder =
  process.env.BEDLEDGER_REFERENCE ?? join(findRoot(), '..', 'shared', 'reference');

/** Text of a reference file, or null with the reason printed. */
export function readReference(path: string): string | null {
  const file = join(referenceFolder, path);
  if (existsSync(file)) return readFileSync(file, 'utf8');
  console.warn(`skipped: no reference file ${file} (set BEDLEDGER_REFERENCE to the folder that holds it)`);
  return null;
}

/** TSPLIB EUC_2D: coordinates and the rounded distance of its documentation (Reinelt 1991). */
export function readTsp(name: string): { count: number; cost: (i: number, j: number) => number } | null {
  const text = readReference(join('tsplib', `${name}.tsp`));
  if (text === null) return null;
  const rows = text.split('NODE_COORD_SECTION')[1]!.split('EOF')[0]!.trim().split('\n');
  const points = rows.map((row) => row.trim().split(/\s+/).map(Number));
  const cost = (i: number, j: number): number => {
    const dx = points[i]![1]! - points[j]![1]!;
    const dy = points[i]![2]! - points[j]![2]!;
    return Math.floor(Math.sqrt(dx * dx + dy * dy) + 0.5);
  };
  return { count: points.length, cost };
}

/** OR-Library set covering: rows and columns, costs, then the columns of each row, counted from 1. */
export function readScp(name: string): { columns: number; rows: number[][]; cost: number[] } | null {
  const text = readReference(join('orlib', `${name}.txt`));
  if (text === null) return null;
  const numbers = text.trim().split(/\s+/).map(Number);
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

/** OR-Library p-median: all-pairs shortest paths of its graph (of a repeated edge the last one counts) and p. */
export function readPmed(name: string): { n: number; p: number; distances: Float64Array } | null {
  const text = readReference(join('orlib', `${name}.txt`));
  if (text === null) return null;
  const numbers = text.trim().split(/\s+/).map(Number);
  const [n, edges, p] = [numbers[0]!, numbers[1]!, numbers[2]!];
  const distances = new Float64Array(n * n).fill(Infinity);
  for (let i = 0; i < n; i++) distances[i * n + i] = 0;
  for (let e = 0; e < edges; e++) {
    const i = numbers[3 + 3 * e]! - 1;
    const j = numbers[4 + 3 * e]! - 1;
    const length = numbers[5 + 3 * e]!;
    distances[i * n + j] = length;
    distances[j * n + i] = length;
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
