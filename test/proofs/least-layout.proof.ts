import assert from 'node:assert/strict';
import { planLayout } from '@bedledger/bedwork';
import { computeLands } from '../../packages/bedwork/src/lands/lands.ts';
import { coverTask } from '../../packages/bedwork/src/layout/fewest.ts';
import { pitchRule } from '../../packages/bedwork/src/layout/pitch.ts';
import { fitBed } from '../../packages/bedwork/src/survey/bed-fit.ts';
import { withPattern } from '../layout/awkward-beds.ts';
import { denseOptimum } from '../layout/dense-optimum.ts';
import { anyBed } from '../layout/hostile-beds.ts';
import { ROOT } from '../support/command.ts';
import { demoRecords } from '../support/demo-records.ts';
import type { Proof } from './proof.ts';

/** More sites than the reference solver closes in reasonable time. */
const MOST = 8;
const STEP = 10;
const SECONDS = 60;

async function least(number: number): Promise<void> {
  demoRecords(ROOT);
  const bed = anyBed(number);
  const record = withPattern(bed.record, 'fewest');
  const layout = bed.small ? planLayout(record) : null;
  if (layout === null || layout.sites.length === 0 || layout.sites.length > MOST) return;
  const lands = computeLands(record, fitBed(record));
  const task = coverTask(record, lands, pitchRule(record), []);
  const best = await denseOptimum(lands, task.rules, task.apart, STEP, SECONDS);
  if (best === null) return;
  assert.ok(layout.sites.length <= best.count, `${layout.sites.length} sites, ${best.count} do on a lattice`);
  assert.ok(layout.bound.lower <= best.count, `bound ${layout.bound.lower}, ${best.count} do`);
}

/** A case: one small awkward bed against the mixed-integer solver over places every 10 mm; larger beds pass unseen. */
export const proof: Proof = {
  about: 'small beds get as few sites as a mixed-integer solver finds over places every 10 mm',
  sample: { test: 'packages/bedwork/src/layout/fewest.test.ts' },
  try: least,
};
