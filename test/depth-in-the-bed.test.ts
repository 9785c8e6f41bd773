import { planMachine } from '@bedledger/bedwork';
import { checkIssued } from '@bedledger/checker';
import type { House, MachineRecord } from '@bedledger/fleet';
import { describe, expect, test } from 'vitest';
import { issuedFiles, issueMachine } from '../packages/cli/src/issued-set.ts';
import { demoRecord, withMachine } from './support/demo-records.ts';

// The writer rounds depths to a tenth of a micrometre: a thousandth is compared.
type Errors = Pick<House, 'zZeroError' | 'bedUnevenness'>;
const NONE: Errors = { zZeroError: 0, bedUnevenness: 0 };
const CAREFUL: Errors = { zZeroError: 0.1, bedUnevenness: 0.2 };

function withErrors(
  record: MachineRecord,
  errors: Errors,
  cutLimit = record.machine.bed.cutLimit,
): MachineRecord {
  const { bed } = record.machine;
  return {
    ...withMachine(record, { bed: { ...bed, cutLimit } }),
    house: { ...record.house, ...errors },
  };
}

/** Deepest Z that a program is told to go to, as a depth below the bed surface, mm. */
function depthOf(record: MachineRecord, operation: string): number | undefined {
  const program = planMachine(record).programs.find((p) => p.operation === operation);
  if (!program) return undefined;
  return -Math.min(
    ...program.moves.flatMap((m) => (m.kind === 'drill' ? [m.bottom] : 'z' in m ? [m.z] : [])),
  );
}

/** What the checker stops in the programs made for `made`, judged by `record`. */
function stops(made: MachineRecord, record: MachineRecord): string[] {
  const set = issueMachine(made);
  const { findings } = checkIssued(record, issuedFiles(made.machine.id, set.files, set.manifest));
  return findings.filter((f) => f.severity === 'stop').map((f) => `${f.code}: ${f.message}`);
}

const egret = demoRecord('egret');
const curlew = demoRecord('curlew');

describe('marks of the inserts', () => {
  test('planner: the cut limit less both errors: 0.1 in − 0.1 mm − 0.2 mm = 2.24 mm', () => {
    expect(depthOf(withErrors(egret, CAREFUL), 'bed-mark')).toBeCloseTo(2.24, 3);
    expect(depthOf(withErrors(egret, { zZeroError: 0.4, bedUnevenness: 1 }), 'bed-mark')).toBeCloseTo(
      1.14,
      9,
    );
  });
  test('planner: nothing is left of a limit of 0.3 mm, and the reason says so', () => {
    const plan = planMachine(withErrors(egret, CAREFUL, 0.3));
    expect(plan.withheld.find((w) => w.operation === 'bed-mark')?.reason).toMatch(
      /cut limit .* used up by the error of the Z zero .* and the unevenness/,
    );
    expect(depthOf(withErrors(egret, CAREFUL, 0.32), 'bed-mark')).toBeCloseTo(0.02, 3);
  });
  test('checker: marks that use the whole cut limit are stopped', () => {
    const found = stops(withErrors(egret, NONE), withErrors(egret, CAREFUL)).join('\n');
    expect(found).toMatch(/program\/bed-depth: the tip is 0\.1 in below .*are taken off/);
    expect(stops(withErrors(egret, CAREFUL), withErrors(egret, CAREFUL))).toEqual([]);
  });
  test('checker: a bed that is more uneven than the program thinks', () => {
    const worse = { zZeroError: 0.1, bedUnevenness: 0.25 };
    expect(stops(withErrors(egret, CAREFUL), withErrors(egret, worse)).join('\n')).toMatch(
      /program\/bed-depth/,
    );
    expect(stops(withErrors(egret, worse), withErrors(egret, CAREFUL)).join('\n')).not.toMatch(
      /program\/bed-depth/,
    );
  });
  test('what is drilled by hand and the floor of the bed do not change', () => {
    const drillOf = (errors: Errors): unknown =>
      [...planMachine(withErrors(egret, errors)).stacks.values()].map((s) => s.handDrill);
    expect(drillOf(CAREFUL)).toEqual(drillOf(NONE));
  });
});

describe('clearance holes of a first fit', () => {
  // A flat cutter breaks through by 0.5 mm where the cut limit lets it.
  test('planner: 0.5 mm where there is room, the limit less both errors where there is less', () => {
    expect(depthOf(withErrors(curlew, CAREFUL), 'clearance-holes')).toBeCloseTo(0.5, 3);
    expect(depthOf(withErrors(curlew, CAREFUL, 0.7), 'clearance-holes')).toBeCloseTo(0.4, 3);
  });
  test('checker: holes that use the whole cut limit are stopped', () => {
    const found = stops(withErrors(curlew, NONE, 0.5), withErrors(curlew, CAREFUL, 0.5)).join('\n');
    expect(found).toMatch(/program\/bed-depth/);
    expect(stops(withErrors(curlew, CAREFUL, 0.5), withErrors(curlew, CAREFUL, 0.5))).toEqual([]);
  });
});

describe('a first fit with Z 0 on top of the board', () => {
  // The bed lies where the board's thickness puts it, so what a reading of it may err comes off the limit as well.
  const onTop = (reading: number, cutLimit: number): MachineRecord => {
    const record = withErrors(curlew, CAREFUL, cutLimit);
    return {
      ...withMachine(record, { zZero: 'board-top' }),
      house: { ...record.house, thicknessUncertainty: reading },
    };
  };
  /** Below the bed, from the board's top: the stock is as thick as it was measured. */
  const depthBelow = (record: MachineRecord): number => depthOf(record, 'clearance-holes')!;
  test('planner: 0.7 mm less 0.1, 0.2 and the 0.15 of the reading', () => {
    expect(depthBelow(onTop(0, 0.7))).toBeCloseTo(0.4, 3);
    expect(depthBelow(onTop(0.15, 0.7))).toBeCloseTo(0.25, 3);
    // with Z 0 on the bed the error of the Z zero is all there is
    const onBed = withErrors(curlew, CAREFUL, 0.7);
    const read = { ...onBed, house: { ...onBed.house, thicknessUncertainty: 0.15 } };
    expect(depthBelow(read)).toBeCloseTo(0.4, 3);
  });
  test('checker: holes made as if the thickness were known are stopped, and why', () => {
    // 0.5 mm: less 0.1 and 0.2 leaves 0.2, less 0.15 more leaves 0.05
    const found = stops(onTop(0, 0.5), onTop(0.15, 0.5)).join('\n');
    expect(found).toMatch(/program\/bed-depth: .* and what the board's thickness may err, 0\.15 mm/);
    expect(stops(onTop(0.15, 0.5), onTop(0.15, 0.5))).toEqual([]);
  });
});

describe('datum marks', () => {
  test('planner and checker: 0.4 mm as the profile asks, less where the limit allows less', () => {
    expect(depthOf(withErrors(egret, CAREFUL), 'datum-mark')).toBeCloseTo(0.4, 3);
    expect(depthOf(withErrors(egret, CAREFUL, 0.6), 'datum-mark')).toBeCloseTo(0.3, 3);
    expect(stops(withErrors(egret, NONE, 0.6), withErrors(egret, CAREFUL, 0.6)).join('\n')).toMatch(
      /program\/bed-depth/,
    );
  });
});
