import highsLoader from 'highs';
import type { CoverInstance } from '../index.ts';

// Oracles by a general mixed-integer solver (HiGHS), which knows nothing of covers or tours.

interface Solution {
  readonly Status: string;
  readonly ObjectiveValue: number;
  readonly Columns: Readonly<Record<string, { readonly Primal: number }>>;
}

async function solve(model: string): Promise<Solution> {
  const load = highsLoader as unknown as () => Promise<{ solve(text: string): Solution }>;
  const solution = (await load()).solve(model);
  if (solution.Status !== 'Optimal') throw new Error(`the solver ended with ${solution.Status}`);
  return solution;
}

/** Cost of the cheapest cover. */
export async function cheapestCover(instance: CoverInstance): Promise<number> {
  const cost = instance.cost ?? new Array<number>(instance.columns).fill(1);
  const x = (j: number): string => `x${j}`;
  const lines = ['Minimize', ` obj: ${cost.map((c, j) => `${c} ${x(j)}`).join(' + ')}`, 'Subject To'];
  instance.rows.forEach((row, r) => {
    lines.push(` r${r}: ${row.map(x).join(' + ')} >= 1`);
  });
  for (const j of instance.fixed ?? []) lines.push(` f${j}: ${x(j)} >= 1`);
  lines.push('Binary', ` ${cost.map((_, j) => x(j)).join(' ')}`, 'End');
  return (await solve(lines.join('\n'))).ObjectiveValue;
}

/**
 * Length of the shortest closed tour of `n` places: every place has two edges, and whenever the answer falls apart into
 * loops, every loop must be left by two edges (Dantzig, Fulkerson & Johnson 1954).
 * Every pair of places is offered as an edge, so that the answer is the optimum.
 */
export async function shortestClosedTour(n: number, cost: (i: number, j: number) => number): Promise<number> {
  const name = (i: number, j: number): string => (i < j ? `e${i}_${j}` : `e${j}_${i}`);
  const edges: [number, number][] = [];
  for (let i = 0; i < n; i++) for (let j = i + 1; j < n; j++) edges.push([i, j]);
  const cuts: string[] = [];
  for (let round = 0; round < 200; round++) {
    const solution = await solve(
      [
        'Minimize',
        ` obj: ${edges.map(([i, j]) => `${cost(i, j)} ${name(i, j)}`).join(' + ')}`,
        'Subject To',
        ...Array.from({ length: n }, (_, i) => {
          const own = Array.from({ length: n }, (_, j) => j).filter((j) => j !== i);
          return ` d${i}: ${own.map((j) => name(i, j)).join(' + ')} = 2`;
        }),
        ...cuts,
        'Binary',
        ` ${edges.map(([i, j]) => name(i, j)).join(' ')}`,
        'End',
      ].join('\n'),
    );
    const used = edges.filter(([i, j]) => solution.Columns[name(i, j)]!.Primal > 0.5);
    const loops = loopsOf(n, used);
    if (loops.length === 1) return solution.ObjectiveValue;
    for (const loop of loops) {
      const inside = new Set(loop);
      const leaving = edges.filter(([i, j]) => inside.has(i) !== inside.has(j));
      cuts.push(` c${cuts.length}: ${leaving.map(([i, j]) => name(i, j)).join(' + ')} >= 2`);
    }
  }
  throw new Error('the tour still falls apart after 200 rounds');
}

function loopsOf(n: number, edges: readonly (readonly [number, number])[]): number[][] {
  const next: number[][] = Array.from({ length: n }, () => []);
  for (const [i, j] of edges) {
    next[i]!.push(j);
    next[j]!.push(i);
  }
  const seen = new Set<number>();
  const loops: number[][] = [];
  for (let i = 0; i < n; i++) {
    if (seen.has(i)) continue;
    const loop = [i];
    seen.add(i);
    for (let k = 0; k < loop.length; k++) {
      for (const j of next[loop[k]!]!) {
        if (!seen.has(j)) {
          seen.add(j);
          loop.push(j);
        }
      }
    }
    loops.push(loop);
  }
  return loops;
}
