import { planMachine } from '@bedledger/bedwork';
import { checkIssued } from '@bedledger/checker';
import type { MachineRecord } from '@bedledger/fleet';
import { describe, expect, test } from 'vitest';
import { issuedFiles, issueMachine } from '../packages/cli/src/issued-set.ts';
import { demoRecord, withMachine } from './support/demo-records.ts';

const avocet = demoRecord('avocet');
const { surface } = avocet.machine.cutters;
const diameter = avocet.cutters.get(surface)!.diameter;

/** Both leans as rise over run, along X and along Y. */
function leaning(x: number, y: number, record = avocet): MachineRecord {
  return withMachine(record, { tram: { x: Math.atan(x), y: Math.atan(y) } });
}

function surfaceOf(record: MachineRecord): ReturnType<typeof planMachine>['programs'][number] | undefined {
  return planMachine(record).programs.find((p) => p.name === 'surface');
}

const sets = new Map<MachineRecord, ReturnType<typeof issueMachine>>();

/** What the checker says of the programs made for `made`, judged by `record`. */
function judged(made: MachineRecord, record: MachineRecord): string[] {
  const set = sets.get(made) ?? issueMachine(made);
  sets.set(made, set);
  expect(set.plan.programs.map((p) => p.name)).toContain('surface');
  return checkIssued(record, issuedFiles(made.machine.id, set.files, set.manifest)).findings.map(
    (f) => `${f.severity} ${f.code}: ${f.message}`,
  );
}

/** Height of the finished surface as commanded (avocet's is level), mm. */
const commanded = Math.min(...surfaceOf(avocet)!.moves.flatMap((m) => (m.kind === 'feed' ? [m.z] : [])));
/** The board may become thinner by what is left between the commanded surface and this. */
const with0Point1Left = withMachine(avocet, {
  board: { ...avocet.machine.board, leastThickness: commanded - 0.1 },
});
/** Lean whose floor lies this far below the command, rise over run: depth = (D/2)·lean (closed form). */
const leanFor = (depth: number): number => depth / (diameter / 2);

describe('a lean along the rows counts as one across them', () => {
  const alongX = avocet.machine.surfacing.rows === 'x';
  const along = (lean: number, record = avocet): MachineRecord =>
    alongX ? leaning(lean, 0, record) : leaning(0, lean, record);
  const across = (lean: number, record = avocet): MachineRecord =>
    alongX ? leaning(0, lean, record) : leaning(lean, 0, record);

  test('planner: a skim is withheld where the floor would lie 0.02 mm below the limit, and issued 0.02 mm above it', () => {
    for (const lean of [along, across]) {
      expect(surfaceOf(lean(leanFor(0.12), with0Point1Left))).toBeUndefined();
      expect(surfaceOf(lean(leanFor(0.08), with0Point1Left))).toBeDefined();
    }
  });
  test('checker: the same of a program that was made for a spindle without lean', () => {
    for (const lean of [along, across]) {
      const bad = judged(with0Point1Left, lean(leanFor(0.12), with0Point1Left)).join('\n');
      expect(bad).toMatch(/stop work\/least-thickness: .*the lean of the spindle cuts/);
      const good = judged(with0Point1Left, lean(leanFor(0.08), with0Point1Left)).join('\n');
      expect(good).not.toMatch(/work\/least-thickness/);
    }
  });
  test('checker: both leans together: 0.6² + 0.8² = 1², so each alone would pass', () => {
    const both = (depth: number): MachineRecord =>
      leaning(0.6 * leanFor(depth), -0.8 * leanFor(depth), with0Point1Left);
    expect(judged(with0Point1Left, both(0.12)).join('\n')).toMatch(/stop work\/least-thickness/);
    expect(judged(with0Point1Left, both(0.08)).join('\n')).not.toMatch(/work\/least-thickness/);
  });
  test('checker: the cover over a head is judged at the real floor', () => {
    const { stacks } = planMachine(avocet);
    const head = Math.max(...avocet.state.inserts.map(({ site }) => stacks.get(site)!.headTop));
    // The house asks for all the cover that the program leaves, less 0.1 mm.
    const stack = { ...avocet.house.stack, coverMin: commanded - head - 0.1 };
    const strict = { ...avocet, house: { ...avocet.house, stack } };
    expect(judged(avocet, along(leanFor(0.12), strict)).join('\n')).toMatch(/stop work\/cover/);
    expect(judged(avocet, along(leanFor(0.08), strict)).join('\n')).not.toMatch(/work\/cover/);
  });
  test('the step between rows: spacing × lean across, told from 0.05 mm on by both', () => {
    const spacing = avocet.machine.surfacing.stepover * diameter;
    // Rows share the width evenly, so the real spacing is a little less than the stepover: 20 % either way is beyond that.
    for (const [record, told] of [
      [across((1.2 * 0.05) / spacing), true],
      [across((0.8 * 0.05) / spacing), false],
      [along((1.2 * 0.05) / spacing), false],
    ] as const) {
      expect(planMachine(record).findings.some((f) => f.code === 'surfacing/ridge')).toBe(told);
      expect(judged(record, record).some((f) => f.startsWith('warn work/row-step'))).toBe(told);
    }
  });
});
