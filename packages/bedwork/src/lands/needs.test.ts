import { expect, test } from 'vitest';
import { CUTTERS, machineOf, recordOf } from '../testing/records.ts';
import { siteNeeds } from './needs.ts';

const machine = machineOf({}, [600, 500]);
const pocketCutter = CUTTERS.get(machine.cutters.pocket)!;
const wide = { ...pocketCutter, id: 'wide', diameter: 60 };
const slim = { ...pocketCutter, id: 'slim', diameter: 3 };
const point = { ...slim, id: 'point', kind: 'v-point' as const };
const known = new Map([...CUTTERS, ...[wide, slim, point].map((c) => [c.id, c] as const)]);

/** Needs of a site with wide cutters, which circle nothing, but for the named ones. */
const needsWith = (cutters: {
  readonly pocket?: string;
  readonly drill?: string;
  readonly mark?: string;
}) => {
  const duties = { ...machine.cutters, pocket: 'wide', drill: 'wide', mark: 'wide', ...cutters };
  return siteNeeds({ ...recordOf({ ...machine, cutters: duties }), cutters: known }, 0.2);
};

// Geometry: a cutter that clears a round cut of radius R goes R − d/2 to either side of the axis.
test('the spindle goes as far about a site as the widest cut is wider than the cutter of its own duty', () => {
  const needs = needsWith({ pocket: 'slim' });
  expect(needs.overhangBy).toBe('socket-pockets');
  expect(needs.overhang).toBeCloseTo(needs.pocketRadius - 1.5, 12);
  expect(needsWith({ drill: 'slim' }).overhangBy).toBe('clearance-holes');
});

test('the start of a bore is made by the cutter of the duty mark, not by the drill of the board', () => {
  const needs = needsWith({ mark: 'slim' });
  expect(needs.overhangBy).toBe('bed-mark');
  expect(needs.overhang).toBeCloseTo(needs.boreRadius - 1.5, 12);
  // A pointed cutter only spots.
  expect(needsWith({ mark: 'point' })).toMatchObject({ overhang: 0, overhangBy: null });
});
