import type { Cutter, Machine, MachineRecord } from '@bedledger/fleet';
import { describe, expect, test } from 'vitest';
import { BEDWORK_RULES } from '../rules/index.ts';
import { planeAt } from '../surfacing/plane-under.ts';
import { surveyReport } from '../survey/survey-report.ts';
import { board, bores, inserts, screws } from '../testing/facts.ts';
import { gridLayout } from '../testing/layouts.ts';
import { CUTTERS, HOUSE, machineOf, recordOf } from '../testing/records.ts';
import { planMachine } from './plan-machine.ts';

const machine = machineOf({}, [600, 500]);
const layout = gridLayout(recordOf(machine), 2, 2);
const SET = [...bores(layout, '2026-01-02'), ...inserts(layout, '2026-01-03')];
const planOf = (record: MachineRecord, options: Parameters<typeof planMachine>[1] = {}) =>
  planMachine(record, { layout: gridLayout(record, 2, 2), ...options });

describe('a bad profile gives findings, never a program and never an exception', () => {
  const stops = (m: Machine, over: Partial<MachineRecord> = {}): string[] => {
    const record = {
      ...recordOf(m, [...SET, board('2026-01-04', [18], true), screws('2026-01-04')]),
      ...over,
    };
    return planOf(record)
      .findings.filter((f) => f.severity === 'stop')
      .map((f) => f.code);
  };
  test('a cutter that does not exist', () => {
    expect(stops({ ...machine, cutters: { ...machine.cutters, surface: 'no-such' } })).toEqual([
      'operations/no-cutter',
    ]);
  });
  test('a surfacing cutter with a point', () => {
    expect(stops({ ...machine, cutters: { ...machine.cutters, surface: 'vee-90' } })).toEqual([
      'operations/not-flat',
    ]);
  });
  test('a stepover or a depth that is none', () => {
    expect(stops({ ...machine, surfacing: { ...machine.surfacing, stepover: 0 } })).toEqual([
      'operations/impossible',
    ]);
    expect(stops({ ...machine, surfacing: { ...machine.surfacing, depthPerPass: Number.NaN } })).toEqual([
      'operations/impossible',
    ]);
  });
  test('a spindle that turns too fast for the cutter', () => {
    expect(stops({ ...machine, spindle: { ...machine.spindle, rpm: [18_000, 24_000] } })).toEqual([
      'feeds/too-fast',
    ]);
  });
  test('a cutter without any chip load', () => {
    const bare: Cutter = { ...CUTTERS.get('flattener-63')!, chipLoad: {} };
    expect(stops(machine, { cutters: new Map([...CUTTERS, [bare.id, bare]]) })).toEqual([
      'feeds/no-chip-load',
    ]);
  });
  test('a clear height above the travel', () => {
    const low = { ...machine, travel: { ...machine.travel, z: [-12, 20] as const } };
    expect(stops(low)).toContain('operations/clear-height');
  });
  test('figures of the house that are not numbers', () => {
    const house = { ...HOUSE, stack: { ...HOUSE.stack, webMin: Number.NaN } };
    expect(stops(machine, { house }).length).toBeGreaterThan(0);
  });
  test('no site at all', () => {
    const record = recordOf(machine);
    const plan = planMachine(record, { layout: { ...layout, sites: [], order: [] } });
    expect(plan.programs.map((p) => p.name)).toEqual(['datum-mark']);
  });
  test('a house that raises a rule is obeyed', () => {
    const house = { ...HOUSE, raise: { 'surfacing/strip': 'stop' as const } };
    const narrow = { ...machine, travel: { ...machine.travel, y: [60, 580] as const } };
    expect(stops(narrow)).toEqual([]);
    expect(stops(narrow, { house })).toEqual(['surfacing/strip']);
  });
  test('a house cannot lower a rule: what stops, stops', () => {
    const raise = Object.fromEntries(Object.keys(BEDWORK_RULES).map((code) => [code, 'note' as const]));
    const house = { ...HOUSE, raise };
    const pointed = { ...machine, cutters: { ...machine.cutters, surface: 'vee-90' } };
    expect(stops(pointed, { house })).toEqual(['operations/not-flat']);
    expect(stops({ ...machine, surfacing: { ...machine.surfacing, stepover: 0 } }, { house })).toEqual([
      'operations/impossible',
    ]);
    const low = { ...machine, travel: { ...machine.travel, z: [-12, 20] as const } };
    expect(stops(low, { house })).toContain('operations/clear-height');
    const plan = planMachine(
      recordOf({ ...machine, bed: { ...machine.bed, keepOuts: [] } }, [], { house, bed: 'drawn' }),
    );
    expect(plan.findings.find((f) => f.code === 'survey/none')?.severity).toBe('warn');
  });
  test('a finding of the layout is raised too', () => {
    const house = { ...HOUSE, raise: { 'survey/none': 'stop' as const } };
    const plan = planMachine(recordOf(machine, [], { house, bed: 'drawn' }));
    expect(plan.findings.find((f) => f.code === 'survey/none')?.severity).toBe('stop');
    expect(
      surveyReport(recordOf(machine, [], { house, bed: 'drawn' })).findings.map((f) => f.severity),
    ).toEqual(['stop']);
  });
});

describe('surfacing of a real board', () => {
  const points = [0, 200, 400, 600].flatMap((x) =>
    [0, 250, 500].map((y) => [x, y, 17.6 + 0.0004 * x - 0.0002 * y] as const),
  );
  const heights = [{ file: 'h.csv', points }];
  const facts = [
    ...SET,
    board('2026-01-04', [18], true),
    screws('2026-01-04'),
    { fact: 'heights', date: '2026-02-01', file: 'h.csv' } as const,
  ];
  const record = recordOf({ ...machine, tram: { x: 0.002, y: 0.001 } }, facts, { heights });

  test('level: the highest place less the target in equal passes, the last at the target', () => {
    const plan = planOf(record);
    const surface = plan.programs.find((p) => p.name === 'surface')!;
    const heightsCut = surface.moves.filter((m) => m.kind === 'feed').map((m) => m.z);
    const target = 17.5 - 0.1;
    expect(Math.min(...heightsCut)).toBeGreaterThanOrEqual(target - 0.05);
    expect(Math.min(...heightsCut)).toBeLessThanOrEqual(target + 1e-3);
    expect(plan.accounts.surfacing.find((l) => l.label === 'Target')!.note).toBe('level');
  });

  test('best plane within the house’s tilt takes less off, and stays below every height by the margin', () => {
    const level = planOf(record);
    const best = planOf(record, { skim: { plane: 'best' } });
    const most = (p: typeof level): number =>
      Number.parseFloat(p.accounts.surfacing.find((l) => l.label === 'Taken off')!.value);
    expect(most(best)).toBeLessThan(most(level));
    const surface = best.programs.find((p) => p.name === 'surface')!;
    const plane = { a: 17.6, b: 0.0004, c: -0.0002 };
    for (const move of surface.moves) {
      if (move.kind !== 'feed') continue;
      // No deeper than the board's own plane less margin and interpolation error.
      expect(move.z).toBeGreaterThanOrEqual(planeAt(plane, move.x, move.y) - machine.surfacing.margin - 0.05);
    }
  });

  test('the lean of the spindle lowers the thickness to expect', () => {
    const plain = planOf({ ...record, machine });
    const leaning = planOf(record);
    const expected = (p: typeof plain): number =>
      Number.parseFloat(p.accounts.surfacing.find((l) => l.label === 'Expected thickness')!.value);
    // 31.5 mm × √(0.002² + 0.001²) = 0.0704 mm; both are printed to a hundredth.
    expect(Math.abs(expected(plain) - expected(leaning) - 0.0704)).toBeLessThanOrEqual(0.0101);
    expect(leaning.accounts.surfacing.some((l) => l.label === 'Step and hollow')).toBe(true);
  });

  test('something that stands in the way is named', () => {
    const clamps = [
      { id: 'toe', shape: { kind: 'circle', at: [300, 250], diameter: 30 } as const, height: 30 },
    ];
    const plan = planOf(recordOf({ ...machine, clamps }, facts, { heights }));
    expect(plan.withheld.find((w) => w.operation === 'surface')!.reason).toContain('clamp toe');
  });

  test('a strip beyond the travel is shown with its width and what helps', () => {
    const plan = planOf(
      recordOf({ ...machine, travel: { ...machine.travel, y: [60, 580] } }, facts, { heights }),
    );
    const strip = plan.findings.find((f) => f.code === 'surfacing/strip')!;
    // 60 mm beyond, 31.5 mm of rim
    expect(strip.facts).toMatchObject({ side: 'front', width: 28.5 });
    expect(strip.help).toContain('wider cutter');
  });
});

test('outputs that the controller has are switched, others are not', () => {
  const controller = { ...machine.controller, auxiliary: { extraction: { on: 'M7', off: 'M9' } } };
  const record = recordOf({ ...machine, controller }, [
    ...SET,
    board('2026-01-04', [18], true),
    screws('2026-01-04'),
  ]);
  const moves = planOf(record).programs.find((p) => p.name === 'surface')!.moves;
  const names = new Set(moves.flatMap((m) => (m.kind === 'auxiliary' ? [m.name] : [])));
  expect([...names]).toEqual(['extraction']);
  expect(moves.filter((m) => m.kind === 'auxiliary').at(-1)).toMatchObject({ on: false });
});
