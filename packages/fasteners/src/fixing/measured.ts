import type { Dimension, Provenance } from '../model.ts';
import { type FixingReport, mm } from './report.ts';
import type { Measuring } from './written.ts';

/** Share by which a measurement may differ from the published figure before a person is asked to look. */
const FAR = 0.08;

/** Checks the `by` and `uncertainty` of a measured block; false when it cannot be used. */
export function usableMeasuring(measuring: Measuring, path: string, report: FixingReport): boolean {
  let usable = true;
  if (!Number.isFinite(measuring.uncertainty) || measuring.uncertainty < 0) {
    report.add(
      'stop',
      'uncertainty',
      `${path}.uncertainty`,
      `the measuring uncertainty is ${measuring.uncertainty}, expected a length of 0 or more`,
      { uncertainty: String(measuring.uncertainty) },
      'state how far off the caliper can be, 0.02 to 0.05 mm is usual',
    );
    usable = false;
  }
  if (measuring.by.trim() === '') {
    report.add(
      'stop',
      'measured-by',
      `${path}.by`,
      'a measurement does not say what it was taken with',
      {},
      'write `by: caliper` (or what you used)',
    );
    usable = false;
  }
  return usable;
}

/**
 * A dimension the owner measured, in place of the published one. A measurement far from the published figure is
 * reported: the wrong part, or the wrong unit.
 */
export function measuredDimension(
  value: number,
  measuring: Measuring,
  published: Dimension | undefined,
  what: string,
  path: string,
  report: FixingReport,
): Dimension | undefined {
  if (!Number.isFinite(value) || value <= measuring.uncertainty) {
    report.add(
      'stop',
      'measured-value',
      path,
      `${what} was measured as ${value}, expected a length above its uncertainty of ${mm(measuring.uncertainty)}`,
      { measured: String(value), uncertainty: measuring.uncertainty },
      'measure it again',
    );
    return undefined;
  }
  if (published !== undefined) {
    const off = Math.abs(value - published.value);
    if (off > FAR * published.value + measuring.uncertainty + published.uncertainty) {
      report.add(
        'warn',
        'measured-far',
        path,
        `${what} was measured as ${mm(value)}, but ${published.from.standard} gives ${mm(published.value)}`,
        { measured: value, published: published.value, standard: published.from.standard },
        'look whether it is the part you named, and whether the unit is right',
      );
    }
  }
  return { value, uncertainty: measuring.uncertainty, from: measuredFrom(measuring) };
}

/** Provenance of a measured dimension. */
export function measuredFrom(measuring: Measuring): Provenance {
  return {
    standard: `measured by ${measuring.by}`,
    grade: 'measured',
    note: `± ${mm(measuring.uncertainty)}`,
  };
}
