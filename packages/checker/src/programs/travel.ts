import { type Diagnostic, exactLength, exactPlace } from '@bedledger/diagnostics';
import { inFile, report } from '../report.ts';
import { commandLimit } from '../scene/bed-depth.ts';
import { emptyExtents, isPlaced, motionExtents } from '../simulation/motions.ts';
import { RAPID } from '../trace.ts';
import { type Case, roundingOf } from './case.ts';

/** Nearer than this to a solid is a hit, mm; less where the house lets a refit stop nearer above an insert. */
const METAL_AIR = 0.5;

/** Every motion within the travel of each axis; one finding an axis end, at the worst line. */
export function checkTravel(c: Case): Diagnostic[] {
  const { units } = c.record.machine;
  const { motions: m } = c.simulation;
  const tolerance = roundingOf(c.record.machine.controller);
  const { travel } = c.record.machine;
  const box = emptyExtents();
  const worst = new Map<
    string,
    { excess: number; line: number; found: number; allowed: number; count: number }
  >();
  const note = (key: string, excess: number, line: number, found: number, allowed: number): void => {
    if (!(excess > tolerance)) return;
    const w = worst.get(key);
    if (!w) worst.set(key, { excess, line, found, allowed, count: 1 });
    else {
      w.count++;
      if (excess > w.excess) Object.assign(w, { excess, line, found, allowed });
    }
  };
  for (let i = 0; i < m.length; i++) {
    box.minX = box.minY = box.minZ = Infinity;
    box.maxX = box.maxY = box.maxZ = -Infinity;
    motionExtents(m, i, box);
    const line = m.trace.line[i]!;
    note('X-', travel.x[0] - box.minX, line, box.minX, travel.x[0]);
    note('X+', box.maxX - travel.x[1], line, box.maxX, travel.x[1]);
    note('Y-', travel.y[0] - box.minY, line, box.minY, travel.y[0]);
    note('Y+', box.maxY - travel.y[1], line, box.maxY, travel.y[1]);
    note('Z-', travel.z[0] - box.minZ, line, box.minZ, travel.z[0]);
    note('Z+', box.maxZ - travel.z[1], line, box.maxZ, travel.z[1]);
  }
  return [...worst].map(([key, w]) =>
    report({
      code: 'program/travel',
      ...inFile(c.file, w.line, key[0]!),
      message: `${key[0]} reaches ${exactLength(w.found, units)} in the bed frame, the travel ends at ${exactLength(w.allowed, units)}${
        w.count > 1 ? ` (${w.count} motions, this one is the worst)` : ''
      }`,
      facts: { axis: key[0]!, found: w.found, allowed: w.allowed, motions: w.count },
    }),
  );
}

/** Where the cutter may go below the bed surface is for the operation to say; the tip stays within the cut limit even where Z 0 and the bed err. */
export function checkBedDepth(c: Case, allowed: 'to-cut-limit' | 'not-at-all'): Diagnostic[] {
  const { units } = c.record.machine;
  const deepest = c.simulation.deepestBed;
  if (!deepest) return [];
  const tolerance = roundingOf(c.record.machine.controller);
  const { machine, house } = c.record;
  const { cutLimit } = machine.bed;
  const deepestCommand = commandLimit(c.record, c.zeroHeight);
  const reading =
    c.zeroHeight > 0
      ? `, and what the board's thickness may err, ${exactLength(house.thicknessUncertainty, units)}`
      : '';
  const line = c.trace.line[deepest.motion]!;
  const facts = {
    found: -deepest.z,
    allowed: allowed === 'not-at-all' ? 0 : deepestCommand,
    x: deepest.x,
    y: deepest.y,
  };
  const where = `at ${exactPlace([deepest.x, deepest.y], units)}`;
  if (-deepest.z > Math.max(0, deepestCommand) + tolerance) {
    return [
      report({
        code: 'program/bed-depth',
        ...inFile(c.file, line, 'Z'),
        message: `the tip is ${exactLength(-deepest.z, units)} below the bed surface ${where}; the cut limit of ${exactLength(cutLimit, units)} allows ${exactLength(Math.max(0, deepestCommand), units)} once the error of the Z zero, ${exactLength(house.zZeroError, units)}, and the bed's unevenness, ${exactLength(house.bedUnevenness, units)}${reading}, are taken off`,
        facts,
      }),
    ];
  }
  if (allowed === 'not-at-all' && -deepest.z > tolerance) {
    return [
      report({
        code: 'program/into-bed',
        ...inFile(c.file, line, 'Z'),
        message: `the tip is ${exactLength(-deepest.z, units)} below the bed surface ${where}, this operation ends in the board`,
        facts,
      }),
    ];
  }
  return [];
}

/** Nothing goes below the surface of a bed whose features are where a drawing has them and nowhere else. */
export function checkBedKnown(c: Case): Diagnostic[] {
  const { deepestBed } = c.simulation;
  if (c.scene.placement.known || !deepestBed) return [];
  const { controller, units } = c.record.machine;
  if (-deepestBed.z <= roundingOf(controller)) return [];
  return [
    report({
      code: 'interlock/unknown-bed',
      ...inFile(c.file, c.trace.line[deepestBed.motion]!, 'Z'),
      message: `the tip goes ${exactLength(-deepestBed.z, units)} below the surface of a bed that is neither surveyed well enough nor vouched for by its owner`,
      facts: { depth: -deepestBed.z, x: deepestBed.x, y: deepestBed.y },
    }),
  ];
}

/** Beside the bed and below its surface there is nothing to cut, but the frame, the rails and the rack. */
export function checkBesideBed(c: Case): Diagnostic[] {
  const { units, controller } = c.record.machine;
  const { motions: m, cutter } = c.simulation;
  const surface = -roundingOf(controller);
  for (let i = 0; i < m.length; i++) {
    const low = Math.min(m.fromZ(i), m.toZ(i));
    if (!(low < surface) || !isPlaced(m, i)) continue;
    const [x, y] = [m.toX(i), m.toY(i)];
    if (c.scene.overBed({ minX: x, maxX: x, minY: y, maxY: y }, cutter.shape.radius)) continue;
    return [
      report({
        code: 'program/beside-bed',
        ...inFile(c.file, c.trace.line[i]!, 'Z'),
        message: `the tip is ${exactLength(-low, units)} below the surface of the bed and beside it, at ${exactPlace([x, y], units)}`,
        facts: { found: -low, x, y },
      }),
    ];
  }
  return [];
}

/** Least distance that a turning part keeps from solids, mm. */
function metalLimit(c: Case): number {
  const { refitSkin, coverMin } = c.record.house.stack;
  return Math.min(METAL_AIR, 0.9 * refitSkin, 0.9 * coverMin);
}

function wayText(c: Case, motion: number): string {
  const { rapids } = c.record.machine.controller;
  const sure = rapids.path === 'straight' || c.trace.kind[motion] !== RAPID;
  return sure ? '' : ' (rapids of this controller may pass anywhere between their ends)';
}

export function checkSolids(c: Case): Diagnostic[] {
  const { units } = c.record.machine;
  const limit = metalLimit(c);
  return c.simulation.approaches
    .filter((a) => a.distance < limit)
    .map((a) =>
      report({
        code: 'program/metal',
        ...inFile(c.file, c.trace.line[a.motion]!),
        message:
          a.distance <= 0
            ? `the ${a.part} meets the ${a.solid.name} at ${exactPlace([a.x, a.y], units)}, Z ${exactLength(a.z, units)}${wayText(c, a.motion)}`
            : `the ${a.part} comes within ${exactLength(a.distance, units)} of the ${a.solid.name}, at least ${exactLength(limit, units)} is needed${wayText(c, a.motion)}`,
        facts: {
          distance: a.distance,
          needed: limit,
          solid: a.solid.name,
          part: a.part,
          x: a.x,
          y: a.y,
          z: a.z,
        },
      }),
    );
}
