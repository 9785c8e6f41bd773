import type { Dimension, Provenance } from '../model.ts';
import type { FixingFindings } from './findings.ts';
import type { Measuring } from './written.ts';

/** Share by which a measurement may differ from the published figure before a person is asked to look. */
const FAR = 0.08;

/** What a dimension that nobody measured may be off by, mm [common practice, no source]. */
export const UNMEASURED = 0.1;

/** Checks the `by` and `uncertainty` of a measured block; false when it cannot be used. */
export function usableMeasuring(measuring: Measuring, path: string, findings: FixingFindings): boolean {
  let usable = true;
  if (!Number.isFinite(measuring.uncertainty) || measuring.uncertainty < 0) {
    findings.add({
      code: 'fixing/uncertainty',
      path: `${path}.uncertainty`,
      message: `the measuring uncertainty is ${findings.length(measuring.uncertainty)}, expected a length of 0 or more`,
      facts: { uncertainty: String(measuring.uncertainty) },
    });
    usable = false;
  }
  if (measuring.by.trim() === '') {
    findings.add({
      code: 'fixing/measured-by',
      path: `${path}.by`,
      message: 'a measurement does not say what it was taken with',
    });
    usable = false;
  }
  return usable;
}

/**
 * A dimension the owner measured, in place of the published one. A measurement far from the published figure is
 * reported: the wrong part, or the wrong unit. Undefined when it is no length.
 */
export function measuredDimension(
  measured: {
    readonly value: number;
    readonly measuring: Measuring;
    readonly published: Dimension | undefined;
    /** What was measured, in words. */
    readonly what: string;
    readonly path: string;
  },
  findings: FixingFindings,
): Dimension | undefined {
  const { value, measuring, published, what, path } = measured;
  if (!Number.isFinite(value) || value <= measuring.uncertainty) {
    findings.add({
      code: 'fixing/measured-value',
      path,
      message: `${what} was measured as ${findings.length(value)}, expected a length above its uncertainty of ${findings.length(measuring.uncertainty)}`,
      facts: { measured: String(value), uncertainty: measuring.uncertainty },
    });
    return undefined;
  }
  if (published !== undefined) {
    const off = Math.abs(value - published.value);
    if (off > FAR * published.value + measuring.uncertainty + published.uncertainty) {
      findings.add({
        code: 'fixing/measured-far',
        path,
        message: `${what} was measured as ${findings.length(value)}, but ${published.from.standard} gives ${findings.length(published.value)}`,
        facts: { measured: value, published: published.value, standard: published.from.standard },
      });
    }
  }
  return { value, uncertainty: measuring.uncertainty, from: measuredFrom(measuring, findings) };
}

/** A dimension that the owner copied from the maker's list. */
export function listedDimension(value: number, findings: FixingFindings): Dimension {
  return {
    value,
    uncertainty: UNMEASURED,
    from: {
      standard: "the maker's list",
      grade: 'B',
      note: `not measured: ± ${findings.length(UNMEASURED)} assumed`,
    },
  };
}

function measuredFrom(measuring: Measuring, findings: FixingFindings): Provenance {
  return {
    standard: `measured by ${measuring.by}`,
    grade: 'measured',
    note: `± ${findings.length(measuring.uncertainty)}`,
  };
}
