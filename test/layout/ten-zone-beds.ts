import type { MachineRecord, Zone } from '@bedledger/fleet';
import { type Point, seededRandom } from '@bedledger/geometry';
import { bare, demoRecord, withMachine } from '../support/demo-records.ts';
import { between, chance } from './awkward-beds.ts';

/** A 5 × 10 ft bed: five rows of two grooved zones with dividers, now and then old holes, a stop, a front out of reach. */
export function tenZoneBed(seed: number): MachineRecord {
  const random = seededRandom(seed * 7919 + 5);
  for (let k = 0; k < 5; k++) random();
  const base = bare(demoRecord('egret'));
  const m = base.machine;
  const [width, depth] = [1524, 3048];
  const rim = between(random, 30, 75);
  const divider = between(random, 20, 50);
  const size: Point = [(width - 2 * rim - divider) / 2, (depth - 2 * rim - 4 * divider) / 5];
  const pitch = between(random, 40, 110);
  const groove = between(random, 6, 10);
  const zones = Array.from({ length: 10 }, (_, n): Zone => {
    const at: Point = [rim + (n % 2) * (size[0] + divider), rim + Math.floor(n / 2) * (size[1] + divider)];
    return {
      id: String.fromCharCode(65 + n),
      shape: { kind: 'rect', at, size },
      grooves: { kind: 'grid', pitch: [pitch, pitch], width: groove, depth: 8 },
      ports: [{ at: [at[0] + 0.3 * size[0], at[1] + 0.3 * size[1]], diameter: 50 }],
    };
  });
  const somewhere = (): Point => [random() * width, random() * depth];
  const holes = chance(random, 0.5) ? Math.floor(random() * 12) : 0;
  const least = between(random, 18, 45);
  return withMachine(base, {
    travel: { ...m.travel, x: [-30, width + 30], y: [chance(random, 0.85) ? -30 : 60, depth + 30] },
    bed: {
      ...m.bed,
      outline: { kind: 'rect', at: [-20, -20], size: [width + 40, depth + 40] },
      zones,
      slots: [],
      holes: Array.from({ length: holes }, (_, n) => ({
        id: `old-${n + 1}`,
        at: somewhere(),
        diameter: between(random, 5, 14),
      })),
      keepOuts: chance(random, 0.5)
        ? [
            {
              id: 'stop',
              shape: { kind: 'circle', at: somewhere(), diameter: between(random, 30, 140) },
              height: null,
              metal: false,
            },
          ]
        : [],
    },
    datum: { ...m.datum, mark: [0, 0], second: [width - 20, 0] },
    board: { ...m.board, at: [0, 0], size: [width, depth] },
    park: [width / 2, depth],
    fixing: {
      ...m.fixing,
      nudges: [],
      layout: {
        pattern: 'fewest',
        pitchMax: between(random, 280, 520),
        edge: [least, least + between(random, 5, 70)],
        nudgeMax: between(random, 2, 32),
        sites: [],
      },
    },
  });
}
