import { rmSync } from 'node:fs';
import { afterAll, beforeAll, expect, it } from 'vitest';
import type { Run } from '../support/command.ts';
import { type SmallFleet, smallFleet } from './small-fleet.ts';

/*
 * An inch router as `new` makes it, from nothing to its second board, every fact recorded as issued: what is issued passes at
 * every stage, and figures that were rounded when they were written down break no bound.
 */

let fleet: SmallFleet;
beforeAll(() => {
  fleet = smallFleet();
});
afterAll(() => rmSync(fleet.root, { recursive: true, force: true }));

const well = (run: Run): string => {
  expect(run.status, run.stdout + run.stderr).toBe(0);
  return run.stdout + run.stderr;
};

it('goes from nothing to its second board', () => {
  well(fleet.run('new', 'wren', '--units', 'in'));
  const stages: readonly (readonly string[])[] = [
    ['vouch', '--deviation', '0.03', '--by', 'owner', '--reason', 'drawing checked'],
    ['mark', '--all'],
    ['bore', '--all'],
    ['board', '--thickness', '0.71', '--thickness', '0.708'],
    ['pocket', '--all'],
    ['insert', '--all'],
    ['screws'],
    ['skim', '--commanded', '0.02', '--thickness', '0.68'],
    ['board', '--thickness', '0.705'],
    ['pocket', '--all'],
    ['screws'],
  ];
  for (const [i, stage] of stages.entries()) {
    const day = `2026-11-${String(i + 1).padStart(2, '0')}`;
    const recorded = well(fleet.run('record', 'wren', ...stage, '--date', day));
    expect(recorded, stage.join(' ')).not.toMatch(/does not keep/);
    well(fleet.run('regenerate', 'wren'));
    well(fleet.run('check', 'wren'));
  }
  expect(well(fleet.run('status', 'wren'))).toMatch(/board +number 2/);
}, 120_000);
