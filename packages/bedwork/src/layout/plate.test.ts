import { Matrix, solve } from 'ml-matrix';
import { describe, expect, test } from 'vitest';
import {
  CORNER_PANEL,
  cornerDeflection,
  GRID_CENTRE,
  GRID_MIDPOINT,
  gridDeflection,
  gridFactor,
  OUTER_SHARE,
  platePitch,
  plateStiffness,
  sitePull,
} from './plate.ts';

const CATALAN = 0.915965594177219; // published: OEIS A006752

const mdf = { modulus: 3.0, poisson: 0.25, thickness: 18 };

describe('plate on point supports', () => {
  test('worked example: E 3.0 GPa, ν 0.25, t 18 mm', () => {
    // derived: D = E·t³/(12(1−ν²)) = 3e9·0.018³/11.25 = 1555.2 N·m
    expect(plateStiffness(mdf) / 1000).toBeCloseTo(1555.2, 6);
    // derived: 0.0058004·5000·0.3⁴/1555.2 = 0.15105 mm, 5000·0.09 = 450 N, (1e-4·1555.2/(0.0058004·5000))^¼ = 270.6 mm
    expect(gridDeflection(mdf, 300, 5000)).toBeCloseTo(0.15105, 5);
    expect(sitePull(5000, 300, 300)).toBeCloseTo(450, 9);
    expect(platePitch(mdf, { pressure: 5000, deflection: 0.1 })).toBeCloseTo(270.6, 1);
  });

  test('the centre coefficient is G/16π², G Catalan’s constant', () => {
    expect(GRID_CENTRE).toBeCloseTo(CATALAN / (16 * Math.PI * Math.PI), 7);
    // Timoshenko and Woinowsky-Krieger, flat slab on a square grid of columns: 0.00581 (from memory), printed to three digits.
    expect(Math.abs(GRID_CENTRE - 0.00581)).toBeLessThan(0.00001);
  });

  test('the series gives both coefficients of the square grid', () => {
    expect(gridFactor(0.5, 0.5, 1)).toBeCloseTo(GRID_CENTRE, 7);
    expect(gridFactor(0.5, 0, 1)).toBeCloseTo(GRID_MIDPOINT, 6);
    expect(gridFactor(0, 0.5, 1)).toBeCloseTo(GRID_MIDPOINT, 6);
    expect(gridFactor(0, 0, 1)).toBeCloseTo(0, 9);
  });

  test('the series equals the plain double sum on rectangular grids', () => {
    const plain = (x: number, y: number, ratio: number, n: number): number => {
      let sum = 0;
      for (let i = -n; i <= n; i++) {
        for (let j = -n; j <= n; j++) {
          if (i === 0 && j === 0) continue;
          const a = 2 * Math.PI * i;
          const b = (2 * Math.PI * j) / ratio;
          const k = a * a + b * b;
          sum += (1 - Math.cos(2 * Math.PI * i * x) * Math.cos(2 * Math.PI * j * y)) / (k * k);
        }
      }
      return sum;
    };
    for (const ratio of [0.7, 1, 1.3, 2]) {
      for (const [x, y] of [
        [0.5, 0.5],
        [0.25, 0.4],
        [0.5, 0],
        [0.1, 0.9],
      ] as const) {
        // derived: what the square of ±300 leaves out is below 4·Σ 2π·k/(2πk)⁴ ≈ 3e-7 here
        expect(Math.abs(gridFactor(x, y, ratio) - plain(x, y, ratio, 300))).toBeLessThan(4e-7);
      }
    }
  });

  test('a corner panel on its four corners: 0.02567, by the Ritz method', () => {
    expect(ritzCornerPanel(0.25)).toBeCloseTo(CORNER_PANEL, 4);
    // Timoshenko and Woinowsky-Krieger, square plate on its corners, ν 0.3: 0.0249 to 0.0256 across printings (from memory).
    expect(ritzCornerPanel(0.3)).toBeGreaterThan(0.0245);
    expect(ritzCornerPanel(0.3)).toBeLessThan(0.0258);
  });

  test('an outer gap shorter by the share deflects no more than an inner one', () => {
    const inner = gridDeflection(mdf, 400, 5000);
    expect(cornerDeflection(mdf, 400 * OUTER_SHARE, 5000)).toBeCloseTo(inner, 9);
    expect(cornerDeflection(mdf, 400, 5000) / inner).toBeCloseTo(CORNER_PANEL / GRID_CENTRE, 9);
  });

  test('pitch goes with the thickness to the power of ¾', () => {
    const lift = { pressure: 5000, deflection: 0.1 };
    const thin = platePitch({ ...mdf, thickness: 9 }, lift);
    // derived: a ∝ D^¼ ∝ t^¾, so half the thickness is 2^−0.75 = 0.594604 of the pitch
    expect(thin / platePitch(mdf, lift)).toBeCloseTo(0.594604, 6);
  });

  test('figures that make no plate are refused', () => {
    expect(() => plateStiffness({ ...mdf, thickness: 0 })).toThrow(RangeError);
    expect(() => plateStiffness({ ...mdf, poisson: 1 })).toThrow(RangeError);
    expect(() => platePitch(mdf, { pressure: 0, deflection: 0.1 })).toThrow(RangeError);
    expect(() => gridFactor(0.5, 0.5, Number.NaN)).toThrow(RangeError);
  });
});

/**
 * Centre deflection over q·a⁴/D of a square plate with free edges on its four corners, by minimising the bending energy
 * over even polynomials that vanish at the corners. Shares nothing with the series.
 */
function ritzCornerPanel(nu: number): number {
  // On [−1, 1]², half side 1: φ = x^(2i)·y^(2j) − 1.
  const terms: [number, number][] = [];
  for (let i = 0; i <= 6; i++)
    for (let j = 0; j <= 6; j++) if (i + j > 0 && i + j <= 8) terms.push([2 * i, 2 * j]);
  const area = (p: number, q: number): number =>
    p < 0 || q < 0 || p % 2 === 1 || q % 2 === 1 ? 0 : 4 / ((p + 1) * (q + 1));
  const n = terms.length;
  const stiffness = Matrix.zeros(n, n);
  const load = Matrix.zeros(n, 1);
  for (let a = 0; a < n; a++) {
    const [i, j] = terms[a] as [number, number];
    load.set(a, 0, area(i, j) - 4);
    for (let b = 0; b < n; b++) {
      const [k, l] = terms[b] as [number, number];
      const xx = i * (i - 1);
      const yy = j * (j - 1);
      const uu = k * (k - 1);
      const vv = l * (l - 1);
      let sum = 0;
      if (xx && uu) sum += xx * uu * area(i - 2 + k - 2, j + l);
      if (yy && vv) sum += yy * vv * area(i + k, j - 2 + l - 2);
      if (xx && vv) sum += nu * xx * vv * area(i - 2 + k, j + l - 2);
      if (yy && uu) sum += nu * yy * uu * area(i + k - 2, j - 2 + l);
      if (i && j && k && l) sum += 2 * (1 - nu) * i * j * k * l * area(i - 1 + k - 1, j - 1 + l - 1);
      stiffness.set(a, b, sum);
    }
  }
  const c = solve(stiffness, load);
  // w(0,0) = −Σ c; side a = 2, so w = k·q·a⁴/D with a⁴ = 16.
  let centre = 0;
  for (let a = 0; a < n; a++) centre -= c.get(a, 0);
  return Math.abs(centre) / 16;
}
