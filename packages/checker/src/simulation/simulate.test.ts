import { type Machine, resolveController } from '@bedledger/fleet';
import { describe, expect, it } from 'vitest';
import { readProgram } from '../reader/index.ts';
import { discSolid, planDistance, ringSolid } from '../scene/solid.ts';
import { chordCount, emptyExtents, motionExtents, motionsOf, resolveArc } from './motions.ts';
import { ProximityMap } from './proximity.ts';
import { motionSeconds } from './time.ts';

const { controller } = resolveController({ dialect: 'rs274ngc' });
const START = 'G17 G21 G40 G49 G80 G90 G94 G54\n';
const read = (text: string, start: readonly [number, number, number] = [0, 0, 5]) =>
  motionsOf(readProgram(`${START}${text}\nM2\n`, 'p.ngc', controller, { strict: false, start }), 0);

/** Only what the time needs of a machine. */
function machine(speeds: {
  rapid: number;
  feed: number;
  a: number;
  corner: Machine['motion']['corner'];
}): Machine {
  return {
    motion: {
      rapid: { x: speeds.rapid, y: speeds.rapid, z: speeds.rapid },
      maxFeed: { xy: speeds.feed, z: speeds.feed },
      acceleration: { xy: speeds.a, z: speeds.a },
      corner: speeds.corner,
    },
    controller,
    spindle: { spinUp: 0 },
  } as unknown as Machine;
}

const total = (seconds: Float64Array): number => seconds.reduce((a, b) => a + b, 0);

describe('time against closed forms', () => {
  it('rest to rest: d/v + v/a, else 2·√(d/a)', () => {
    // published rule v = 1.5 d/t: 300 mm, 450 mm/s, 1350 mm/s² take 1.000 s
    const fast = machine({ rapid: 27000, feed: 27000, a: 1350, corner: { mode: 'exact-stop' } });
    expect(total(motionSeconds(read('G0 X300'), fast))).toBeCloseTo(1, 9);
    // derived: 2438.4 mm at 10 m/min, 500 mm/s²: 14.9637 s
    const slow = machine({ rapid: 10000, feed: 10000, a: 500, corner: { mode: 'exact-stop' } });
    expect(total(motionSeconds(read('G1 X2438.4 F10000'), slow))).toBeCloseTo(14.9637, 4);
    // short: 10 mm at 500 mm/s² never reach 166 mm/s: 2·√(10/500)
    expect(total(motionSeconds(read('G1 X10 F10000'), slow))).toBeCloseTo(2 * Math.sqrt(10 / 500), 9);
  });

  it('a corner of 90° within 0.01 mm at 500 mm/s² is taken at 3.474 mm/s', () => {
    const m = machine({ rapid: 10000, feed: 60000, a: 500, corner: { mode: 'tolerance', tolerance: 0.01 } });
    const seconds = motionSeconds(read('G1 X10 F60000\nY10'), m);
    // from rest to a peak and down to v: t = (2·p − v)/a with p² = (2·a·d + v²)/2
    const v = 3.474;
    const p = Math.sqrt((2 * 500 * 10 + v * v) / 2);
    expect(seconds[0]).toBeCloseTo((2 * p - v) / 500, 5);
    expect(seconds[1]).toBeCloseTo((2 * p - v) / 500, 5);
  });

  it('a line in two pieces takes as long as in one', () => {
    const m = machine({ rapid: 10000, feed: 10000, a: 500, corner: { mode: 'tolerance', tolerance: 0.01 } });
    const whole = total(motionSeconds(read('G1 X100 F6000'), m));
    expect(total(motionSeconds(read('G1 X37 F6000\nX38\nX100'), m))).toBeCloseTo(whole, 6);
  });

  it('an arc is no faster than √(a·r)', () => {
    const m = machine({ rapid: 10000, feed: 60000, a: 500, corner: { mode: 'tolerance', tolerance: 0.01 } });
    const r = 2;
    const seconds = total(motionSeconds(read('G1 X2 F60000\nG3 X2 Y0 I-2 J0', [0, 0, 5]), m));
    expect(seconds).toBeGreaterThan((2 * Math.PI * r) / Math.sqrt(500 * r));
  });
});

describe('extents of arcs', () => {
  const extents = (text: string, start: readonly [number, number, number] = [0, 0, 5]) => {
    const m = read(text, start);
    const box = emptyExtents();
    for (let i = 0; i < m.length; i++) motionExtents(m, i, box);
    return box;
  };

  it('reach the quarter points that they pass and no others', () => {
    const half = extents('G3 X-10 Y0 I-10 J0 F100', [10, 0, 5]);
    expect(half.maxY).toBeCloseTo(10, 9);
    expect(half.minY).toBeCloseTo(0, 9);
    const quarter = extents('G2 X0 Y-10 I-10 J0 F100', [10, 0, 5]);
    expect(quarter.maxY).toBeCloseTo(0, 9);
    expect(quarter.minX).toBeCloseTo(0, 9);
  });

  it('a full circle reaches its radius on every side, a helix its height', () => {
    const b = extents('G3 X10 Y0 Z1 I-10 J0 F100', [10, 0, 5]);
    for (const [found, expected] of [
      [b.minX, -10],
      [b.maxX, 10],
      [b.minY, -10],
      [b.maxY, 10],
      [b.minZ, 1],
      [b.maxZ, 5],
    ] as const) {
      expect(found).toBeCloseTo(expected, 9);
    }
  });

  it('an arc in the plane ZX dips below both its ends', () => {
    const b = extents('G18 G2 X20 Z5 I10 K0 F100', [0, 0, 5]);
    const c = extents('G18 G3 X20 Z5 I10 K0 F100', [0, 0, 5]);
    expect(Math.min(b.minZ, c.minZ)).toBeCloseTo(-5, 9);
    expect(Math.max(b.maxZ, c.maxZ)).toBeCloseTo(15, 9);
  });

  it('chords stay within their tolerance: r·(1 − cos(φ/2))', () => {
    const arc = resolveArc(read('G3 X10 Y0 I-10 J0 F100', [10, 0, 5]), 0);
    for (const tolerance of [0.1, 0.01, 0.001]) {
      const n = chordCount(arc, tolerance);
      expect(10 * (1 - Math.cos(Math.PI / n))).toBeLessThanOrEqual(tolerance + 1e-12);
      expect(10 * (1 - Math.cos(Math.PI / (n - 1)))).toBeGreaterThan(tolerance);
    }
  });
});

describe('distance to solids', () => {
  const insert = discSolid({
    name: 'insert',
    kind: 'insert',
    metal: true,
    x: 50,
    y: 0,
    radius: 5,
    bottom: -13,
    top: 0,
    uncertainty: 0,
    site: 'A1',
  });
  const cutter = [{ name: 'cutter', radius: 3, from: 0, to: 25 }];
  const nearest = (lines: readonly (readonly [number, number, number, number, number, number])[]) => {
    const map = new ProximityMap([insert], cutter);
    lines.forEach((l, i) => {
      map.addMotion(
        i,
        {
          minX: Math.min(l[0], l[3]),
          maxX: Math.max(l[0], l[3]),
          minY: Math.min(l[1], l[4]),
          maxY: Math.max(l[1], l[4]),
          minZ: Math.min(l[2], l[5]),
          maxZ: Math.max(l[2], l[5]),
        },
        (visit) => visit(...l),
      );
    });
    return map.approaches()[0];
  };

  it('above: the height of the tip; beside: axis distance less both radii; over the corner: both', () => {
    expect(nearest([[0, 0, 4, 100, 0, 4]])?.distance).toBeCloseTo(4, 9);
    expect(nearest([[0, 20, -2, 100, 20, -2]])?.distance).toBeCloseTo(20 - 5 - 3, 9);
    expect(nearest([[0, 20, 5, 100, 20, 5]])?.distance).toBeCloseTo(13, 9); // 12 aside, 5 above: √(144 + 25)
  });

  it('meeting is zero or less, and the line of the nearest motion is told', () => {
    const a = nearest([
      [0, 40, 5, 100, 40, 5],
      [0, 0, -1, 100, 0, -1],
      [0, 30, 5, 100, 30, 5],
    ]);
    expect(a?.distance).toBeLessThanOrEqual(0);
    expect(a?.motion).toBe(1);
  });

  it('a dive beside the insert counts where it is, not where it ends', () => {
    // the tip is deep only 40 mm before the insert and far above it over the insert
    const a = nearest([[0, 0, -5, 60, 0, 55]]);
    // derived: rim 3 mm ahead of the axis; at axis x the gap is (42 − x) aside and z(x) above: least of √((42−x)²+(x−5)²) on the way
    let least = Infinity;
    for (let x = 0; x <= 60; x += 0.001) {
      const aside = Math.max(0, Math.abs(50 - x) - 8);
      const above = Math.max(0, x - 5);
      least = Math.min(least, Math.sqrt(aside * aside + above * above));
    }
    expect(a?.distance).toBeCloseTo(least, 1);
    expect(a!.distance).toBeLessThanOrEqual(least + 1e-6);
  });

  it('polygons: through, beside, around', () => {
    const square = ringSolid({
      name: 'post',
      kind: 'keep-out',
      metal: true,
      rings: [
        [
          [0, 0],
          [10, 0],
          [10, 10],
          [0, 10],
        ],
      ],
      bottom: 0,
      top: 30,
      uncertainty: 0,
      site: null,
    });
    expect(planDistance(square, -5, 5, 15, 5)).toBe(0);
    expect(planDistance(square, 3, 3, 4, 4)).toBe(0);
    expect(planDistance(square, -5, 13, 15, 13)).toBeCloseTo(3, 12);
    expect(planDistance(square, 13, 14, 20, 20)).toBeCloseTo(5, 12);
  });
});
