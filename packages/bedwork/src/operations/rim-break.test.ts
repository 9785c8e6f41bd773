import type { Fact, Machine } from '@bedledger/fleet';
import { describe, expect, test } from 'vitest';
import type { Move } from '../motion/program.ts';
import type { WorkPlan } from '../plan/plan.ts';
import { planMachine } from '../plan/plan-machine.ts';
import { board, bores, inserts, pocket, screws, skim } from '../testing/facts.ts';
import { gridLayout } from '../testing/layouts.ts';
import { machineOf, recordOf } from '../testing/records.ts';

const plain = machineOf({}, [600, 500]);
const asking = (over: Partial<Machine> = {}): Machine => ({
  ...plain,
  board: { ...plain.board, rimBreak: 0.8 },
  cutters: { ...plain.cutters, rim: 'vee-90' },
  ...over,
});
const layout = gridLayout(recordOf(plain), 2, 2);
const plan = (facts: readonly Fact[], machine = asking(), edge = 40): WorkPlan => {
  const record = recordOf(machine, facts);
  return planMachine(record, { layout: gridLayout(record, 2, 2, edge) });
};
const program = (p: WorkPlan) => p.programs.find(({ name }) => name === 'rim-break-top');
const why = (p: WorkPlan, form: 'top' | 'underside' = 'top'): string =>
  p.withheld.find((w) => w.operation === 'rim-break' && w.form === form)?.reason ?? '';

const BORED = bores(layout, '2026-01-02');
const BOARD = board('2026-01-03', [18, 18.1]);
const POCKET = pocket('2026-01-04');
const SET = inserts(layout, '2026-01-05');

describe('pocket rims: issued while the board lies where it was pocketed and holds no screw', () => {
  test.each<[string, readonly Fact[]]>([
    ['with the pockets, on a bed without inserts', [...BORED, BOARD]],
    ['with the pockets, over inserts', [...BORED, ...SET, BOARD]],
    ['after the pockets are recorded', [...BORED, BOARD, POCKET]],
    ['after the pockets are recorded, over inserts', [...BORED, ...SET, BOARD, POCKET]],
    [
      'with the pockets of the next board',
      [...BORED, BOARD, POCKET, ...SET, skim('2026-02-01', 0.3, [17.7]), BOARD],
    ],
  ])('%s', (_, facts) => {
    const p = plan(facts);
    expect(p.findings.filter((f) => f.severity === 'stop')).toEqual([]);
    expect(program(p)?.header.sites).toEqual(['A1', 'A2', 'B1', 'B2']);
    expect(why(p)).toBe('');
  });

  test.each<[Fact]>([
    [{ fact: 'heights', date: '2026-01-05', file: 'heights/a.csv' }],
    [{ fact: 'vacuum', date: '2026-01-05', covered: 60_000 }],
    [{ fact: 'moisture', date: '2026-01-05', percent: 7 }],
    [{ fact: 'time', date: '2026-01-05', operation: 'socket-pockets', minutes: 30, predicted: 28 }],
    [{ fact: 'note', date: '2026-01-05', text: 'two clamps at the front' }],
  ])('$fact does not move the board', (fact) => {
    expect(program(plan([...BORED, BOARD, POCKET, fact]))).toBeDefined();
  });

  const at = [300, 250] as const;
  test.each<[Fact]>([
    [{ fact: 'mark', date: '2026-01-05', site: 'C1', at }],
    [{ fact: 'bore', date: '2026-01-05', site: 'C1', at, diameter: 10, depth: 15 }],
    [{ fact: 'insert', date: '2026-01-05', site: 'A1', at: layout.sites[0]!.actual, insert: 'bush' }],
    [{ fact: 'fill', date: '2026-01-05', site: 'A1', reason: 'broken out' }],
    [{ fact: 'survey', date: '2026-01-05', file: 'survey.csv' }],
    [{ fact: 'datum', date: '2026-01-05', mark: [0, 0], second: [580, 0] }],
  ])('$fact after the pockets: the board no longer lies there', (fact) => {
    const p = plan([...BORED, BOARD, POCKET, fact]);
    expect(program(p)).toBeUndefined();
    expect(why(p)).toContain(
      `the ledger has an entry \`${fact.fact}\` of 2026-01-05, after the pockets were cut`,
    );
  });

  test.each<[Fact]>([
    [skim('2026-01-06', 0.3, [17.7])],
    [screws('2026-01-06')],
    [{ ...screws('2026-01-06'), sites: ['A1'] } as Fact],
  ])('$fact after the pockets: screws hold the board, and their heads stand in the pockets', (fact) => {
    const p = plan([...BORED, ...SET, BOARD, POCKET, fact]);
    expect(program(p)).toBeUndefined();
    expect(why(p)).toMatch(
      new RegExp(`\`${fact.fact}\` of 2026-01-06, after the pockets were cut: screws hold the board`),
    );
  });

  test('pockets that are recorded in parts: what moved the board between them counts', () => {
    const part = (sites: string[], date: string): Fact => ({ ...POCKET, date, sites }) as Fact;
    const one = part(['A1', 'A2'], '2026-01-04');
    const other = part(['B1', 'B2'], '2026-01-06');
    expect(program(plan([...BORED, BOARD, one, other]))).toBeDefined();
    const filled: Fact = { fact: 'fill', date: '2026-01-05', site: 'A1', reason: 'broken out' };
    expect(why(plan([...BORED, BOARD, one, filled, other]))).toContain('`fill` of 2026-01-05');
  });

  test('a board that came with its pockets', () => {
    const p = plan([...BORED, ...SET, board('2026-01-06', [18], true)]);
    expect(program(p)).toBeUndefined();
    expect(why(p)).toMatch(/^the board came with its pockets/);
  });

  test('no board', () => {
    expect(why(plan(BORED))).toMatch(/^no board is recorded on the bed/);
  });
});

describe('why it is not made though nothing forbids it', () => {
  test('the profile does not ask for it: nobody misses it', () => {
    const p = plan([...BORED, BOARD], plain);
    expect(p.withheld.filter((w) => w.operation === 'rim-break')).toEqual(
      ['top', 'underside'].map((form) => ({
        operation: 'rim-break',
        form,
        reason: 'the profile asks for no rim break (`board.rim_break`)',
        asked: false,
      })),
    );
  });
  test.each<[string, Machine, number, string]>([
    [
      'no cutter for the duty',
      asking({ cutters: plain.cutters }),
      40,
      'the profile names no cutter for the duty rim (`cutters.rim`)',
    ],
    [
      'a cutter without a cone',
      asking({ cutters: { ...plain.cutters, rim: 'upcut-6' } }),
      40,
      'cutter upcut-6 has no cone: name a pointed cutter',
    ],
    [
      'two sites side by side',
      asking(),
      286,
      'the rims of sites A1 and A2 would meet: take less than 0.80 mm for `board.rim_break`',
    ],
    [
      'a clamp beside a pocket',
      asking({ clamps: [{ id: 'stop', shape: { kind: 'rect', at: [58, 30], size: [40, 20] }, height: 30 }] }),
      40,
      'clamp stop stands where the cutter goes round the rim of site A1: take it off',
    ],
  ])('%s', (_, machine, edge, reason) => {
    // Nothing is in the bed: sites lie where the layout has them.
    const p = plan([BOARD], machine, edge);
    expect(program(p)).toBeUndefined();
    expect(why(p)).toBe(reason);
  });
  test('a site at the edge of the board', () => {
    // 15 from the edge; a pocket 26.6 wide (washer 25, clearance 1.5, up to the next tenth) and the chamfer leave 0.9
    const p = plan([BOARD], asking(), 15);
    expect(p.stacks.get('A1')!.pocketDiameter).toBeCloseTo(26.6, 9);
    expect(why(p)).toBe(
      "the rim of site A1 would come within 0.90 mm of the board's edge: take less than 0.80 mm for `board.rim_break`",
    );
    expect(program(plan([BOARD], asking(), 16))).toBeDefined();
  });
  test('a clamp that the cutter passes with room is no reason', () => {
    // pocket and chamfer end about 14 mm from the axis at 40, the cutter's rim a little farther
    const clamp = { id: 'stop', shape: { kind: 'rect', at: [70, 30], size: [40, 20] }, height: 30 } as const;
    expect(program(plan([...BORED, BOARD], asking({ clamps: [clamp] })))).toBeDefined();
  });
  test('a site out of reach is left out with a finding, and the others are made', () => {
    const machine = asking({ travel: { ...plain.travel, x: [35, 680] } });
    const p = plan([...BORED, BOARD], machine);
    expect(program(p)?.header.sites).toEqual(['A2', 'B2']);
    const found = p.findings.filter((f) => f.message.startsWith('rim-break: site '));
    expect(found.map((f) => [f.code, f.message])).toEqual([
      ['operations/out-of-reach', 'rim-break: site A1 is beyond the travel'],
      ['operations/out-of-reach', 'rim-break: site B1 is beyond the travel'],
    ]);
    const none = plan([...BORED, BOARD], asking({ travel: { ...plain.travel, x: [290, 310] } }));
    expect(why(none)).toBe('no site has a stack and is within the travel');
  });
});

describe('hole rims underneath are withheld, with what is known and what is not', () => {
  test('on a bed without inserts: twice laid by hand to 0.5 mm is 0.5·√2 = 0.71 mm', () => {
    const p = plan([...BORED, BOARD]);
    expect(p.programs.map(({ name }) => name)).not.toContain('rim-break-underside');
    expect(why(p, 'underside')).toMatch(
      /laid by hand to 0\.50 mm, then and once more when it is turned over, its holes are known to 0\.71 mm, and a rim break of 0\.80 mm would come out 0\.09 mm to 1\.51 mm wide/,
    );
  });
  test('over inserts they are made by hand', () => {
    const p = plan([...BORED, ...SET, BOARD]);
    expect(why(p, 'underside')).toMatch(/^the holes are broken through and reamed by hand from below/);
  });
});

describe('the program', () => {
  const p = plan([...BORED, BOARD]);
  const rims = program(p)!;
  const arcs = rims.moves.filter((move): move is Extract<Move, { kind: 'arc' }> => move.kind === 'arc');

  test('every tip height lies 3.4 mm below the measured thickness: flank 6, less 0.8, halved, plus 0.8', () => {
    expect(new Set(arcs.map(({ z }) => z))).toEqual(new Set([18.05 - 3.4]));
    expect(rims.header.keyIn).toBe(18.05);
  });
  test('once round at every site, 2.6 mm inside the wall of its pocket', () => {
    const full = arcs.filter(({ x, y, cx, cy }) => {
      const site = p.layout.sites.find(({ actual }) => actual[0] === cx && actual[1] === cy);
      if (!site) return false;
      const radius = p.stacks.get(site.id)!.pocketDiameter / 2;
      expect(Math.hypot(x - cx, y - cy)).toBeCloseTo(radius - 2.6, 3);
      return true;
    });
    expect(full).toHaveLength(4);
  });
  test('a pocket that is recorded wider than planned: the rim is where it was cut', () => {
    const wide: Fact = { ...POCKET, pocketDiameter: 30 } as Fact;
    const moves = program(plan([...BORED, BOARD, wide]))!.moves;
    const [x] = layout.sites[0]!.actual;
    // 15 less the 2.6 that the tip runs inside the wall
    expect(moves.some((move) => move.kind === 'arc' && Math.abs(move.x - (x + 12.4)) < 1e-9)).toBe(true);
  });
  test('one feed for all rims: the chip load where the cone cuts, at the tip’s own circle', () => {
    // middle of 0.1 … 0.2 mm a tooth, a cone 6 of 12 across, thinned at 0.8 wide: 6 / (2·√(0.8·5.2)); 18 000 rpm, 2 flutes
    const rim = Math.floor(18_000 * 2 * 0.15 * (6 / 12) * (6 / (2 * Math.sqrt(0.8 * 5.2))));
    // the tip's circle against the circle of the cut, at the smallest pocket
    const radius = Math.min(...p.layout.sites.map(({ id }) => p.stacks.get(id)!.pocketDiameter / 2));
    const feed = Math.floor((rim * (radius - 2.6)) / (radius + 0.4));
    expect(new Set(arcs.map((arc) => arc.feed))).toEqual(new Set([feed]));
    const down = rims.moves.filter((move): move is Extract<Move, { kind: 'feed' }> => move.kind === 'feed');
    expect(new Set(down.map((move) => move.feed))).toEqual(new Set([Math.floor(feed / 2)]));
  });
  test('the header names the farthest pocket to check first, and cautions about metal where there is some', () => {
    // B2 is the farthest from X0 Y0 of the four
    expect(rims.header.before.join('; ')).toContain('X560 Y460');
    expect(rims.header.before.join('; ')).toContain('pocket of site B2');
    expect(rims.header.cautions.join()).not.toContain('inserts are in the bed');
    const over = program(plan([...BORED, ...SET, BOARD]))!;
    expect(over.header.cautions.join()).toContain('inserts are in the bed');
  });
});

describe('the run sheet', () => {
  const titles = (p: WorkPlan): string[] => p.steps.map((step) => step.title);
  test('after the holes, before the board is lifted; rims underneath by hand', () => {
    const p = plan([...BORED, BOARD]);
    const from = titles(p).indexOf('Clearance holes in the board, first fit');
    expect(titles(p).slice(from, from + 3)).toEqual([
      'Clearance holes in the board, first fit',
      'Break the rims of the socket pockets',
      'Lift the board and clean',
    ]);
    expect(p.steps[from + 2]!.lines).toContain(
      'break the rims of the holes underneath with a countersink, 0.80 mm wide',
    );
    expect(p.steps[from + 2]!.lines).toContain('record the pockets');
  });
  test('once the pockets are recorded the board is lifted after its rims, and nothing is recorded twice', () => {
    const p = plan([...BORED, ...SET, BOARD, POCKET]);
    const step = p.steps.find(({ title }) => title === 'Break through and open the holes')!;
    expect(titles(p).indexOf(step.title)).toBe(titles(p).indexOf('Break the rims of the socket pockets') + 1);
    expect(step.lines).not.toContain('record the pockets');
    expect(step.lines.join()).toContain('chamfer the underside with a countersink, 0.80 mm wide');
  });
  test('a profile without rim breaks has neither', () => {
    const p = plan([...BORED, ...SET, BOARD], plain);
    expect(titles(p)).not.toContain('Break the rims of the socket pockets');
    expect(p.steps.flatMap(({ lines }) => lines).join()).not.toContain('countersink');
    expect(titles(plan([...BORED, ...SET, BOARD, POCKET], plain))).not.toContain(
      'Break through and open the holes',
    );
  });
});
