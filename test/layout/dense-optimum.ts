import { containsPoint, distance, type Point } from '@bedledger/geometry';
import loadHighs from 'highs';
import type { Lands } from '../../packages/bedwork/src/lands/lands.ts';
import {
  brokenDemands,
  type CoverRules,
  type Demand,
  firstDemands,
} from '../../packages/bedwork/src/layout/demand.ts';

/** Default import types as a namespace under NodeNext: the call is the same. */
const highs = loadHighs as unknown as () => Promise<{
  solve: (
    lp: string,
    options: Record<string, unknown>,
  ) => {
    Status: string;
    ObjectiveValue: number;
    Columns: Record<string, { Primal: number }>;
  };
}>;

/**
 * The least number of sites on a plain square lattice of places, by the mixed-integer solver: candidates every `step` mm
 * wherever the polygon of the land says so, demands added until the solver's choice leaves nothing open.
 * Null when the solver does not close it within `seconds` in all.
 */
export async function denseOptimum(
  lands: Lands,
  rules: CoverRules,
  apart: number,
  step: number,
  seconds: number,
): Promise<{ readonly count: number; readonly sites: readonly Point[] } | null> {
  const { board } = rules;
  const points: Point[] = [];
  for (let x = board.minX; x <= board.maxX; x += step) {
    for (let y = board.minY; y <= board.maxY; y += step)
      if (containsPoint(lands.actual, [x, y])) points.push([x, y]);
  }
  const solver = await highs();
  const demands: Demand[] = firstDemands(rules, 0.3 * rules.radius);
  const conflicts: [number, number][] = [];
  const end = performance.now() + 1000 * seconds;
  for (let round = 0; round < 200; round++) {
    const left = (end - performance.now()) / 1000;
    if (left <= 0) return null;
    const rows = demands.map((d) =>
      points.flatMap((p, i) => (distance(p, d.at) <= d.within + 1e-6 ? [i] : [])),
    );
    if (rows.some((r) => r.length === 0)) return null;
    const used = [...new Set(rows.flat())].sort((a, b) => a - b);
    // Of places that meet the same demands one is enough, unless their distances matter.
    const column = new Map<number, number>();
    const keys = new Map<string, number>();
    const meets = new Map<number, number[]>();
    for (const [k, row] of rows.entries()) for (const i of row) meets.set(i, [...(meets.get(i) ?? []), k]);
    const special = new Set(conflicts.flat());
    for (const i of used) {
      const key = (meets.get(i) as number[]).join(',') + (special.has(i) ? `#${i}` : '');
      if (!keys.has(key)) keys.set(key, i);
      column.set(i, keys.get(key) as number);
    }
    const kept = [...new Set(column.values())];
    const lp = [
      'Minimize',
      ` obj: ${kept.map((i) => `x${i}`).join(' + ')}`,
      'Subject To',
      ...rows.map(
        (row, k) =>
          ` c${k}: ${[...new Set(row.map((i) => column.get(i)))].map((i) => `x${i}`).join(' + ')} >= 1`,
      ),
      ...conflicts.map(([a, b], k) => ` n${k}: x${a} + x${b} <= 1`),
      'Binary',
      ...kept.map((i) => ` x${i}`),
      'End',
      '',
    ].join('\n');
    const answer = solver.solve(lp, { time_limit: left });
    if (answer.Status !== 'Optimal') return null;
    const chosen = kept.filter((i) => (answer.Columns[`x${i}`]?.Primal ?? 0) > 0.5);
    const sites = chosen.map((i) => points[i] as Point);
    const open = brokenDemands(sites, rules);
    const close: [number, number][] = [];
    for (const [a, i] of chosen.entries())
      for (const j of chosen.slice(a + 1))
        if (distance(points[i] as Point, points[j] as Point) < apart) close.push([i, j]);
    if (open.length === 0 && close.length === 0) return { count: sites.length, sites };
    demands.push(...open);
    conflicts.push(...close);
  }
  return null;
}
