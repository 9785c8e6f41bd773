import type { MachineRecord } from '@bedledger/fleet';
import { distance, type Point, seededRandom } from '@bedledger/geometry';
import { describe, expect, test } from 'vitest';
import { denseOptimum } from '../../../../test/layout/dense-optimum.ts';
import { demoRecord, withLayout, withMachine } from '../../../../test/support/demo-records.ts';
import { computeLands } from '../lands/lands.ts';
import { fitBed } from '../survey/bed-fit.ts';
import { brokenDemands } from './demand.ts';
import { coverTask } from './fewest.ts';
import { pitchRule } from './pitch.ts';
import { planLayout } from './plan-layout.ts';

/** Fewest sites over places every `step` mm, by the mixed-integer solver. */
async function optimum(record: MachineRecord, step: number): Promise<number> {
  const lands = computeLands(record, fitBed(record));
  const task = coverTask(record, lands, pitchRule(record), []);
  const found = await denseOptimum(lands, task.rules, task.apart, step, 60);
  if (found === null) throw new Error('the reference solver did not close a small bed');
  return found.count;
}

/** A small bed of its own: one zone, a keep-out somewhere, a board of a given size. */
function smallBed(width: number, depth: number, seed: number, pitchMax = 240): MachineRecord {
  const random = seededRandom(seed);
  const base = withLayout(demoRecord('curlew'), { pattern: 'fewest', pitchMax, edge: [25, 60] });
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
  test('small beds with an obstacle: as few as the MIP solver proves over places every 25 mm', async () => {
    for (let seed = 1; seed <= 6; seed++) {
      const record = smallBed(420 + 30 * seed, 500 - 20 * seed, seed, 300);
      const layout = planLayout(record);
      const best = await optimum(record, 25);
      expect(layout.sites.length).toBeLessThanOrEqual(best);
      // What is proven over the continuous land is no more than what places every 25 mm achieve.
      expect(layout.bound.lower).toBeLessThanOrEqual(best);
      if (layout.bound.proven) expect(layout.bound.lower).toBe(layout.sites.length);
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
    radius: 150,
    edges: [150, 150, 150, 150] as const,
    corners: [150, 150, 150, 150] as const,
    landDistance: () => 0,
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
