import { checkIssued } from '@bedledger/checker';
import type { Machine, MachineRecord } from '@bedledger/fleet';
import { describe, expect, it } from 'vitest';
import { issuedFiles, issueMachine } from '../packages/cli/src/issued-set.ts';
import { demoRecord } from './support/demo-records.ts';

/** Avocet: a board in use, 16.9 mm at its thinnest, its screws on record; pockets are cut by a cutter of 6 mm. */
const avocet = demoRecord('avocet');
type Patch = NonNullable<Machine['board']['patch']>;

function withPatch(patch: Partial<Patch> | null, record = avocet): MachineRecord {
  const { machine } = record;
  const whole = patch && { at: [520, 300] as const, size: [120, 80] as const, depth: 2, ...patch };
  return { ...record, machine: { ...machine, board: { ...machine.board, patch: whole } } };
}
const withheld = (record: MachineRecord): string | undefined =>
  issueMachine(record).plan.withheld.find((w) => w.operation === 'patch')?.reason;
const stops = (record: MachineRecord, made = record): string[] => {
  const set = issueMachine(made);
  return checkIssued(record, issuedFiles(made.machine.id, set.files, set.manifest))
    .findings.filter((f) => f.severity === 'stop')
    .map((f) => f.code);
};

describe('a patch', () => {
  it('is cut inside its rectangle to its depth, and passes', () => {
    const record = withPatch({});
    const set = issueMachine(record);
    const claims = set.manifest.programs.find((p) => p.operation === 'patch')!;
    const r = record.cutters.get(record.machine.cutters.pocket)!.diameter / 2;
    // Derived: the axis stays the cutter's radius inside the rectangle; the floor lies 2 mm below the thinnest place.
    const moves = set.plan.programs.find((p) => p.name === 'patch')!.moves;
    const cuts = moves.flatMap((m) => (m.kind === 'feed' ? [m] : []));
    expect(Math.min(...cuts.map((m) => m.x))).toBeCloseTo(520 + r, 6);
    expect(Math.max(...cuts.map((m) => m.x))).toBeCloseTo(640 - r, 6);
    expect(Math.min(...cuts.map((m) => m.y))).toBeCloseTo(300 + r, 6);
    expect(Math.max(...cuts.map((m) => m.y))).toBeCloseTo(380 - r, 6);
    expect(claims.deepest.board).toBeCloseTo(record.state.board!.thinnest - 2, 3);
    expect(stops(record)).toEqual([]);
  });

  it('tells what it does to the sheets that lie over it, and what an inlay needs', () => {
    const { plan } = issueMachine(withPatch({}));
    expect(plan.findings.find((f) => f.code === 'surfacing/patch')?.message).toMatch(
      /120\.00 mm × 80\.00 mm from X 520\.00 mm Y 300\.00 mm lie 2\.00 mm below the rest/,
    );
    const step = plan.steps.find((s) => s.program === 'patch');
    expect(step?.lines.join('\n')).toMatch(/corners rounded by 3\.00 mm/);
  });

  it.each<[string, Partial<Patch>, RegExp]>([
    ['beyond the board', { at: [1200, 300] }, /reaches beyond the board/],
    ['narrower than two cutters', { size: [120, 9] }, /9\.00 mm wide, and upcut-6 needs 12\.00 mm/],
    ['too deep for the board', { depth: 9 }, /would leave 7\.\d+ mm of board, the profile keeps 9\.00 mm/],
  ])('%s is not issued', (_, patch, reason) => {
    expect(withheld(withPatch(patch))).toMatch(reason);
  });

  it('over a head is not issued where its cover goes, and is beside it', () => {
    const [site] = avocet.state.inserts;
    const [x, y] = site!.at;
    // Heads top out at 12.45 mm less the house's cover of it; a floor at 11.9 mm is into that cover (16.9 − 5).
    const over = withPatch({ at: [x - 20, y - 20], size: [60, 60], depth: 5 });
    expect(withheld(over)).toMatch(new RegExp(`over the head at ${site!.site}, the house keeps`));
    expect(withheld(withPatch({ depth: 5 }))).toBeUndefined();
    expect(stops(withPatch({ depth: 5 }))).toEqual([]);
  });

  it.each<[string, Partial<Patch>, string]>([
    ['another depth', { depth: 2.1 }, 'work/patch'],
    ['another place', { at: [521, 300] }, 'work/patch'],
    ['a larger rectangle, so that some of it stands', { size: [124, 80] }, 'work/patch'],
    ['a smaller one, so that sound board is cut', { size: [110, 80] }, 'work/patch'],
  ])('a program made for %s is refused', (_, other, code) => {
    expect(stops(withPatch({}), withPatch(other))).toContain(code);
  });

  it('that nobody asks for is refused', () => {
    expect(stops(withPatch(null), withPatch({}))).toContain('interlock/withheld');
  });
});
