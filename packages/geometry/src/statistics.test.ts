import { describe, expect, it } from 'vitest';
import { chiSquareTail, fTail } from './statistics.ts';

describe('tail probabilities against printed tables', () => {
  // NIST/SEMATECH e-Handbook of Statistical Methods, table 1.3.6.7.4 (upper critical values of chi-square).
  it.each([
    [1, 6.635, 0.01],
    [2, 9.21, 0.01],
    [3, 11.345, 0.01],
    [5, 15.086, 0.01],
    [10, 23.209, 0.01],
    [30, 50.892, 0.01],
    [1, 3.841, 0.05],
    [4, 9.488, 0.05],
    [100, 124.342, 0.05],
    [7, 24.322, 0.001],
  ])('chi-square, %i degrees, %f', (freedom, x, level) => {
    expect(chiSquareTail(x, freedom) / level).toBeCloseTo(1, 2);
  });

  // The same handbook, table 1.3.6.7.3 (upper critical values of F, 1 % and 5 %).
  it.each([
    [1, 2, 98.503, 0.01],
    [3, 2, 99.166, 0.01],
    [2, 10, 7.559, 0.01],
    [5, 5, 10.967, 0.01],
    [3, 8, 4.066, 0.05],
    [10, 10, 2.978, 0.05],
  ])('F, %i and %i degrees, %f', (m, n, x, level) => {
    expect(fTail(x, m, n) / level).toBeCloseTo(1, 2);
  });

  it('ends of the range', () => {
    expect(chiSquareTail(0, 3)).toBe(1);
    expect(chiSquareTail(Infinity, 3)).toBe(0);
    expect(fTail(0, 3, 3)).toBe(1);
    expect(fTail(Infinity, 3, 3)).toBe(0);
    // Exact: two degrees of freedom are an exponential distribution.
    expect(chiSquareTail(10, 2)).toBeCloseTo(Math.exp(-5), 15);
    expect(chiSquareTail(1400, 2)).toBeGreaterThan(0);
  });
});
