import { describe, expect, test } from 'vitest';
import { catalogue } from './catalogue.ts';
import { metricStressArea, unifiedStressArea } from './thread.ts';

const book = catalogue();
const metric = ['M4', 'M5', 'M6', 'M8', 'M10', 'M12'];
const unified = ['#10-24', '#10-32', '1/4-20', '5/16-18', '3/8-16', '1/2-13'];
const value = (table: string, size: string, key: string): number =>
  Number(book.row(table, size)?.row.values[key]);
/** Within one step (6 %) of the R40 series: ISO 965-1 rounds its formulas to R40 and then smooths the series. */
const nearR40 = (micrometres: number, formula: number): boolean =>
  Math.abs(micrometres - formula) <= 0.06 * formula;

describe('tensile stress areas', () => {
  test.each(metric)('%s: formula rounded to three figures is the printed area [ISO 898-1]', (size) => {
    const area = metricStressArea(value('iso-724', size, 'major'), value('iso-724', size, 'pitch'));
    expect(Number(area.toPrecision(3))).toBe(value('iso-898-1', size, 'stressArea'));
    expect(book.threads.get(size)?.stressArea).toBe(area);
  });

  test.each(unified)('%s: formula rounded to four places is the printed area [ASME B1.1]', (size) => {
    const area =
      unifiedStressArea(value('asme-b1.1', size, 'major'), value('asme-b1.1', size, 'threadsPerInch')) /
      25.4 ** 2;
    expect(Math.abs(area - value('asme-b1.1', size, 'stressArea'))).toBeLessThanOrEqual(0.00006);
  });
});

describe('basic dimensions', () => {
  test.each(metric)('%s: d2 and D1 follow from d and P [ISO 724, ISO 68-1]', (size) => {
    const d = value('iso-724', size, 'major');
    const p = value('iso-724', size, 'pitch');
    expect(value('iso-724', size, 'pitchDiameter')).toBeCloseTo(d - 0.6495190528 * p, 3);
    expect(value('iso-724', size, 'minorInternal')).toBeCloseTo(d - 1.0825317547 * p, 3);
    expect(value('iso-724', size, 'minorExternal')).toBeCloseTo(d - 1.2268693222 * p, 3);
  });

  test.each(unified)('%s: E and K follow from D and n [ASME B1.1]', (size) => {
    const d = value('asme-b1.1', size, 'major');
    const p = 1 / value('asme-b1.1', size, 'threadsPerInch');
    expect(Math.abs(value('asme-b1.1', size, 'pitchDiameter') - (d - 0.64951905 * p))).toBeLessThanOrEqual(
      0.0001,
    );
    expect(Math.abs(value('asme-b1.1', size, 'minorInternal') - (d - 1.08253175 * p))).toBeLessThanOrEqual(
      0.0001,
    );
  });
});

describe('limits of size', () => {
  // ISO 965-1: tolerance formulas, µm, with D the geometric mean of the diameter's range
  const RANGE: Readonly<Record<string, readonly [number, number]>> = {
    M4: [2.8, 5.6],
    M5: [2.8, 5.6],
    M6: [5.6, 11.2],
    M8: [5.6, 11.2],
    M10: [5.6, 11.2],
    M12: [11.2, 22.4],
  };
  test.each(metric)('%s: 6H and 6g by the formulas of ISO 965-1', (size) => {
    const d = value('iso-724', size, 'major');
    const p = value('iso-724', size, 'pitch');
    const [low, high] = RANGE[size] ?? [1, 1];
    const mean = Math.sqrt(low * high);
    const es = 15 + 11 * p; // fundamental deviation g
    const td = 180 * p ** (2 / 3) - 3.15 / Math.sqrt(p); // major, grade 6
    const td2 = 90 * p ** 0.4 * mean ** 0.1; // pitch, external, grade 6
    const minor = p <= 0.8 ? 433 * p - 190 * p ** 1.22 : 230 * p ** 0.7; // minor, internal, grade 6
    const micro = (from: number, to: number): number => Math.round((from - to) * 1000);
    const dmin = micro(d, value('iso-965-2', size, 'majorExternalMin'));
    const d2 = d - 0.6495190528 * p;
    expect(nearR40(dmin - es, td)).toBe(true);
    expect(nearR40(micro(d2, value('iso-965-2', size, 'pitchExternalMin')) - es, td2)).toBe(true);
    expect(nearR40(micro(value('iso-965-2', size, 'pitchInternalMax'), d2), 1.32 * td2)).toBe(true);
    expect(nearR40(micro(value('iso-965-2', size, 'minorInternalMax'), d - 1.0825317547 * p), minor)).toBe(
      true,
    );
  });

  test.each(unified)('%s: 2A and 2B by the formulas of ASME B1.1', (size) => {
    const d = value('asme-b1.1', size, 'major');
    const p = 1 / value('asme-b1.1', size, 'threadsPerInch');
    const e = value('asme-b1.1', size, 'pitchDiameter');
    const le = d; // length of engagement of the coarse and fine series is the basic diameter
    const td2 = 0.0015 * Math.cbrt(d) + 0.0015 * Math.sqrt(le) + 0.015 * p ** (2 / 3);
    const allowance = 0.3 * td2;
    const minor = d < 0.25 ? 0.05 * p ** (2 / 3) + (0.03 * p) / d - 0.002 : 0.25 * p - 0.4 * p * p;
    expect(
      Math.abs(value('asme-b1.1-limits', size, 'pitchExternalMin') - (e - allowance - td2)),
    ).toBeLessThanOrEqual(0.00015);
    expect(
      Math.abs(value('asme-b1.1-limits', size, 'pitchInternalMax') - (e + 1.3 * td2)),
    ).toBeLessThanOrEqual(0.00015);
    expect(
      Math.abs(value('asme-b1.1-limits', size, 'majorExternalMin') - (d - allowance - 0.06 * p ** (2 / 3))),
    ).toBeLessThanOrEqual(0.00015);
    expect(
      Math.abs(value('asme-b1.1-limits', size, 'minorInternalMax') - (d - 1.08253175 * p + minor)),
    ).toBeLessThanOrEqual(0.0008);
  });
});

test('washer limits are H13 and h14 of ISO 286-1', () => {
  // IT13 and IT14 by nominal size, mm [ISO 286-1]
  const it = (d: number): readonly [number, number] =>
    d <= 6 ? [0.18, 0.3] : d <= 10 ? [0.22, 0.36] : d <= 18 ? [0.27, 0.43] : [0.33, 0.52];
  for (const size of metric) {
    const inside = value('iso7089', size, 'insideMin');
    const outside = value('iso7089', size, 'outsideMax');
    expect(value('iso7089-limits', size, 'insideMax')).toBeCloseTo(inside + it(inside)[0], 6);
    expect(value('iso7089-limits', size, 'outsideMin')).toBeCloseTo(outside - it(outside)[1], 6);
  }
});

test('length tolerances are IT15 = 640 i of ISO 286-1', () => {
  for (const row of book.table('iso-4759-1-length').rows) {
    const [over, upTo, tolerance] = [row.values.over, row.values.upTo, row.values.tolerance].map(Number);
    const d = Math.sqrt(over! * upTo!);
    const i = (0.45 * Math.cbrt(d) + 0.001 * d) / 1000;
    expect(Math.abs(tolerance! - 640 * i) / tolerance!).toBeLessThan(0.04);
  }
});
