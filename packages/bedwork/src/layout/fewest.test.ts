import type { MachineRecord } from '@bedledger/fleet';
import { distance, type Point, seededRandom } from '@bedledger/geometry';
import loadHighs from 'highs';
import { describe, expect, test } from 'vitest';
import { demoRecord, withLayout, withMachine } from '../../../../test/support/demo-records.ts';
import { computeLands } from '../lands/lands.ts';
import { fitBed } from '../survey/bed-fit.ts';
import { brokenDemands, cornersOf } from './demand.ts';
import { type FewestProblem, solve } from './fewest.ts';
import { pitchRule } from './pitch.ts';
import { planLayout } from './plan-layout.ts';

/** Default import types as a namespace under NodeNext: the call is the same. */
const highs = loadHighs as unknown as () => Promise<{
  solve: (lp: string, options: Record<string, unknown>) => { Status: string; ObjectiveValue: number };
}>;

function problemOf(record: MachineRecord): FewestProblem {
  const fit = fitBed(record);
  const problem = solve(record, fit, computeLands(record, fit), pitchRule(record), [], []);
  if (problem === null) throw new Error('no problem');
  return problem;
}

async function optimum(p: FewestProblem): Promise<number> {
  const lp = [
    'Minimize',
    ` obj: ${p.groups.map((g, i) => `${g.length} x${i}`).join(' + ')}`,
    'Subject To',
    ...p.rows.map((row, k) => ` c${k}: ${row.map((i) => `x${i}`).join(' + ')} >= 1`),
    'Binary',
    ...p.groups.map((_, i) => ` x${i}`),
    'End',
    '',
  ].join('\n');
  const answer = (await highs()).solve(lp, {});
  expect(answer.Status).toBe('Optimal');
  return Math.round(answer.ObjectiveValue);
}

/** A small bed of its own: one zone, a keep-out somewhere, a board of a given size. */
function smallBed(width: number, depth: number, seed: number): MachineRecord {
  const random = seededRandom(seed);
  const base = withLayout(demoRecord('curlew'), { pattern: 'fewest', pitchMax: 240, edge: [25, 60] });
  const m = base.machine;
  return withMachine(
    { ...base, survey: null },
    {
      travel: { ...m.travel, x: [-100, width + 100], y: [-100, depth + 100] },
      bed: {
        ...m.bed,
        outline: { kind: 'rect', at: [-20, -20], size: [width + 40, depth + 40] },
        zones: [],
        holes: [],
        slots: [],
        keepOuts: [
          {
            id: 'stop',
            shape: {
              kind: 'circle',
              at: [100 + random() * (width - 200), 100 + random() * (depth - 200)],
              diameter: 40 + random() * 80,
            },
            height: null,
            metal: false,
          },
        ],
      },
      board: { ...m.board, at: [0, 0], size: [width, depth] },
    },
  );
}

describe('fewest sites', () => {
  for (const id of ['avocet', 'curlew', 'heron', 'plover']) {
    test(`${id}: as few as the MIP solver proves on the same demands`, async () => {
      const problem = problemOf(withLayout(demoRecord(id), { pattern: 'fewest' }));
      const best = await optimum(problem);
      expect(problem.chosen.length).toBe(best);
      expect(problem.lowerBound).toBeLessThanOrEqual(best);
      if (problem.proven) expect(problem.lowerBound).toBe(problem.chosen.length);
    });
  }

  test('small beds with an obstacle: as few as the MIP solver proves', async () => {
    for (let seed = 1; seed <= 6; seed++) {
      const problem = problemOf(smallBed(500 + 60 * seed, 700 - 30 * seed, seed));
      expect(problem.chosen.length).toBe(await optimum(problem));
    }
  });

  test('nothing is left open on the continuous board, by a dense scan', () => {
    const record = smallBed(620, 540, 3);
    const layout = planLayout(record);
    expect(layout.findings.filter((f) => f.severity === 'stop')).toEqual([]);
    for (let x = 0; x <= 620; x += 4) {
      for (let y = 0; y <= 540; y += 4) {
        const near = Math.min(...layout.sites.map((s) => distance(s.actual, [x, y])));
        // Edge points: as near as rows of the edge rule would have them, √(60² + 120²) = 134.2 mm.
        const edge = x === 0 || y === 0 || x === 620 || y === 540;
        expect(near).toBeLessThanOrEqual((edge ? Math.sqrt(60 * 60 + 120 * 120) : 240 * Math.SQRT1_2) + 0.01);
      }
    }
    for (const c of [
      [0, 0],
      [620, 0],
      [620, 540],
      [0, 540],
    ] as Point[]) {
      // The corner of rows and columns at the edge rule: 60·√2
      expect(Math.min(...layout.sites.map((s) => distance(s.actual, c)))).toBeLessThanOrEqual(
        60 * Math.SQRT2 + 1,
      );
    }
  });

  test('never more sites than rows and columns need', () => {
    for (const id of ['avocet', 'curlew', 'heron', 'plover']) {
      const fewest = planLayout(withLayout(demoRecord(id), { pattern: 'fewest' }));
      const aligned = planLayout(withLayout(demoRecord(id), { pattern: 'aligned' }));
      expect(fewest.sites.length).toBeLessThanOrEqual(aligned.sites.length);
    }
  });

  test('dividers and outer land come first where they do as well', () => {
    const layout = planLayout(withLayout(demoRecord('avocet'), { pattern: 'fewest' }));
    expect(layout.sites.filter((s) => s.land === 'zone')).toEqual([]);
  });

  test('a board with a place that nothing can hold says where, and what would free it', () => {
    const record = smallBed(620, 540, 3);
    const m = record.machine;
    const pit = withMachine(record, {
      bed: {
        ...m.bed,
        keepOuts: [
          { id: 'pit', shape: { kind: 'rect', at: [110, 60], size: [400, 420] }, height: null, metal: false },
        ],
      },
    });
    const found = planLayout(pit).findings.find((f) => f.code === 'layout/impossible');
    expect(found?.severity).toBe('stop');
    expect(found?.message).toMatch(/nothing can hold the board at X3\d\d\S* Y2\d\d/);
    expect(found?.help).toContain('pitch_max');
  });
});

describe('what is left open', () => {
  const board = { minX: 0, minY: 0, maxX: 400, maxY: 200 };
  const rules = {
    board,
    region: [{ outer: cornersOf(board), holes: [] }],
    radius: 150,
    edges: [150, 150, 150, 150] as const,
    corners: [150, 150, 150, 150] as const,
  };

  test('two sites at the quarter points cover 400 × 200 at √(100² + 100²)', () => {
    const sites: Point[] = [
      [100, 100],
      [300, 100],
    ];
    expect(brokenDemands(sites, { ...rules, radius: 100 * Math.SQRT2 + 1e-3 })).toEqual([]);
    const open = brokenDemands(sites, { ...rules, radius: 100 * Math.SQRT2 - 1e-3 });
    // derived: the farthest points are the four corners and the middles of the long edges
    expect(open.map((d) => d.at.map(Math.round).join(',')).sort()).toEqual([
      '0,0',
      '0,200',
      '200,0',
      '200,200',
      '400,0',
      '400,200',
    ]);
  });

  test('an open stretch of an edge is found at its middle', () => {
    const sites: Point[] = [
      [50, 50],
      [350, 50],
      [50, 150],
      [350, 150],
      [200, 120],
    ];
    const open = brokenDemands(sites, { ...rules, radius: 500, edges: [100, 500, 500, 500] });
    // derived: on y = 0 sites at (50, 50), (350, 50) reach 50 + √(100² − 50²) = 136.6 and 263.4; (200, 120) reaches nothing
    expect(open.map((d) => d.of)).toEqual(['edge']);
    expect(open[0]?.at[0]).toBeCloseTo(200, 6);
  });
});
