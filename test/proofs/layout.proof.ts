import assert from 'node:assert/strict';
import { type Layout, planLayout } from '@bedledger/bedwork';
import { shuffled, withPattern } from '../layout/awkward-beds.ts';
import { anyBed } from '../layout/hostile-beds.ts';
import { brokenAdvice, brokenPromises, landsMirrored } from '../layout/judge.ts';
import { ROOT } from '../support/command.ts';
import { demoRecords, mirrored } from '../support/demo-records.ts';
import type { Proof } from './proof.ts';

/** Layouts of so many sites are compared with their mirror image. */
const MIRRORED = 60;

const stops = (layout: Layout): string[] =>
  layout.findings.filter((f) => f.severity === 'stop').map((f) => `${f.code}: ${f.message}`);

function judged(number: number): void {
  demoRecords(ROOT);
  const { record, small } = anyBed(number);
  const layouts = {
    aligned: planLayout(withPattern(record, 'aligned')),
    fewest: planLayout(withPattern(record, 'fewest')),
  };
  for (const pattern of ['aligned', 'fewest'] as const) {
    const layout = layouts[pattern];
    if (stops(layout).length === 0)
      assert.deepEqual(brokenPromises(withPattern(record, pattern), layout), []);
    assert.deepEqual(brokenAdvice(layout), []);
    for (const r of layout.remedies) {
      assert.deepEqual(stops(planLayout({ ...record, machine: r.machine })), [], r.say);
    }
    const again = planLayout(withPattern(shuffled(record), pattern));
    assert.deepEqual(
      again.sites.map((s) => s.actual),
      layout.sites.map((s) => s.actual),
      'written in another order',
    );
    // A layout that stops is the best that was found, and no promise; of very many sites a rounding moves one.
    if (small && record.survey === null && stops(layout).length === 0 && layout.sites.length <= MIRRORED) {
      const other = mirrored(record);
      const image = planLayout(withPattern(other, pattern));
      if (landsMirrored([record, layout.lands], [other, image.lands]))
        assert.equal(image.sites.length, layout.sites.length, 'the mirror image');
    }
  }
  if (stops(layouts.aligned).length > 0) return;
  assert.deepEqual(stops(layouts.fewest), []);
  assert.ok(
    layouts.fewest.sites.length <= layouts.aligned.sites.length,
    'fewest needs more than rows and columns',
  );
}

/** A case: one awkward or hostile bed, laid out in both patterns and judged by brute force. */
export const proof: Proof = {
  about: 'awkward beds keep what their layouts promise, by brute force',
  sample: { test: 'test/layout/awkward-beds.test.ts' },
  try: judged,
};
