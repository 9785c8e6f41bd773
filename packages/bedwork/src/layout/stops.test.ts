import fc from 'fast-check';
import { expect, test } from 'vitest';
import { fewestStops } from '../../../geometry/src/testing/fewest-stops.ts';
import { fewestLines, placeLines, type StopRules } from './stops.ts';

const base: StopRules = {
  from: 0,
  to: 1240,
  first: [25, 60],
  last: [25, 60],
  pitch: 400,
  outerPitch: 400,
  leastGap: 20,
  allowed: [[0, 1240]],
};

test('1240 mm of board at 400 mm: four lines, by hand', () => {
  // derived: 1240 − 2·60 = 1120 mm between the outer lines at their farthest in, ⌈1120/400⌉ = 3 gaps
  expect(fewestLines(base)).toBe(4);
  // derived: outer gaps of 275: 2·275 + 400 = 950 < 1120, so one more
  expect(fewestLines({ ...base, outerPitch: 275 })).toBe(5);
  expect(fewestLines({ ...base, to: 100, last: [25, 60], allowed: [[0, 100]] })).toBe(1);
  expect(
    fewestLines({
      ...base,
      allowed: [
        [0, 300],
        [800, 1240],
      ],
    }),
  ).toBeNull();
});

const whole = (least: number, most: number) => fc.integer({ min: least, max: most });
const problem = fc
  .record({
    to: whole(60, 400),
    edge: whole(2, 30),
    room: whole(0, 30),
    pitch: whole(15, 120),
    outer: whole(15, 120),
    holes: fc.array(fc.tuple(whole(0, 400), whole(1, 30)), { maxLength: 5 }),
  })
  .map((p): StopRules => {
    const allowed: [number, number][] = [];
    let at = 0;
    for (const [start, size] of [...p.holes].sort((a, b) => a[0] - b[0])) {
      if (start > at) allowed.push([at, start]);
      at = Math.max(at, start + size);
    }
    if (at < p.to) allowed.push([at, p.to]);
    return {
      from: 0,
      to: p.to,
      first: [p.edge, p.edge + p.room],
      last: [p.edge, p.edge + p.room],
      pitch: p.pitch,
      outerPitch: Math.min(p.outer, p.pitch),
      leastGap: 1,
      allowed: allowed.map(([a, b]) => [a, Math.min(b, p.to)] as const).filter(([a, b]) => a <= b),
    };
  });

/** Every whole number tried, level by level: slow, and obviously right when all limits are whole numbers. */
function bruteLines(r: StopRules): number | null {
  const free = (x: number): boolean => r.allowed.some(([a, b]) => x >= a && x <= b);
  const ends = (x: number): boolean => x >= r.to - r.last[1] && x <= r.to - r.last[0];
  let level = new Set<number>();
  for (let x = r.from + r.first[0]; x <= r.from + r.first[1]; x++) if (free(x)) level.add(x);
  if ([...level].some(ends)) return 1;
  for (let n = 2; n < 200 && level.size > 0; n++) {
    for (const x of level) {
      for (let d = 1; d <= Math.min(r.outerPitch, r.pitch); d++) if (free(x + d) && ends(x + d)) return n;
    }
    const next = new Set<number>();
    const limit = n === 2 ? Math.min(r.outerPitch, r.pitch) : r.pitch;
    for (const x of level) for (let d = 1; d <= limit; d++) if (free(x + d) && x + d <= r.to) next.add(x + d);
    level = next;
  }
  return null;
}

test('the least number of lines equals brute force over whole numbers', () => {
  fc.assert(
    fc.property(problem, (r) => {
      expect(fewestLines(r)).toBe(bruteLines(r));
    }),
    { seed: 3, numRuns: 1500 },
  );
});

test('with one pitch the number equals that of the independent one-dimensional cover', () => {
  fc.assert(
    fc.property(problem, (r) => {
      const same = { ...r, outerPitch: r.pitch, leastGap: 0 };
      const other = fewestStops({
        from: r.from,
        to: r.to,
        firstMin: r.first[0],
        firstMax: r.first[1],
        lastMin: r.last[0],
        lastMax: r.last[1],
        pitchMax: r.pitch,
        allowed: r.allowed,
      });
      expect(fewestLines(same)).toBe('stops' in other ? other.stops.length : null);
    }),
    { seed: 5, numRuns: 800 },
  );
});

test('placed lines obey every rule, and exist whenever the number says so', () => {
  fc.assert(
    fc.property(problem, fc.integer({ min: 0, max: 3 }), (r, extra) => {
      const least = fewestLines(r);
      if (least === null) return;
      const n = least + extra;
      const placed = placeLines(r, n, { at: (x) => (x * 7919) % 13, candidates: [], evenness: 5 }, 0.69, 2);
      if (extra === 0) expect(placed).not.toBeNull();
      if (placed === null) return;
      const { lines } = placed;
      expect(lines.length).toBe(n);
      const near = 1e-6;
      const first = (lines[0] as number) - r.from;
      const last = r.to - (lines.at(-1) as number);
      expect(first).toBeGreaterThanOrEqual(r.first[0] - near);
      expect(first).toBeLessThanOrEqual(r.first[1] + near);
      expect(last).toBeGreaterThanOrEqual(r.last[0] - near);
      expect(last).toBeLessThanOrEqual(r.last[1] + near);
      for (const [k, x] of lines.entries()) {
        expect(r.allowed.some(([a, b]) => x >= a - near && x <= b + near)).toBe(true);
        if (k === 0) continue;
        const gap = x - (lines[k - 1] as number);
        expect(gap).toBeGreaterThanOrEqual(r.leastGap - near);
        expect(gap).toBeLessThanOrEqual(
          (k === 1 || k === n - 1 ? Math.min(r.outerPitch, r.pitch) : r.pitch) + near,
        );
      }
      if (placed.symmetric) {
        for (const [k, x] of lines.entries())
          expect(x + (lines[n - 1 - k] as number)).toBeCloseTo(r.from + r.to, 6);
      }
    }),
    { seed: 8, numRuns: 1500 },
  );
});

test('outer gaps come out shorter than inner ones where nothing else decides', () => {
  const placed = placeLines(
    { ...base, to: 2460, allowed: [[0, 2460]] },
    8,
    { at: () => 0, candidates: Array.from({ length: 2461 }, (_, i) => i), evenness: 60 },
    0.69,
    0,
  );
  const gaps = placed?.lines.slice(1).map((x, i) => x - (placed.lines[i] as number)) ?? [];
  const inner = Math.min(...gaps.slice(1, -1));
  expect(gaps[0]).toBeLessThan(0.8 * inner);
  expect(gaps.at(-1)).toBeLessThan(0.8 * inner);
});
