import type { Fact, HeightMap, Machine } from '@bedledger/fleet';
import { describe, expect, test } from 'vitest';
import { board, bores, inserts, pocket, screws, skim } from '../testing/facts.ts';
import { gridLayout } from '../testing/layouts.ts';
import { HOUSE, machineOf, recordOf } from '../testing/records.ts';
import type { WorkPlan } from './plan.ts';
import { planMachine } from './plan-machine.ts';
import { machineStatus } from './status.ts';

const machine = machineOf({}, [600, 500]);
const layout = gridLayout(recordOf(machine), 2, 2);
const MAP: HeightMap = {
  file: 'heights/2026-03-01.csv',
  points: [0, 150, 300, 450, 600].flatMap((x) =>
    // A shallow bowl with one high corner: heights of a board after a damp winter.
    [0, 125, 250, 375, 500].map(
      (y) => [x, y, 17.2 + 0.15 * ((x - 300) / 300) ** 2 + (x + y > 1000 ? 0.2 : 0)] as const,
    ),
  ),
};

function planOf(facts: readonly Fact[]): WorkPlan {
  const record = recordOf(machine, facts, { heights: [MAP] });
  return planMachine(record, { layout: gridLayout(record, 2, 2) });
}

test('a router from the bare bed to its second board: what is issued, and the hand work between', () => {
  const facts: Fact[] = [];
  const step = (...more: Fact[]): { issued: string; next: string; plan: WorkPlan } => {
    facts.push(...more);
    const plan = planOf(facts);
    expect(plan.findings.filter((f) => f.severity === 'stop')).toEqual([]);
    return { issued: plan.programs.map((p) => p.name).join(' '), next: plan.next, plan };
  };

  let s = step();
  expect(s.issued).toBe('datum-mark air-pass bed-mark');
  expect(s.next).toMatch(/^run datum-mark, air-pass, bed-mark, then drill the insert bores by hand/);

  s = step(
    ...layout.sites.map((x): Fact => ({ fact: 'mark', date: '2026-01-01', site: x.id, at: x.actual })),
  );
  expect(s.issued).toContain('bed-mark');

  s = step(...bores(layout, '2026-01-02'));
  expect(s.issued).toBe('datum-mark air-pass');
  expect(s.next).toMatch(/measure the new board/);

  s = step(board('2026-01-03', [18.1, 18.0], false, 'none'));
  expect(s.issued).toBe('datum-mark air-pass underside-skim socket-pockets clearance-holes-first-fit');
  expect(s.next).toMatch(/turn the board over/);

  s = step(skim('2026-01-03', 0.3, [17.75, 17.7]));
  expect(s.issued).toBe('datum-mark air-pass socket-pockets clearance-holes-first-fit');
  expect(s.next).toMatch(/run socket-pockets, clearance-holes-first-fit, then lift the board/);
  // The holes break through over the bores, and nowhere deeper than the cut limit.
  const holes = s.plan.programs.find((p) => p.name === 'clearance-holes-first-fit')!;
  const lowest = Math.min(...holes.moves.map((m) => ('z' in m ? m.z : m.kind === 'drill' ? m.bottom : 99)));
  expect(lowest).toBeLessThan(0);
  // 2.5 mm of cut limit, less 0.1 for the Z zero and 0.2 for the bed
  expect(lowest).toBeGreaterThanOrEqual(-2.2);

  s = step(pocket('2026-01-04'));
  expect(s.issued).toBe('datum-mark air-pass');
  expect(s.next).toMatch(/glue the inserts/);

  s = step(...inserts(layout, '2026-01-05'));
  expect(s.issued).toBe('datum-mark air-pass');
  expect(s.next).toMatch(/drive the screws with the vacuum on/);

  s = step(screws('2026-01-05'));
  expect(s.issued).toBe('datum-mark air-pass surface');

  s = step(skim('2026-01-06', 0.4, [17.3, 17.25]));
  expect(s.next).toMatch(/^run surface/);
  expect(machineStatus(s.plan).life!.skims).toBeGreaterThan(3);

  s = step({ fact: 'heights', date: '2026-03-01', file: MAP.file });
  expect(s.plan.accounts.surfacing[0]!.label).toBe('Height map');

  // Skim after skim, until the ledger says that there is none left.
  let thickness = 17.0;
  let issued = 0;
  for (let i = 0; i < 40; i += 1) {
    s = step(
      skim(
        `2026-${String(4 + Math.floor(i / 20)).padStart(2, '0')}-${String(1 + (i % 20)).padStart(2, '0')}`,
        0.4,
        [thickness],
      ),
    );
    if (!s.issued.includes('surface')) break;
    issued += 1;
    thickness -= 0.4;
  }
  expect(issued).toBeGreaterThan(3);
  expect(s.plan.withheld.find((w) => w.operation === 'surface')!.reason).toMatch(/no skim left/);
  expect(s.next).toMatch(/^fit a new board/);
  expect(machineStatus(s.plan).due[0]).toMatch(/fit a new board/);
  const heads = Math.max(...[...s.plan.stacks.values()].map((stack) => stack.headTop));
  expect(thickness - 0.4).toBeLessThan(heads + HOUSE.stack.coverMin);

  s = step(board('2026-07-01', [18.05, 18.0]));
  expect(s.issued).toBe('datum-mark air-pass socket-pockets clearance-holes-refit');
  expect(s.plan.withheld.find((w) => w.form === 'first-fit')!.reason).toContain('4 inserts');
  expect(s.next).toMatch(/break through and open/);

  s = step(pocket('2026-07-02'));
  expect(s.issued).toBe('datum-mark air-pass');

  s = step(screws('2026-07-02'));
  expect(s.issued).toBe('datum-mark air-pass surface');
  expect(machineStatus(s.plan).board!.ordinal).toBe(2);
});

describe('the run sheet', () => {
  const titles = (plan: WorkPlan): string[] => plan.steps.map((s) => s.title);
  test('order of work: marks, hand drilling, pockets and holes, glue, screws, skim (common practice)', () => {
    const plan = planOf([...bores(layout, '2026-01-02'), board('2026-01-03', [18])]);
    const order = [
      'Datum marks',
      'Air pass',
      'Drill the insert',
      'Lay the board',
      'Socket pockets',
      'Clearance holes',
      'Lift the board',
      'Glue the inserts',
      'Drive the screws',
    ];
    const at = order.map((word) => titles(plan).findIndex((title) => title.startsWith(word)));
    expect(at).not.toContain(-1);
    expect(at).toEqual([...at].sort((a, b) => a - b));
  });

  test('cautions stand at the step where they matter', () => {
    const plan = planOf([...bores(layout, '2026-01-02'), board('2026-01-03', [18])]);
    const of = (start: string): string =>
      plan.steps.find((s) => s.title.startsWith(start))!.cautions.join(' ');
    expect(of('Glue')).toContain('nitrile');
    expect(of('Socket')).toContain('respirator of protection factor 20');
    expect(of('Socket')).toContain('combustible');
    expect(of('Drill the insert')).toContain('plug the ports');
    const refit = planOf([
      ...bores(layout, '2026-01-02'),
      ...inserts(layout, '2026-01-04'),
      board('2026-01-05', [18]),
    ]);
    expect(refit.steps.find((s) => s.title.startsWith('Clearance'))!.cautions.join(' ')).toContain(
      'inserts are in the bed',
    );
  });

  test('the number to key in is the measured thickness, in the units of the machine', () => {
    const facts = [...bores(layout, '2026-01-02'), board('2026-01-03', [18.12])];
    expect(planOf(facts).steps.find((s) => s.program === 'socket-pockets')!.keyIn).toMatchObject({
      value: 18.12,
      unit: 'mm',
    });
    const inch = recordOf({ ...machine, units: 'in' }, facts);
    const plan = planMachine(inch, { layout: gridLayout(inch, 2, 2) });
    expect(plan.steps.find((s) => s.program === 'socket-pockets')!.keyIn).toMatchObject({
      value: 0.7134,
      unit: 'in',
    });
    const top = recordOf({ ...machine, zZero: 'board-top' }, facts);
    const header = planMachine(top, { layout: gridLayout(top, 2, 2) }).programs.find(
      (p) => p.name === 'socket-pockets',
    )!.header;
    expect([header.zZero, header.zeroHeight, header.keyIn]).toEqual(['board-top', 18.12, 0]);
  });

  test('every program has its step, once', () => {
    for (const facts of [[], [...bores(layout, '2026-01-02'), board('2026-01-03', [18], false, 'none')]]) {
      const plan = planOf(facts);
      const inSteps = plan.steps.flatMap((s) => (s.program === null ? [] : [s.program]));
      expect([...inSteps].sort()).toEqual(plan.programs.map((p) => p.name).sort());
    }
  });

  test('the bill counts what is still to be set, spares rounded up', () => {
    const bill = planOf([]).bill;
    expect(bill.find((line) => line.item.startsWith('insert'))!.quantity).toBe(5);
    expect(
      planOf([...bores(layout, '2026-01-02'), ...inserts(layout, '2026-01-03')]).bill.some((l) =>
        l.item.startsWith('insert'),
      ),
    ).toBe(false);
  });
});

describe('status', () => {
  const fitted = [
    ...bores(layout, '2026-01-02'),
    ...inserts(layout, '2026-01-03'),
    board('2026-01-04', [18], true),
    screws('2026-01-04'),
  ];
  test('wear a month and life in weeks from the ledger’s dates (derived)', () => {
    const status = machineStatus(
      planOf([...fitted, skim('2026-03-05', 0.5, [17.5]), skim('2026-05-04', 0.5, [17])]),
    );
    // 1 mm in 120 days
    expect(status.asOf).toBe('2026-05-04');
    expect(status.wear).toMatchObject({ days: 120, lost: 1 });
    expect(status.wear!.perMonth).toBeCloseTo(365.25 / 12 / 120, 9);
    expect(status.life!.weeks).toBeCloseTo(((17 - status.life!.replaceAt) * 120) / 7, 6);
  });

  test('as of a later date the same wear is spread over more days; no clock is read', () => {
    const plan = planOf([...fitted, skim('2026-03-05', 0.5, [17.5])]);
    expect(machineStatus(plan, '2026-12-31').wear!.days).toBe(361);
    expect(machineStatus(plan).wear!.days).toBe(60);
    expect(() => machineStatus(plan, 'today')).toThrow(RangeError);
  });

  test('three days of data say nothing of weeks', () => {
    const early = machineStatus(planOf([...fitted, skim('2026-01-07', 0.5, [17.5])]));
    expect([early.wear, early.life?.weeks]).toEqual([null, null]);
  });

  test('a board whose moisture went beyond what its holes were made for is due, by how much it moved', () => {
    const moist = (date: string, percent: number): Fact => ({ fact: 'moisture', date, percent });
    const due = (percent: number): readonly string[] => {
      const at = fitted.findIndex((f) => f.fact === 'pocket' || (f.fact === 'board' && f.pocketed));
      const facts = [...fitted.slice(0, at), moist(fitted[at]!.date, 8), ...fitted.slice(at)];
      return machineStatus(planOf([...facts, moist('2026-02-01', percent)])).due.filter((d) =>
        d.includes('moisture'),
      );
    };
    // The test house allows one point either way; derived: 2.5 points × 0.0005 = 1.25 mm in a metre.
    expect(due(9)).toEqual([]);
    expect(due(7)).toEqual([]);
    expect(due(10.5)).toEqual([
      expect.stringMatching(/at 10\.5 % moisture.*made at 8 %.*grown by 1\.25 mm in a metre/),
    ]);
    expect(due(6.5)).toEqual([expect.stringMatching(/shrunk by 0\.75 mm in a metre/)]);
  });

  test('a board under a clamp is not called flat', () => {
    const clamp = { id: 'front', shape: { kind: 'rect', at: [250, 0], size: [60, 40] }, height: 40 } as const;
    const under = (clamps: Machine['clamps']): string => {
      const record = recordOf({ ...machine, clamps }, [...fitted, skim('2026-01-06', 0.4, [17.3])]);
      return planMachine(record, { layout: gridLayout(record, 2, 2) }).next;
    };
    expect(under([clamp])).not.toContain('flat');
    // Beside the board it is no matter.
    expect(under([{ ...clamp, shape: { ...clamp.shape, at: [250, -60] } }])).toBe(under([]));
  });

  test('a falling gauge and an uneven board are due', () => {
    const plan = planOf([
      ...fitted,
      { fact: 'vacuum', date: '2026-01-05', covered: 70_000, uncovered: 55_000 },
      { fact: 'vacuum', date: '2026-02-05', covered: 50_000 },
      { fact: 'heights', date: '2026-03-01', file: MAP.file },
    ]);
    const status = machineStatus(plan);
    expect(status.vacuum[0]!.loss).toBeCloseTo(2 / 7, 9);
    expect(status.due.join('\n')).toMatch(/look for the leak[\s\S]*skim the board/);
  });

  test('an empty ledger says nothing it does not know', () => {
    const status = machineStatus(planMachine(recordOf(machine, [], { bed: 'drawn' }), { layout }));
    expect([status.asOf, status.board, status.wear, status.life]).toEqual([null, null, null, null]);
    expect(status.sites.none).toBe(4);
  });
});

test('the plan is the same every time it is made', () => {
  const facts = [...bores(layout, '2026-01-02'), board('2026-01-03', [18])];
  const text = (): string => {
    const { programs, steps, withheld, accounts, bill, next } = planOf(facts);
    return JSON.stringify({ programs, steps, withheld, accounts, bill, next });
  };
  expect(text()).toBe(text());
});
