import { describeStack } from '@bedledger/fasteners';
import { bedState, type Fact, type HeightMap, type MachineRecord } from '@bedledger/fleet';
import { describe, expect, test } from 'vitest';
import { bare, demoRecord } from '../../../../test/support/demo-records.ts';
import { stackPlace } from '../base/board-work.ts';
import { stackInput } from '../base/stack-input.ts';
import { explainLayout, explainSite } from '../layout/explain.ts';
import type { Layout } from '../layout/model.ts';
import { planLayout } from '../layout/plan-layout.ts';
import { surveyReport } from '../survey/survey-report.ts';
import { board, bores, inserts, screws, skim } from '../testing/facts.ts';
import type { WorkPlan } from './plan.ts';
import { planMachine } from './plan-machine.ts';
import { machineStatus } from './status.ts';

/** Every sentence, label and unit that a person may read of one plan. Names that parts are bought by are left out. */
function textsOf(record: MachineRecord, plan: WorkPlan): string[] {
  const out: string[] = [];
  const walk = (value: unknown): void => {
    if (typeof value === 'string') out.push(value);
    else if (Array.isArray(value)) for (const v of value) walk(v);
    else if (typeof value === 'object' && value !== null) for (const v of Object.values(value)) walk(v);
  };
  walk(plan.findings.map((f) => [f.message, f.help]));
  walk(plan.withheld.map((w) => w.reason));
  walk(plan.steps);
  walk(plan.next);
  walk(plan.bill.filter((line) => !line.item.startsWith('screw ')));
  walk(plan.accounts);
  for (const { header, moves } of plan.programs) {
    walk([header.title, header.before, header.after, header.cautions]);
    for (const move of moves) if (move.kind === 'stop') walk(move);
  }
  const status = machineStatus(plan);
  walk([status.due, status.next, status.blocked]);
  const report = surveyReport(record);
  walk([report.lines, report.why]);
  walk(explainLayout(plan.layout));
  for (const site of plan.layout.sites) {
    walk(explainSite(plan.layout, site.id));
    walk(site.reasons);
  }
  const first = plan.layout.sites[0];
  const stack = first && plan.stacks.get(first.id);
  if (first && stack) {
    const place = stackPlace(record, plan.work, first);
    walk(describeStack(stack, stackInput(record, place, record.planned)));
  }
  // Names of one's own and names to buy by: titles of cutters, stock and fixings, screws, metric drills.
  const names = [
    ...[...record.cutters.values()].map((c) => c.title),
    record.stock.title,
    record.planned.title,
    ...[...plan.stacks.values()].flatMap((s) => {
      const { designation } = record.planned.screw.thread;
      return designation.startsWith('M')
        ? [`${designation} × ${s.screwLength} mm`, `${s.handDrill.name} mm`]
        : [`${designation} × ${Number((s.screwLength / 25.4).toFixed(3))} in`];
    }),
  ];
  return out.map((text) => names.reduce((t, name) => t.replaceAll(name, '«name»'), text));
}

const METRIC = /\bmm\b|\bmm[³²]|\d m\b|\bmetre|\bkPa\b|\bkN\b|\d N\b|\bcm²|m³|m²|\bkg\b|\d l\b|m\/s/;
const INCH =
  /\d in(?=[.,;:)\s]|$)(?! (?:the|all|a|every|four|several|rows|zone)\b)|\bfoot\b|\bft\b|inHg|lbf|\blb\b|in\/min|\bpsi\b|in²|in³/;

/** What may be written in SI in any country: torque, design loads, published limits, sources of formulas. */
const ANYWHERE = / \[[^\]]*\]$|mg\/m3|N·m|design pull \d+ N|preload \d+ N|N, margin|[≥≤] \d+ N\b/g;

function withFacts(
  record: MachineRecord,
  facts: readonly Fact[],
  over: Partial<MachineRecord> = {},
): MachineRecord {
  const ledger = { facts };
  return { ...bare(record), ledger, state: bedState(ledger, record.machine), ...over };
}

/** The states of a router's life, from the bare bed to the board that is used up. */
function lifeOf(record: MachineRecord, layout: Layout): Record<string, MachineRecord> {
  const fit = (d: string, t: number[], pocketed = false): Fact => {
    const fact = board(d, t, pocketed);
    if (fact.fact !== 'board') return fact;
    return { ...fact, stock: record.stock.id, ...(pocketed && { pocketFloor: floor }) };
  };
  const screwed = screws('2026-01-05', record.planned, record.planned.screw.lengths[3]);
  const t = record.stock.thickness;
  const floor = record.house.stack.webMin + 0.5;
  const least = record.machine.board.leastThickness;
  const bored = bores(layout, '2026-01-02', 11, 15);
  const set = [...bored, ...inserts(layout, '2026-01-04')];
  const { at, size } = record.machine.board;
  const map: HeightMap = {
    file: 'heights/2026-03-01.csv',
    points: [0, 0.25, 0.5, 0.75, 1].flatMap((u) =>
      [0, 0.25, 0.5, 0.75, 1].map(
        (v) => [at[0] + u * size[0], at[1] + v * size[1], t - 0.5 + 0.6 * u + 0.2 * v] as const,
      ),
    ),
  };
  const reading: Fact = { fact: 'vacuum', date: '2026-01-06', covered: 60_000, uncovered: 40_000 } as Fact;
  const weak: Fact = { fact: 'vacuum', date: '2026-02-06', covered: 40_000, uncovered: 30_000 } as Fact;
  return {
    bare: withFacts(record, []),
    bored: withFacts(record, bored),
    'first fit': withFacts(record, [...bored, fit('2026-01-03', [t, t - 0.1])]),
    pocketed: withFacts(record, [...bored, fit('2026-01-03', [t, t - 0.1], true)]),
    set: withFacts(record, [...set, fit('2026-01-05', [t, t - 0.1], true)]),
    screwed: withFacts(record, [...set, fit('2026-01-05', [t, t - 0.1], true), screwed]),
    skimmed: withFacts(record, [
      ...set,
      fit('2026-01-05', [t, t - 0.1], true),
      screwed,
      reading,
      skim('2026-01-20', 0.4, [t - 0.5]),
      weak,
    ]),
    mapped: withFacts(
      record,
      [
        ...set,
        fit('2026-01-05', [t, t - 0.1], true),
        screwed,
        { fact: 'heights', date: '2026-03-01', file: map.file } as Fact,
      ],
      { heights: [map] },
    ),
    refit: withFacts(record, [...set, fit('2026-05-05', [t, t - 0.1])]),
    worn: withFacts(record, [...set, fit('2026-01-05', [t], true), skim('2026-02-01', 1, [least + 0.1])]),
    'too thin': withFacts(record, [...set, fit('2026-01-05', [least - 1], true)]),
  };
}

/** Profiles that make other sentences: a site off its land, a stepover too wide, a strip out of reach. */
function odd(record: MachineRecord): MachineRecord[] {
  const { machine } = record;
  const { layout } = machine.fixing;
  const rules = (changes: Partial<typeof layout>): MachineRecord => ({
    ...bare(record),
    machine: { ...machine, fixing: { ...machine.fixing, layout: { ...layout, ...changes } } },
  });
  return [
    rules({ nudgeMax: 0 }),
    rules({ pitchMax: 20 }),
    rules({ pitchMax: null }),
    ...(machine.id === 'egret' ? [rules({ pattern: 'fewest' })] : []),
    rules({ pattern: 'given', sites: [{ id: 'A1', at: [1e4, 10] }] }),
    { ...bare(record), house: { ...record.house, landMargin: 500 } },
    { ...bare(record), house: { ...record.house, stack: { ...record.house.stack, coverMin: 30 } } },
  ];
}

describe.each([
  ['egret', METRIC],
  ['heron', INCH],
] as const)('%s speaks its own units', (id, foreign) => {
  const record = demoRecord(id);
  const layout = planLayout(bare(record));
  const check = (r: MachineRecord, plan: WorkPlan): void => {
    const texts = textsOf(r, plan);
    expect(texts.length).toBeGreaterThan(20);
    expect(texts.map((t) => t.replace(ANYWHERE, '')).filter((text) => foreign.test(text))).toEqual([]);
  };
  test.each(Object.entries(lifeOf(record, layout)))('%s', (_, r) => {
    for (const m of [
      r.machine,
      {
        ...r.machine,
        zZero: 'board-top' as const,
        tram: { x: 2e-4, y: 3e-4 } as never,
        board: { ...r.machine.board, trim: true, undersideSkim: 0.3 },
        cutters: { ...r.machine.cutters, trim: r.machine.cutters.pocket },
        surfacing: { ...r.machine.surfacing, style: 'one-way-climb' as const, stepover: 0.9 },
        travel: { ...r.machine.travel, x: [r.machine.travel.x[0] + 60, r.machine.travel.x[1]] as const },
      },
    ]) {
      const changed = { ...r, machine: m };
      check(changed, planMachine(changed, { layout }));
    }
  });
  test('the record as it is, and odd profiles', () => {
    check(record, planMachine(record));
    for (const r of odd(record)) check(r, planMachine(r));
  });
});
