import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  agreeOn,
  agreeUnlessStopped,
  damaged,
  disguised,
  program,
} from '../../../../test/support/random-blocks.ts';

// Two readings of NISTIR 6556, written apart, must agree motion by motion on random programs.
describe('two readings of one program', () => {
  it.each([
    ['random programs', program, agreeOn, 1500],
    ['random programs as other people write them', disguised, agreeOn, 500],
    ['damaged ones, unless the product stops them', damaged, agreeUnlessStopped, 1500],
  ] as const)('agree on %s', (_name, texts, judge, runs) => {
    let compared = 0;
    fc.assert(
      fc.property(texts, (text) => {
        compared += judge(text);
      }),
      { numRuns: runs, seed: 6556 },
    );
    expect(compared).toBeGreaterThan(5 * runs);
  });
});
