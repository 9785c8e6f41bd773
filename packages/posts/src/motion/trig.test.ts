import { expect, test } from 'vitest';
import { cosineSine, directionOf } from './trig.ts';

// Reference: the platform's own functions, good to a few units in the last place.
test('directions and turns agree with the platform to 1e-14', () => {
  let worst = 0;
  for (let i = -4000; i <= 4000; i++) {
    const a = (i / 4000) * 2 * Math.PI;
    const [c, s] = cosineSine(a);
    worst = Math.max(worst, Math.abs(c - Math.cos(a)), Math.abs(s - Math.sin(a)));
    const r = 1 + Math.abs(i % 17);
    const [x, y] = [r * Math.cos(a), r * Math.sin(a)];
    const platform = (Math.atan2(y, x) + 2 * Math.PI) % (2 * Math.PI);
    const gap = Math.abs(directionOf(x, y) - platform);
    worst = Math.max(worst, Math.min(gap, 2 * Math.PI - gap));
  }
  expect(worst).toBeLessThan(1e-14);
});

test('axis directions are exact', () => {
  expect([directionOf(5, 0), directionOf(0, 5), directionOf(-5, 0), directionOf(0, -5)]).toEqual([
    0,
    Math.PI / 2,
    Math.PI,
    1.5 * Math.PI,
  ]);
});
