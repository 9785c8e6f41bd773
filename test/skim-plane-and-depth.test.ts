import { checkIssued } from '@bedledger/checker';
import type { Machine, MachineRecord } from '@bedledger/fleet';
import { describe, expect, test } from 'vitest';
import { issuedFiles, issueMachine } from '../packages/cli/src/issued-set.ts';
import { demoRecord } from './support/demo-records.ts';

type Skim = Machine['surfacing']['skim'];

function withSkim(
  record: MachineRecord,
  skim: Partial<Skim>,
  changes: Partial<Machine['surfacing']> = {},
): MachineRecord {
  const { machine } = record;
  const surfacing = { ...machine.surfacing, ...changes };
  return {
    ...record,
    machine: { ...machine, surfacing: { ...surfacing, skim: { ...surfacing.skim, ...skim } } },
  };
}

/** Problems that the checker tells of the programs that `made` gives, judged against `record`. */
function judged(made: MachineRecord, record = made): string[] {
  const set = issueMachine(made);
  expect(set.plan.programs.map((p) => p.name)).toContain('surface');
  const report = checkIssued(record, issuedFiles(made.machine.id, set.files, set.manifest));
  return report.findings.filter((f) => f.severity === 'stop').map((f) => `${f.code}: ${f.message}`);
}

/** Finished heights of the surface program, mm: where the last pass runs. */
function heightsOf(record: MachineRecord): readonly (readonly [number, number, number])[] {
  const program = issueMachine(record).plan.programs.find((p) => p.name === 'surface');
  const out: [number, number, number][] = [];
  for (const m of program?.moves ?? []) if (m.kind === 'feed') out.push([m.x, m.y, m.z]);
  return out;
}

const avocet = demoRecord('avocet');
/** A board that leans 0.3 mm in a metre along X and −0.2 along Y: within the house's 0.5 (closed form: the plane itself). */
const [ox, oy] = avocet.machine.board.at;
const leaning: MachineRecord = {
  ...avocet,
  heights: avocet.heights.map((map) => ({
    ...map,
    points: map.points.map(([x, y]) => [x, y, 17 + 0.0003 * (x - ox) - 0.0002 * (y - oy)] as const),
  })),
};

describe('a plane that follows the board', () => {
  test.each(['serpentine', 'one-way-climb', 'inward'] as const)(
    '%s: passes, and takes off the margin only',
    (style) => {
      const best = withSkim(leaning, { plane: 'best' }, { style });
      expect(judged(best)).toEqual([]);
      const low = heightsOf(best);
      // Derived: a plane less the margin is a plane less the margin; interpolation of a plane is exact.
      const off = low.map(([x, y, z]) => 17 + 0.0003 * (x - ox) - 0.0002 * (y - oy) - z);
      expect(Math.max(...off)).toBeLessThan(avocet.machine.surfacing.margin + 0.02);
    },
  );
  test('level is what the profile says by default, and takes the lean off', () => {
    expect(avocet.machine.surfacing.skim).toEqual({ from: 'heights', depth: null, plane: 'level' });
    expect(judged(leaning)).toEqual([]);
    const z = heightsOf(leaning).map((p) => p[2]);
    expect(Math.min(...z)).toBeLessThan(17 - 0.1);
  });
  test('a tilted program on a level profile is refused', () => {
    expect(judged(withSkim(leaning, { plane: 'best' }), leaning).join('\n')).toMatch(/work\/unsurfaced/);
  });
  test('a lean against the board is refused: places would stay uncut', () => {
    const wrong: MachineRecord = {
      ...leaning,
      heights: leaning.heights.map((m) => ({
        ...m,
        points: m.points.map(([x, y]) => [x, y, 17 - 0.0003 * (x - ox) + 0.0002 * (y - oy)] as const),
      })),
    };
    const best = (r: MachineRecord): MachineRecord => withSkim(r, { plane: 'best' });
    expect(judged(best(wrong), best(leaning)).join('\n')).toMatch(/work\/skim-depth/);
  });
  test('a lean beyond the house is refused', () => {
    const steep = { ...leaning.house, surfacing: { ...leaning.house.surfacing, maxTilt: 1e-4 } };
    const best = withSkim(leaning, { plane: 'best' });
    expect(judged(best, { ...best, house: steep }).join('\n')).toMatch(/leans by .* the house allows/);
  });
});

describe('a stated depth', () => {
  const stated = (depth: number | null): MachineRecord => withSkim(avocet, { from: 'depth', depth });
  test.each([0.3, 0.5, null])('%s mm below the thinnest place measured', (depth) => {
    const record = stated(depth);
    expect(judged(record)).toEqual([]);
    const lowest = Math.min(...heightsOf(record).map((p) => p[2]));
    const thinnest = record.state.board?.thinnest ?? Number.NaN;
    expect(thinnest - lowest).toBeCloseTo(depth ?? record.house.stack.skim, 6);
  });
  test.each([0.2, 0.4])('a program made for %s mm is refused where 0.3 is stated', (depth) => {
    expect(judged(stated(depth), stated(0.3)).join('\n')).toMatch(/work\/skim-depth/);
  });
});
