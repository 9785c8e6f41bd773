import { type Fixing, withHead, withWasher } from '@bedledger/fasteners';
import type { Fact, MachineRecord } from '@bedledger/fleet';
import { describe, expect, test } from 'vitest';
import { board, bores, inserts, pocket, screws, skim } from '../testing/facts.ts';
import { gridLayout } from '../testing/layouts.ts';
import { HOUSE, m6Fixing, machineOf, recordOf } from '../testing/records.ts';
import type { WorkPlan } from './plan.ts';
import { planMachine } from './plan-machine.ts';
import { machineStatus } from './status.ts';

const machine = machineOf({}, [600, 500]);
const layout = gridLayout(recordOf(machine), 2, 2);
const HEX = m6Fixing();
const CAP = { ...withHead(HEX, 'iso4762-socket-cap')!, id: 'm6-cap' };
const SET = [...bores(layout, '2026-01-02'), ...inserts(layout, '2026-01-03')];
const POCKETED = [...SET, board('2026-01-04', [18], true)];

function plan(facts: readonly Fact[], planned: Fixing): WorkPlan {
  const record: MachineRecord = { ...recordOf(machine, facts), planned };
  return planMachine(record, { layout: gridLayout(record, 2, 2) });
}

const codes = (p: WorkPlan): string[] => p.findings.map((f) => f.code);
const headTops = (p: WorkPlan): number[] => [...p.stacks.values()].map((s) => s.headTop);

/** Floor of the pocket, washer and head at their greatest, mm; a washer of one's own is taken as good to 0.1 mm. */
const topBy = (headMax: number): number => 5.05 + (1.5 + 0.1) + headMax;

describe('what stands in the board decides, not what the profile asks for', () => {
  // ISO 4762: k max = 6 for M6. ISO 4017: k max = 4.15 for M6, product grade A.
  test('cap screws in the board, hexagon screws in the profile: cover, limit and life stay those of the cap screws', () => {
    const driven = [...POCKETED, screws('2026-01-05', CAP)];
    const before = plan(driven, CAP);
    const after = plan(driven, HEX);
    for (const p of [before, after]) {
      for (const top of headTops(p)) expect(top).toBeCloseTo(topBy(6), 9);
      expect(machineStatus(p).life!.replaceAt).toBeCloseTo(topBy(6) + HOUSE.stack.coverMin + 0.05, 9);
    }
    expect(after.programs).toEqual(before.programs);
    expect(codes(before)).not.toContain('stack/planned-change');
    expect(after.findings.find((f) => f.code === 'stack/planned-change')?.help).toContain(
      'bedledger record sanderling screws --swapped',
    );
    const swap = after.steps.find((s) => s.title === 'Swap the screws')!;
    expect(swap.lines.join('\n')).toContain('4 screws m6-cap out, M6 × 16 mm');
    expect(swap.done).toBe(false);
  });

  test('after the swap is recorded the new heads count, and nothing is asked for any more', () => {
    const swapped = plan(
      [...POCKETED, screws('2026-01-05', CAP), screws('2026-02-01', HEX, 16, 'swapped')],
      HEX,
    );
    for (const top of headTops(swapped)) expect(top).toBeCloseTo(topBy(4.15), 9);
    expect(codes(swapped)).not.toContain('stack/planned-change');
    expect(swapped.steps.map((s) => s.title)).not.toContain('Swap the screws');
  });

  test('a swap at one site counts there only', () => {
    const one = { ...screws('2026-02-01', HEX, 16, 'swapped'), sites: ['A1'] } as Fact;
    const p = plan([...POCKETED, screws('2026-01-05', CAP), one], HEX);
    expect(p.stacks.get('A1')!.headTop).toBeCloseTo(topBy(4.15), 9);
    expect(p.stacks.get('A2')!.headTop).toBeCloseTo(topBy(6), 9);
    // The limit is that of the highest head.
    expect(machineStatus(p).life!.replaceAt).toBeCloseTo(topBy(6) + HOUSE.stack.coverMin + 0.05, 9);
    expect(p.findings.find((f) => f.code === 'stack/planned-change')?.message).toContain('A2, B1, B2');
  });

  test('on a worn board higher heads are kept for the next board: the pockets would not cover them', () => {
    // 5.05 + 1.6 + 6 + 1.5 cover + 0.05 reading = 14.20 is needed, 13.9 is there; hexagon heads need 12.35.
    const worn = [...POCKETED, screws('2026-01-05', HEX), skim('2026-03-01', 0.4, [13.9])];
    const p = plan(worn, CAP);
    const change = p.findings.find((f) => f.code === 'stack/planned-change')!;
    expect(change.help).toMatch(/until the next board.*cover over the head/);
    expect(p.steps.map((s) => s.title)).not.toContain('Swap the screws');
    for (const top of headTops(p)) expect(top).toBeCloseTo(topBy(4.15), 9);
  });

  test('another washer is a change as well', () => {
    const p = plan([...POCKETED, screws('2026-01-05', HEX)], withWasher(HEX, null)!);
    expect(p.findings.find((f) => f.code === 'stack/planned-change')?.message).toContain('(washer differ)');
  });
});

describe('what nobody recorded is asked for', () => {
  test('pocketed and not screwed: no skim, and the command that records the screws', () => {
    const p = plan(POCKETED, HEX);
    expect(p.programs.map((x) => x.name)).not.toContain('surface');
    expect(p.withheld.find((w) => w.operation === 'surface')!.reason).toContain(
      '`bedledger record sanderling screws`',
    );
    expect(codes(p)).not.toContain('stack/screws-unknown');
  });

  test('surfaced with screws that are not on record: no figure of them is guessed', () => {
    const p = plan([...POCKETED, skim('2026-03-01', 0.4, [17.6])], HEX);
    expect(p.stacks.size).toBe(0);
    const found = p.findings.find((f) => f.code === 'stack/screws-unknown')!;
    expect(found.severity).toBe('warn');
    expect(found.help).toContain('bedledger record sanderling screws');
    expect(p.programs.map((x) => x.name)).not.toContain('surface');
    expect(machineStatus(p).life).toBeNull();
  });

  test('a floor that is not on record is unknown too', () => {
    const bare: Fact = { fact: 'pocket', date: '2026-01-04' };
    const p = plan([...SET, board('2026-01-04', [18]), bare, screws('2026-01-05')], HEX);
    expect(codes(p)).toContain('stack/screws-unknown');
  });
});

describe('a floor that is not where it was planned', () => {
  test('a tenth higher is a tenth less cover and thread, and stops nothing', () => {
    const at = (floor: number) =>
      plan([...SET, board('2026-01-04', [18]), pocket('2026-01-04', floor), screws('2026-01-05')], HEX);
    const [low, high] = [at(5.05), at(5.15)];
    expect(high.findings.filter((f) => f.severity === 'stop')).toEqual([]);
    const [a, b] = [low.stacks.get('A1')!, high.stacks.get('A1')!];
    expect(b.cover).toBeCloseTo(a.cover - 0.1, 9);
    expect(b.engagement).toBeCloseTo(a.engagement - 0.1, 9);
    expect(b.headTop).toBeCloseTo(a.headTop + 0.1, 9);
  });

  test('much too deep: the web is named, with what can be done', () => {
    const p = plan([...SET, board('2026-01-04', [18]), pocket('2026-01-04', 3.2), screws('2026-01-05')], HEX);
    const found = p.findings.filter((f) => f.code === 'stack/built-short');
    expect(found.map((f) => f.message).join('\n')).toMatch(
      /web under the head.*3\.15 mm, and at least 5\.00 mm/,
    );
    expect(found[0]!.help).toMatch(/leave the screws of these sites out|shorter screws/);
    expect(p.findings.filter((f) => f.severity === 'stop')).toEqual([]);
  });
});

describe('inserts stay in the bed', () => {
  const figures = {
    thread: 'M6',
    outside: { value: 9.52, uncertainty: 0.02 },
    length: { value: 13, uncertainty: 0.02 },
    taper: 0,
    material: 'brass',
    through: false,
    shearStrength: 220,
  } as const;
  const set = SET.map((f): Fact => (f.fact === 'insert' ? { ...f, figures } : f));
  const quarter: Fixing = {
    ...HEX,
    id: 'quarter',
    screw: { ...HEX.screw, thread: { ...HEX.screw.thread, designation: '1/4-20' } },
  };

  test('a screw of another thread stops a new board, and only warns while the old one stands', () => {
    const fresh = plan([...set, board('2026-01-04', [18])], quarter);
    const stop = fresh.findings.find((f) => f.code === 'stack/thread-differs')!;
    expect(stop.severity).toBe('stop');
    expect(stop.message).toContain('A1, A2, B1, B2 are M6');
    const standing = plan([...set, board('2026-01-04', [18], true), screws('2026-01-05')], quarter);
    expect(standing.findings.find((f) => f.code === 'stack/thread-differs')!.severity).toBe('warn');
    expect(standing.programs.map((x) => x.name)).toContain('surface');
  });

  test('another insert in the profile changes nothing in the bed', () => {
    const long: Fixing = { ...HEX, insert: { ...HEX.insert, length: { ...HEX.insert.length, value: 10 } } };
    const p = plan([...set, board('2026-01-04', [18])], long);
    const q = plan([...set, board('2026-01-04', [18])], HEX);
    expect(codes(p)).toContain('stack/insert-differs');
    expect([...p.stacks.values()].map((s) => s.screwLength)).toEqual(
      [...q.stacks.values()].map((s) => s.screwLength),
    );
  });
});

test('a fact that is withdrawn is not reckoned with, and keeps its number', () => {
  const wrong = screws('2026-01-05', HEX);
  const facts: Fact[] = [...POCKETED, wrong];
  facts.push({
    fact: 'withdraw',
    date: '2026-01-06',
    of: facts.length,
    kind: 'screws',
    day: '2026-01-05',
    reason: 'these are cap screws',
  });
  facts.push(screws('2026-01-06', CAP));
  for (const top of headTops(plan(facts, HEX))) expect(top).toBeCloseTo(topBy(6), 9);
});
