import type { BedState, MachineRecord, SiteState } from '@bedledger/fleet';
import { containsPoint, distance, type Point } from '@bedledger/geometry';
import { describe, expect, test } from 'vitest';
import {
  bare,
  demoRecord,
  demoRecords,
  mirrored,
  withLayout,
  withMachine,
} from '../../../../test/support/demo-records.ts';
import { explainLayout, explainSite } from './explain.ts';
import type { Layout } from './model.ts';
import { planLayout } from './plan-layout.ts';
import { rapidSeconds, visitingOrder } from './visiting-order.ts';

const stops = (l: Layout) => l.findings.filter((f) => f.severity === 'stop').map((f) => f.code);

function withSites(
  record: MachineRecord,
  sites: readonly { id: string; state: SiteState; at: Point }[],
): MachineRecord {
  const state: BedState = {
    ...bare(record).state,
    sites: new Map(
      sites.map((s) => [s.id, { state: s.state, at: s.at, atFrom: 'measured', date: '2026-01-01' }]),
    ),
    inserts: sites.filter((s) => s.state === 'set').map((s) => ({ site: s.id, at: s.at, insert: 'x' })),
  };
  return { ...record, state };
}

describe('layouts of the demo fleet', () => {
  for (const record of demoRecords()) {
    test(`${record.machine.id}: lays out without a stop, covers, and is in order`, () => {
      const layout = planLayout(record);
      expect(stops(layout)).toEqual([]);
      expect(new Set(layout.sites.map((s) => s.id)).size).toBe(layout.sites.length);
      expect([...layout.order].sort((a, b) => a - b)).toEqual(layout.sites.map((_, i) => i));
      expect(layout.bound.lower).toBeLessThanOrEqual(layout.sites.length);
      expect(layout.coverage.radius).toBeLessThanOrEqual(layout.coverage.allowed + 1e-6);
      // Nothing that the ledger has is anywhere else.
      for (const [id, fact] of record.state.sites) {
        expect(layout.sites.find((s) => s.id === id)?.actual).toEqual(fact.at);
      }
    });

    test(`${record.machine.id}: the coverage radius against a dense scan of the board`, () => {
      const fresh = { ...bare(record), survey: null };
      const layout = planLayout(fresh);
      const { at, size } = record.machine.board;
      const step = 7;
      let worst = 0;
      for (let x = at[0]; x <= at[0] + size[0]; x += step) {
        for (let y = at[1]; y <= at[1] + size[1]; y += step) {
          let near = Number.POSITIVE_INFINITY;
          for (const s of layout.sites) near = Math.min(near, distance(s.actual, [x, y]));
          worst = Math.max(worst, near);
        }
      }
      // A scan can only miss the maximum, by half a cell's diagonal at most (distance is 1-Lipschitz).
      expect(worst).toBeLessThanOrEqual(layout.coverage.radius + 1e-9);
      expect(layout.coverage.radius - worst).toBeLessThanOrEqual((step * Math.SQRT2) / 2 + step);
    });

    test(`${record.machine.id}: everything can be explained`, () => {
      const layout = planLayout(record);
      expect(explainLayout(layout).length).toBeGreaterThan(4);
      for (const s of layout.sites) {
        expect(explainSite(layout, s.id)[0]).toContain(`${s.id}: nominal`);
        if (s.land === 'zone') expect(explainSite(layout, s.id).join(' ')).toContain('leaks into the zone');
      }
      expect(() => explainSite(layout, 'ZZ99')).toThrow(/it has A1/);
    });
  }

  test('the mirrored bed gets the mirrored layout', () => {
    for (const id of ['heron', 'egret', 'curlew', 'avocet']) {
      const base = { ...bare(demoRecord(id)), survey: null };
      const plain = planLayout(base);
      const image = planLayout(mirrored(bare(base)));
      expect(image.sites.length).toBe(plain.sites.length);
      expect(
        image.columns
          .map((x) => -x)
          .reverse()
          .map((x) => x.toFixed(3)),
      ).toEqual(plain.columns.map((x) => x.toFixed(3)));
      expect(image.rows.map((y) => y.toFixed(3))).toEqual(plain.rows.map((y) => y.toFixed(3)));
    }
  });

  test('symmetric beds get symmetric sites, in both patterns', () => {
    for (const pattern of ['aligned', 'fewest'] as const) {
      const layout = planLayout({ ...withLayout(demoRecord('avocet'), { pattern }), survey: null });
      expect(layout.symmetric).toBe('both');
      const { at, size } = demoRecord('avocet').machine.board;
      for (const s of layout.sites) {
        for (const image of [
          [2 * at[0] + size[0] - s.nominal[0], s.nominal[1]],
          [s.nominal[0], 2 * at[1] + size[1] - s.nominal[1]],
        ] as Point[]) {
          expect(Math.min(...layout.sites.map((o) => distance(o.nominal, image)))).toBeLessThan(0.02);
        }
      }
    }
  });

  test('outer rows stand closer where the pitch comes from the plate formula', () => {
    const layout = planLayout(withLayout(demoRecord('avocet'), { pitchMax: null, nudgeMax: 25 }));
    const gaps = (l: readonly number[]): number[] => l.slice(1).map((v, i) => v - (l[i] as number));
    for (const axis of [layout.rows, layout.columns]) {
      const g = gaps(axis);
      // derived: (0.0058004/0.02567)^¼ = 0.68946
      expect(g[0]).toBeLessThanOrEqual(0.6895 * layout.pitch.limit);
      expect(g.at(-1)).toBeLessThanOrEqual(0.6895 * layout.pitch.limit);
      expect(Math.max(...g)).toBeLessThanOrEqual(layout.pitch.limit + 1e-6);
    }
    expect(layout.pitch.from).toContain('plate formula');
  });

  test('the outer row moves just inside the zone where the reach forbids the outer land', () => {
    const egret = demoRecord('egret');
    const layout = planLayout(egret);
    const front = layout.sites.filter((s) => s.row === 0);
    expect(front.some((s) => s.land === 'zone')).toBe(true);
    for (const s of front) {
      expect(s.actual[1]).toBeGreaterThanOrEqual(egret.machine.travel.y[0] + layout.needs.overhang);
    }
    const blocked = withLayout(egret, { edge: [25, 60] });
    const far = planLayout(blocked).findings.find((f) => f.code === 'layout/edge-out-of-reach');
    expect(far?.severity).toBe('warn');
    expect(far?.message).toContain('front edge');
    expect(far?.message).toContain('the spindle reaches no farther');
  });
});

describe('the ledger', () => {
  const fresh = { ...bare(demoRecord('curlew')), survey: null };
  const plan = planLayout(fresh);
  const b2 = plan.sites.find((s) => s.id === 'B2');
  if (!b2) throw new Error('curlew has no B2');

  test('a site is kept exactly where it is recorded, name and position', () => {
    const at: Point = [b2.actual[0] + 0.21, b2.actual[1] - 0.13];
    const layout = planLayout(withSites(fresh, [{ id: 'B2', state: 'set', at }]));
    const site = layout.sites.find((s) => s.id === 'B2');
    expect(site?.actual).toEqual(at);
    expect(site?.placedBy).toBe('ledger');
    expect(stops(layout)).toEqual([]);
    for (const s of layout.sites) {
      if (s.id !== 'B2') expect(s.actual).toEqual(plan.sites.find((o) => o.id === s.id)?.actual);
    }
  });

  test('a layout that would move an insert stops, names site and distance and offers the choice', () => {
    const at: Point = [b2.actual[0] + 30, b2.actual[1] + 40];
    const found = planLayout(withSites(fresh, [{ id: 'B2', state: 'set', at }])).findings.find(
      (f) => f.code === 'layout/moved-site',
    );
    expect(found?.severity).toBe('stop');
    // derived: 30, 40 → 50 mm
    expect(found?.message).toContain('move site B2 by 50 mm');
    expect(found?.help).toMatch(/given.*filled/);
  });

  test('a site that the layout no longer has stops', () => {
    const found = planLayout(withSites(fresh, [{ id: 'K9', state: 'bored', at: [100, 100] }])).findings.find(
      (f) => f.code === 'layout/lost-site',
    );
    expect(found?.severity).toBe('stop');
    expect(found?.message).toMatch(/a bore for site K9 .*nearest is A1/);
    expect(found?.help).toMatch(/given.*filled/);
  });

  test('a filled hole asks for nothing, and is pointed out when a new one comes too near', () => {
    const far = planLayout(withSites(fresh, [{ id: 'K9', state: 'filled', at: [150, 150] }]));
    expect(far.findings.filter((f) => f.code.startsWith('layout/'))).toEqual([]);
    const near = planLayout(
      withSites(fresh, [{ id: 'B2', state: 'filled', at: [b2.actual[0] + 8, b2.actual[1]] }]),
    );
    expect(near.findings.find((f) => f.code === 'layout/near-filled')?.severity).toBe('warn');
    expect(near.sites.find((s) => s.id === 'B2')?.state).toBe('none');
  });

  test('every site of a finished bed stays when the drawing is refined', () => {
    for (const record of demoRecords().filter((r) => r.state.sites.size > 0)) {
      const before = planLayout(record);
      const finer = {
        ...record,
        survey: record.survey && {
          ...record.survey,
          features: record.survey.features.map((f) => ({
            ...f,
            measured: f.measured && ([f.measured[0] + 0.05, f.measured[1] - 0.05] as const),
          })),
        },
      };
      const after = planLayout(finer);
      expect(stops(after)).toEqual([]);
      for (const s of before.sites) expect(after.sites.find((o) => o.id === s.id)?.actual).toEqual(s.actual);
    }
  });

  test('fewest keeps what is in the bed and covers around it', () => {
    const record = withLayout(fresh, { pattern: 'fewest' });
    const at: Point = [40, 200];
    const layout = planLayout(withSites(record, [{ id: 'Q7', state: 'set', at }]));
    expect(layout.sites.find((s) => s.id === 'Q7')?.actual).toEqual(at);
    expect(stops(layout)).toEqual([]);
    expect(layout.coverage.radius).toBeLessThanOrEqual(layout.coverage.allowed + 1e-6);
  });
});

describe('nudges and impossible requests', () => {
  const curlew = bare(demoRecord('curlew'));
  const nudged = (site: string, by: Point) =>
    planLayout(
      withMachine(curlew, {
        fixing: {
          ...curlew.machine.fixing,
          nudges: [{ site, by, reason: 'a groove is not where the drawing has it' }],
        },
      }),
    );

  test('a nudge of the air pass moves its site and is told apart from the layout’s own', () => {
    const before = planLayout(curlew).sites.find((s) => s.id === 'A2');
    const after = nudged('A2', [2.5, -1]).sites.find((s) => s.id === 'A2');
    expect(after?.actual[0]).toBeCloseTo((before?.actual[0] ?? 0) + 2.5, 6);
    expect(after?.actual[1]).toBeCloseTo((before?.actual[1] ?? 0) - 1, 6);
    expect(after?.nudges.map((n) => n.why)).toEqual(['air-pass']);
    expect(
      planLayout(curlew)
        .sites.find((s) => s.id === 'B2')
        ?.nudges.map((n) => n.why),
    ).toEqual(['layout']);
  });

  test('a nudge into a groove stops and names the groove', () => {
    const layout = nudged('B2', [-12, 0]);
    const found = layout.findings.find((f) => f.code === 'layout/nudge');
    expect(found?.severity).toBe('stop');
    expect(found?.message).toMatch(/site B2 after its nudge is .* from zone A groove/);
  });

  test('a nudge of a site that does not exist stops', () => {
    expect(stops(nudged('Z9', [1, 0]))).toEqual(['layout/unknown-nudge']);
  });

  test('nudges of the layout stay within the limit', () => {
    for (const record of demoRecords()) {
      for (const s of planLayout(bare(record)).sites) {
        for (const n of s.nudges) {
          expect(distance([0, 0], n.by)).toBeLessThanOrEqual(record.machine.fixing.layout.nudgeMax + 1e-9);
        }
      }
    }
  });

  test('a crossing without land says how far the nearest is and what would free it', () => {
    // One column of sites down the middle of a bed whose middle is a wide keep-out.
    const m = curlew.machine;
    const record = withMachine(withLayout(curlew, { nudgeMax: 5 }), {
      bed: {
        ...m.bed,
        keepOuts: [
          { id: 'pit', shape: { kind: 'rect', at: [150, -5], size: [300, 930] }, height: null, metal: false },
        ],
      },
    });
    const found = planLayout(record).findings.filter((f) => f.severity === 'stop');
    expect(found.length).toBeGreaterThan(0);
    for (const f of found) {
      expect(f.help).toBeTruthy();
      expect(f.place?.file).toBe('machines/curlew/machine.yaml');
    }
    expect(found.map((f) => f.message).join(' ')).toMatch(/nearest is .* mm away|no set of columns/);
  });

  test('an insert that fits nowhere: no land, and the account of what it needs', () => {
    const big = { ...curlew.planned.insert.outside, value: 200 };
    const record = {
      ...curlew,
      planned: { ...curlew.planned, insert: { ...curlew.planned.insert, outside: big } },
    };
    for (const pattern of ['aligned', 'fewest'] as const) {
      const layout = planLayout(withLayout(record, { pattern }));
      expect(stops(layout)).toContain('layout/no-land');
      expect(layout.sites).toEqual([]);
      expect(layout.findings.map((f) => f.message).join(' ')).toMatch(/wall 200/);
    }
  });

  test('given sites: two of a name, a place that is no number, one in a groove', () => {
    const at = (id: string, p: Point) => ({ id, at: p });
    const layout = planLayout(
      withLayout(curlew, {
        pattern: 'given',
        sites: [
          at('A1', [40, 40]),
          at('A1', [570, 40]),
          at('B1', [Number.NaN, 3]),
          at('C1', curlew.machine.bed.zones[0]?.ports[0]?.at ?? [0, 0]),
        ],
      }),
    );
    expect(stops(layout)).toEqual(
      expect.arrayContaining(['layout/duplicate-site', 'layout/bad-position', 'layout/clearance']),
    );
    expect(layout.sites.map((s) => s.id)).toEqual(['A1', 'C1']);
  });

  test('no sites given is an error, not an empty layout', () => {
    expect(stops(planLayout(withLayout(curlew, { pattern: 'given', sites: [] })))).toContain(
      'layout/no-sites',
    );
  });
});

describe('order of visiting', () => {
  test('a rapid takes what the slower axis takes', () => {
    const m = { ...demoRecord('heron').machine };
    const motion = {
      ...m.motion,
      rapid: { x: 27000, y: 27000, z: 5000 },
      acceleration: { xy: 1350, z: 400 },
    };
    // published rule v = 1.5·d/t: 300 mm at 450 mm/s and 1350 mm/s² take 1.000 s
    expect(rapidSeconds({ ...m, motion }, [0, 0], [300, 10])).toBeCloseTo(1, 9);
    const slow = { ...m.motion, rapid: { x: 10000, y: 20000, z: 5000 }, acceleration: { xy: 500, z: 400 } };
    // derived: 2438.4 mm at 10 m/min and 500 mm/s² take 14.9637 s
    expect(rapidSeconds({ ...m, motion: slow }, [0, 0], [2438.4, 2438.4])).toBeCloseTo(14.9637, 4);
  });

  test('up to seven sites the order is the best of all orders', () => {
    const { machine } = demoRecord('heron');
    const points: Point[] = [
      [100, 900],
      [900, 120],
      [500, 500],
      [1100, 2000],
      [60, 60],
      [700, 1500],
      [300, 2300],
    ];
    const time = (order: readonly number[]): number => {
      let sum = 0;
      let at = machine.park;
      for (const i of order) {
        sum += rapidSeconds(machine, at, points[i] as Point);
        at = points[i] as Point;
      }
      return sum + rapidSeconds(machine, at, machine.park);
    };
    let best = Number.POSITIVE_INFINITY;
    const walk = (done: number[], left: number[]): void => {
      if (left.length === 0) best = Math.min(best, time(done));
      for (const i of left)
        walk(
          [...done, i],
          left.filter((j) => j !== i),
        );
    };
    walk(
      [],
      points.map((_, i) => i),
    );
    expect(time(visitingOrder(machine, points))).toBeCloseTo(best, 9);
  });

  test('the lands that a layout carries are where its sites are', () => {
    const layout = planLayout(demoRecord('egret'));
    for (const s of layout.sites) expect(containsPoint(layout.lands, s.actual)).toBe(true);
  });
});
