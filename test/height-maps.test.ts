import { checkIssued } from '@bedledger/checker';
import { type Machine, type MachineRecord, oddHeights, unknownBoard } from '@bedledger/fleet';
import { seededRandom } from '@bedledger/geometry';
import { describe, expect, it } from 'vitest';
import { issuedFiles, issueMachine } from '../packages/cli/src/issued-set.ts';
import { demoRecord } from './support/demo-records.ts';

/** Avocet's board is 1250 mm square from −5, −5; its map is a raster of 9 × 9 readings, its last caliper reading about 17.2 mm. */
const avocet = demoRecord('avocet');
const { board } = avocet.state;
type Reading = readonly [number, number, number];

function withMap(points: readonly Reading[], surfacing: Partial<Machine['surfacing']> = {}): MachineRecord {
  return {
    ...avocet,
    machine: { ...avocet.machine, surfacing: { ...avocet.machine.surfacing, ...surfacing } },
    heights: avocet.heights.map((map) => ({ ...map, points })),
  };
}

/** A raster over the board: `inset` from its edges, `n` readings a side. */
function raster(n: number, inset: number, height: (x: number, y: number) => number): Reading[] {
  const { at, size } = avocet.machine.board;
  const step = (k: number, axis: 0 | 1): number =>
    at[axis] + inset + ((size[axis] - 2 * inset) * k) / (n - 1);
  return Array.from({ length: n * n }, (_, k): Reading => {
    const [x, y] = [step(k % n, 0), step(Math.floor(k / n), 1)];
    return [x, y, height(x, y)];
  });
}

const stops = (record: MachineRecord, issued = record): string[] => {
  const set = issueMachine(issued);
  return checkIssued(record, issuedFiles(record.machine.id, set.files, set.manifest))
    .findings.filter((f) => f.severity === 'stop')
    .map((f) => f.code);
};
const withheld = (record: MachineRecord): string | undefined =>
  issueMachine(record).plan.withheld.find((w) => w.operation === 'surface')?.reason;
const levels = (record: MachineRecord): number[] => {
  const surface = issueMachine(record).plan.programs.find((p) => p.name === 'surface');
  return (surface?.moves ?? []).flatMap((m) => (m.kind === 'feed' ? [m.z] : []));
};

describe('a reading that stands alone decides no depth', () => {
  const clean = avocet.heights[0]!.points;
  // Corner, edge, middle of the raster.
  it.each([0, 4, 40, 80])(
    'reading %i read a millimetre too low: withheld, and a program from it is refused',
    (index) => {
      const slip = clean.map(([x, y, z], i): Reading => [x, y, i === index ? z - 1 : z]);
      expect(oddHeights(slip, board).map((o) => o.index)).toEqual([index]);
      expect(withheld(withMap(slip))).toMatch(/the height map cannot decide a depth: 1[56]\.\d+ mm at X/);
      expect(stops(withMap(slip), avocet)).toContain('work/odd-height');
    },
  );

  it('a second reading beside it that agrees makes it a gouge, which is followed', () => {
    const gouge = clean.map(([x, y, z], i): Reading => [x, y, i === 40 ? z - 0.6 : z]);
    const [x, y, z] = gouge[40]!;
    expect(withheld(withMap(gouge))).toBeDefined();
    const confirmed = withMap([...gouge, [x + 20, y, z + 0.05]]);
    expect(withheld(confirmed)).toBeUndefined();
    expect(Math.min(...levels(confirmed))).toBeLessThan(z);
    expect(stops(confirmed)).toEqual([]);
  });

  it('far below every caliper reading is no bow, with or without neighbours', () => {
    const few: Reading[] = raster(2, 20, () => 16.9);
    expect(oddHeights([...few, [600, 600, 15]], board)).toMatchObject([{ index: 4, against: 'ledger' }]);
    expect(withheld(withMap([...few, [600, 600, 15]]))).toContain('the thickness on record');
  });

  it('bowed, dished, twisted and leaning boards with readings that scatter are taken as they are', () => {
    const random = seededRandom(12);
    for (let n = 0; n < 200; n++) {
      const side = 4 + (n % 6);
      const [bow, dish, twist, lean] = [0, 0, 0, 0].map(() => 0.8 * (random() - 0.5)) as [
        number,
        number,
        number,
        number,
      ];
      const points = raster(side, 20, (x, y) => {
        const [u, v] = [(x - 620) / 600, (y - 620) / 600];
        return 17 + bow * u * u + dish * v * v + twist * u * v + lean * u + 0.04 * (random() - 0.5);
      });
      expect(oddHeights(points, board), `board ${n}`).toEqual([]);
    }
  });

  it('three slips among eighty-one readings are all found', () => {
    const slips = new Map([[10, -1.2], [44, 0.9], [45, -0.8]]); // biome-ignore format: one line
    const wrong = clean.map(([x, y, z], i): Reading => [x, y, z + (slips.get(i) ?? 0)]);
    expect(oddHeights(wrong, board).map((o) => o.index)).toEqual([10, 44, 45]);
  });
});

describe('a map claims no more of the board than it says', () => {
  it('a raster to the edges speaks for all of it, four corners or the middle do not', () => {
    const { machine } = avocet;
    expect(unknownBoard(avocet.heights[0]!.points, machine.board).share).toBe(0);
    // derived: the middle of a square of corners 1210 mm apart is 855.6 mm from each; a lattice comes within its step of it
    const corners = unknownBoard(
      raster(2, 20, () => 17),
      machine.board,
    );
    expect(corners.farthest).toBeGreaterThan(855.6 - 37);
    expect(corners.farthest).toBeLessThan(855.7);
    expect(corners.share).toBeGreaterThan(0.8);
    // derived: readings over the middle 450 mm speak for 254 mm around them; at most (450 + 2 · 254)² of 1250² is known
    const middle = unknownBoard(
      raster(4, 400, () => 17),
      machine.board,
    );
    expect(middle.share).toBeGreaterThan(1 - (958 * 958) / (1250 * 1250) - 0.02);
  });

  it.each([
    ['four corners', raster(2, 20, () => 16.6)],
    ['the middle only', raster(4, 400, () => 16.6)],
    ['one line', raster(4, 20, () => 16.6).slice(0, 4)],
  ])('%s: the first pass meets the thickest on record, and the rim is told', (_, points) => {
    const record = withMap(points);
    const thickest = Math.max(
      ...(avocet.ledger.facts.findLast((f) => f.fact === 'skim' || f.fact === 'board')?.thickness ?? []),
    );
    const { depthPerPass } = avocet.machine.surfacing;
    const set = issueMachine(record);
    expect(set.plan.findings.map((f) => f.code)).toContain('surfacing/unmeasured');
    const passes = levels(record).filter((z) => z < thickest);
    expect(Math.max(...passes)).toBeGreaterThanOrEqual(thickest - depthPerPass - 1e-6);
    expect(stops(record)).toEqual([]);
  });
});

describe('planner and checker take the top of the board from the same facts', () => {
  // Every reading lies below the caliper's last one, and leans: closed form, a plane less the margin.
  const leaning = (x: number, y: number): number => 16.2 + 0.0003 * (x + 5) - 0.0001 * (y + 5);
  it.each(['best', 'level'] as const)(
    'a %s skim of a map that lies below the last caliper reading passes',
    (plane) => {
      for (const n of [2, 5, 9]) {
        const record = withMap(raster(n, 20, leaning), { skim: { from: 'heights', depth: null, plane } });
        expect(withheld(record), `${n}`).toBeUndefined();
        expect(stops(record), `${n} readings a side`).toEqual([]);
      }
    },
  );
});

it('nothing to take off is said', () => {
  const flat = withMap(
    raster(9, 20, () => 17),
    { margin: 0 },
  );
  expect(withheld(flat)).toBe(
    `nothing is to be taken off: the board is flat to 0.00 mm by ${avocet.heights[0]!.file}, and the profile's margin is 0.00 mm`,
  );
  expect(stops(flat)).toEqual([]);
});
