import { expect, test } from 'vitest';
import { writtenCentre } from './arc-centre.ts';

/** 32-bit linear congruential generator (Numerical Recipes), so that the arcs are the same every time. */
function generator(seed: number): () => number {
  let state = seed;
  return () => {
    state = (Math.imul(state, 1664525) + 1013904223) >>> 0;
    return state / 4294967296;
  };
}

// NISTIR 6556 §3.5.3: start and end radius may differ by 0.002 mm. Bound of plain rounding at three decimals:
// 4 · (step / 2) · √2 = 0.0028 mm, so some arcs must fail without a correction, and none with it.
test('the neighbour search keeps every arc within 0.002 mm at three decimals, plain rounding does not', () => {
  const random = generator(3);
  const step = 0.001;
  let plain = 0;
  let worst = 0;
  for (let n = 0; n < 100_000; n++) {
    const r = 1 + 200 * random();
    const [cx, cy] = [1000 * random(), 2000 * random()];
    const a = 2 * Math.PI * random();
    const sweep = 0.05 + 6 * random();
    const clockwise = random() < 0.5;
    const b = clockwise ? a - sweep : a + sweep;
    const grid = (v: number): number => Math.round(v / step);
    const [sx, sy] = [grid(cx + r * Math.cos(a)), grid(cy + r * Math.sin(a))];
    const [ex, ey] = [grid(cx + r * Math.cos(b)), grid(cy + r * Math.sin(b))];
    const miss = (x: number, y: number): number =>
      Math.abs(Math.hypot(sx * step - x, sy * step - y) - Math.hypot(ex * step - x, ey * step - y));
    const [i, j] = [grid(cx - sx * step), grid(cy - sy * step)];
    if (miss((sx + i) * step, (sy + j) * step) > 0.002) plain++;
    const centre = writtenCentre(
      { start: [sx, sy], end: [ex, ey], centre: [cx, cy], clockwise, sweep },
      {
        step,
        centreStep: step,
        absolute: false,
        oneQuadrant: false,
        tolerance: 0.002,
      },
    );
    expect(centre).not.toBe(null);
    worst = Math.max(worst, miss((sx + centre!.i) * step, (sy + centre!.j) * step));
  }
  expect(plain).toBeGreaterThan(0);
  expect(worst).toBeLessThan(0.002);
});
