import type { Fact } from '@bedledger/fleet';
import { describe, expect, test } from 'vitest';
import { byName, listOf } from '../base/words.ts';
import type { WorkPlan } from '../plan/plan.ts';
import { planMachine } from '../plan/plan-machine.ts';
import { board, bores, inserts, screws, skim } from '../testing/facts.ts';
import { gridLayout } from '../testing/layouts.ts';
import { HOUSE, machineOf, recordOf } from '../testing/records.ts';

const machine = machineOf({}, [600, 500]);
const layout = gridLayout(recordOf(machine), 2, 2);
const plan = (facts: readonly Fact[], over: Parameters<typeof recordOf>[2] = {}, m = machine): WorkPlan => {
  const record = recordOf(m, facts, over);
  return planMachine(record, { layout: gridLayout(record, 2, 2) });
};
const names = (p: WorkPlan): string[] => p.programs.map((program) => program.name);
const why = (p: WorkPlan, operation: string, form: string | null = null): string =>
  p.withheld.find((w) => w.operation === operation && w.form === form)?.reason ?? '';

const BORED = bores(layout, '2026-01-02');
const SET = inserts(layout, '2026-01-05');
const BOARD = board('2026-01-03', [18, 18.1]);
const POCKETED = board('2026-01-06', [18, 18.1], true);
const DRIVEN = screws('2026-01-06');

describe('what may be issued at each state of the ledger', () => {
  test.each<[string, readonly Fact[], readonly string[]]>([
    ['nothing recorded', [], ['datum-mark', 'air-pass', 'bed-mark']],
    [
      'marked',
      layout.sites.map((s) => ({ fact: 'mark', date: '2026-01-01', site: s.id, at: s.actual })),
      ['datum-mark', 'air-pass', 'bed-mark'],
    ],
    ['bored', BORED, ['datum-mark', 'air-pass']],
    [
      'bored, board measured',
      [...BORED, BOARD],
      ['datum-mark', 'air-pass', 'socket-pockets', 'clearance-holes-first-fit'],
    ],
    [
      'board on an unmarked bed',
      [BOARD],
      ['datum-mark', 'air-pass', 'bed-mark', 'socket-pockets', 'clearance-holes-first-fit'],
    ],
    ['inserts set, no board', [...BORED, ...SET], ['datum-mark', 'air-pass']],
    [
      'inserts set, new board',
      [...BORED, ...SET, BOARD],
      ['datum-mark', 'air-pass', 'socket-pockets', 'clearance-holes-refit'],
    ],
    ['pocketed, no inserts', [...BORED, POCKETED], ['datum-mark', 'air-pass']],
    ['pocketed, inserts set, no screw recorded', [...BORED, ...SET, POCKETED], ['datum-mark', 'air-pass']],
    [
      'pocketed, inserts set, screws driven',
      [...BORED, ...SET, POCKETED, DRIVEN],
      ['datum-mark', 'air-pass', 'surface'],
    ],
    [
      'one insert of four',
      [...BORED, SET[0]!, BOARD],
      ['datum-mark', 'air-pass', 'socket-pockets', 'clearance-holes-refit'],
    ],
  ])('%s', (_, facts, issued) => {
    const p = plan(facts);
    expect(p.findings.filter((f) => f.severity === 'stop')).toEqual([]);
    expect(names(p)).toEqual(issued);
    // Everything else is withheld, with a reason a person can act on.
    for (const w of p.withheld) expect(w.reason).toMatch(/^[^A-Z].{15,}[^.]$/);
    expect(p.programs.length + p.withheld.length).toBe(13);
    // The profile has no survey features and asks for no trim, no rim breaks and no patch: nobody misses them.
    expect(p.withheld.filter((w) => w.asked === false).map((w) => w.operation)).toEqual([
      'survey-visit',
      'rim-break',
      'rim-break',
      'trim',
      'patch',
    ]);
  });

  test('a single insert anywhere, even of a site that the layout has lost, ends the first fit for good', () => {
    const lost: Fact[] = [
      { fact: 'bore', date: '2026-01-01', site: 'Z9', at: [300, 250], diameter: 9.9, depth: 15 },
      { fact: 'insert', date: '2026-01-01', site: 'Z9', at: [300, 250], insert: 'bush' },
    ];
    const p = plan([...lost, ...BORED, BOARD]);
    expect(names(p)).not.toContain('clearance-holes-first-fit');
    expect(why(p, 'clearance-holes', 'first-fit')).toContain('Z9');
  });

  test('bed-mark leaves out the sites with an insert and marks the others', () => {
    const p = plan([BORED[0]!, SET[0]!]);
    const mark = p.programs.find((program) => program.name === 'bed-mark')!;
    expect(mark.header.sites).toEqual(layout.sites.slice(1).map((s) => s.id));
  });

  test('a filled hole is bed again', () => {
    const filled: Fact = { fact: 'fill', date: '2026-02-01', site: 'A1', reason: 'groove found there' };
    const p = plan([...BORED, SET[0]!, filled]);
    expect(p.programs.find((program) => program.name === 'bed-mark')!.header.sites).toEqual(['A1']);
  });

  test('bed-mark comes no nearer than a bore to metal that the layout has lost', () => {
    const near: Fact[] = [
      { fact: 'bore', date: '2026-01-01', site: 'Z9', at: [46, 40], diameter: 9.9, depth: 15 },
      { fact: 'insert', date: '2026-01-01', site: 'Z9', at: [46, 40], insert: 'bush' },
    ];
    const p = plan(near);
    expect(p.findings.some((f) => f.code === 'operations/near-insert' && f.severity === 'stop')).toBe(true);
    expect(p.programs.find((program) => program.name === 'bed-mark')!.header.sites).not.toContain('A1');
  });

  test('cut datum marks are not cut again once the bed is bored from them', () => {
    const cut = machineOf({ datum: { ...machine.datum, made: 'cut', second: [580, 0] } }, [600, 500]);
    expect(names(plan([], {}, cut))).toContain('datum-mark');
    const p = plan(BORED, {}, cut);
    expect(names(p)).not.toContain('datum-mark');
    expect(why(p, 'datum-mark')).toContain('A1');
  });

  test('the underside: before the board is pocketed, and once', () => {
    const raw: Fact = { ...BOARD, skimmed: 'none' } as Fact;
    expect(names(plan([...BORED, raw]))).toContain('underside-skim');
    expect(why(plan([...BORED, BOARD]), 'underside-skim')).toContain('recorded as skimmed');
    expect(why(plan([...BORED, raw, skim('2026-01-04', 0.3, [17.7])]), 'underside-skim')).toContain(
      'skimmed',
    );
    expect(why(plan([...BORED, ...SET, POCKETED]), 'underside-skim')).toContain('pocketed');
  });
});

describe('the skim ends at the limit', () => {
  const worn = (thickness: number) =>
    plan([...BORED, ...SET, POCKETED, DRIVEN, skim('2026-03-01', 0.4, [thickness])]);
  test('cover over the heads: issued with room, withheld without', () => {
    const fresh = worn(17.5);
    const stack = [...fresh.stacks.values()].reduce((a, b) => (a.headTop > b.headTop ? a : b));
    const limit = stack.headTop + HOUSE.stack.coverMin;
    expect(names(worn(limit + HOUSE.stack.skim + 0.06))).toContain('surface');
    const over = worn(limit + HOUSE.stack.skim - 0.05);
    expect(names(over)).not.toContain('surface');
    expect(why(over, 'surface')).toMatch(/below the limit|stack/);
  });

  test('the board’s least thickness rules where it is higher than the heads need', () => {
    const m = machineOf({ board: { ...machine.board, leastThickness: 17.7 } }, [600, 500]);
    const p = plan([...BORED, ...SET, POCKETED, DRIVEN], {}, m);
    expect(names(p)).not.toContain('surface');
    expect(why(p, 'surface')).toContain('17.7');
  });

  test('a height map newer than the last skim rules, an older one does not', () => {
    const heights = [{ file: 'heights/a.csv', points: gridOf((x, y) => 17.9 + 0.3 * (x / 600) * (y / 500)) }];
    const map: Fact = { fact: 'heights', date: '2026-03-02', file: 'heights/a.csv' };
    const mapped = plan([...BORED, ...SET, POCKETED, DRIVEN, map], { heights });
    expect(mapped.accounts.surfacing[0]?.label).toBe('Height map');
    const stale = plan([...BORED, ...SET, POCKETED, DRIVEN, map, skim('2026-03-03', 0.4, [17.5])], {
      heights,
    });
    expect(stale.accounts.surfacing[0]?.label).toBe('Stated depth');
  });
});

function gridOf(height: (x: number, y: number) => number): (readonly [number, number, number])[] {
  const points: (readonly [number, number, number])[] = [];
  for (let x = 0; x <= 600; x += 100) for (let y = 0; y <= 500; y += 100) points.push([x, y, height(x, y)]);
  return points;
}

test('site names sort by row and number, and long lists are cut', () => {
  expect(['B10', 'AA1', 'B2', 'A3'].sort(byName)).toEqual(['A3', 'B2', 'B10', 'AA1']);
  expect(listOf(['A1', 'A2', 'A3', 'A4', 'A5'])).toBe('A1, A2, A3 and 2 more');
});
