import type { Diagnostic } from '@bedledger/diagnostics';
import { inFile, report } from '../report.ts';
import { emptyExtents, isPlaced, motionExtents } from '../simulation/motions.ts';
import { CYCLE, MACHINE, RAPID } from '../trace.ts';
import { type Case, gridStep, roundingOf } from './case.ts';
import { mm } from './finding.ts';

/** Air that a rapid across keeps above everything that stands on the bed, mm (common practice, no source). */
const RAPID_AIR = 1;
/** Nearer than this to a solid is a hit, mm; less where the house lets a refit stop nearer above an insert. */
const METAL_AIR = 0.5;

/** Every motion within the travel of each axis; one finding an axis end, at the worst line. */
export function checkTravel(c: Case): Diagnostic[] {
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
      message: `${key[0]} reaches ${mm(w.found)} in the bed frame, the travel ends at ${mm(w.allowed)}${
        w.count > 1 ? ` (${w.count} motions, this one is the worst)` : ''
      }`,
      facts: { axis: key[0]!, found: w.found, allowed: w.allowed, motions: w.count },
    }),
  );
}

/** Where the cutter may go below the bed surface is for the operation to say; nothing may pass the cut limit. */
export function checkBedDepth(c: Case, allowed: 'to-cut-limit' | 'not-at-all'): Diagnostic[] {
  const deepest = c.simulation.deepestBed;
  if (!deepest) return [];
  const tolerance = roundingOf(c.record.machine.controller);
  const { cutLimit } = c.record.machine.bed;
  const line = c.trace.line[deepest.motion]!;
  const facts = {
    found: -deepest.z,
    allowed: allowed === 'not-at-all' ? 0 : cutLimit,
    x: deepest.x,
    y: deepest.y,
  };
  const where = `at X ${mm(deepest.x)}, Y ${mm(deepest.y)}`;
  if (-deepest.z > cutLimit + tolerance) {
    return [
      report({
        code: 'program/bed-depth',
        ...inFile(c.file, line, 'Z'),
        message: `the tip is ${mm(-deepest.z)} below the bed surface ${where}, the cut limit is ${mm(cutLimit)}`,
        facts,
      }),
    ];
  }
  if (allowed === 'not-at-all' && -deepest.z > tolerance) {
    return [
      report({
        code: 'program/into-bed',
        ...inFile(c.file, line, 'Z'),
        message: `the tip is ${mm(-deepest.z)} below the bed surface ${where}, this operation ends in the board`,
        facts,
      }),
    ];
  }
  return [];
}

/** Least distance that a turning part keeps from solids, mm. */
export function metalLimit(c: Case): number {
  const { refitSkin, coverMin } = c.record.house.stack;
  return Math.min(METAL_AIR, 0.9 * refitSkin, 0.9 * coverMin);
}

export function checkSolids(c: Case): Diagnostic[] {
  const limit = metalLimit(c);
  return c.simulation.approaches
    .filter((a) => a.distance < limit)
    .map((a) =>
      report({
        code: 'program/metal',
        ...inFile(c.file, c.trace.line[a.motion]!),
        message:
          a.distance <= 0
            ? `the ${a.part} meets the ${a.solid.name} at X ${mm(a.x)}, Y ${mm(a.y)}, Z ${mm(a.z)}`
            : `the ${a.part} comes within ${mm(a.distance)} of the ${a.solid.name}, at least ${mm(limit)} is needed`,
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

/** Rapids: through material, too low, or of Z together with X Y. */
export function checkRapids(c: Case): Diagnostic[] {
  const { machine } = c.record;
  const m = c.simulation.motions;
  const found: Diagnostic[] = [];
  for (const rapid of c.simulation.cuttingRapids) {
    const line = c.trace.line[rapid.motion]!;
    found.push(
      rapid.unsure
        ? report({
            code: 'program/rapid-unsure',
            ...inFile(c.file, line),
            message:
              'material stands in the box between the ends of this rapid, and the controller may not run it straight',
          })
        : report({
            code: 'program/rapid-in-stock',
            ...inFile(c.file, line),
            message: `this rapid takes off ${Math.round(rapid.volume * 100) / 100} mm³ of material`,
            facts: { volume: rapid.volume },
          }),
    );
  }
  const step = gridStep(machine.controller);
  const ceiling = c.scene.surface.highest;
  let low: { line: number; z: number; count: number } | null = null;
  for (let i = 0; i < m.length; i++) {
    if (c.trace.kind[i] !== RAPID || !isPlaced(m, i)) continue;
    const dx = Math.abs(m.toX(i) - m.fromX(i));
    const dy = Math.abs(m.toY(i) - m.fromY(i));
    const dz = Math.abs(m.toZ(i) - m.fromZ(i));
    if (dx < step / 2 && dy < step / 2) continue;
    if (dz > step / 2) {
      found.push(
        report({
          code: 'program/rapid-combined',
          ...inFile(c.file, c.trace.line[i]!, 'Z'),
          message: `this rapid moves Z by ${mm(dz)} and X Y by ${mm(Math.sqrt(dx * dx + dy * dy))} in one block`,
          facts: { dx, dy, dz },
        }),
      );
    }
    const z = Math.min(m.fromZ(i), m.toZ(i));
    if (z < ceiling + RAPID_AIR - roundingOf(machine.controller)) {
      if (!low) low = { line: c.trace.line[i]!, z, count: 1 };
      else {
        low.count++;
        if (z < low.z) Object.assign(low, { line: c.trace.line[i]!, z });
      }
    }
  }
  if (low) {
    found.push(
      report({
        code: 'program/rapid-low',
        ...inFile(c.file, low.line),
        message: `a rapid across runs at Z ${mm(low.z)} above the bed, the material reaches ${mm(ceiling)} and ${mm(
          RAPID_AIR,
        )} of air is needed${low.count > 1 ? ` (${low.count} rapids, this one is the lowest)` : ''}`,
        facts: { found: low.z, needed: ceiling + RAPID_AIR, rapids: low.count },
      }),
    );
  }
  return found;
}

/** Start, end and everything whose place nobody knows. */
export function checkPlaces(c: Case): Diagnostic[] {
  const { machine } = c.record;
  const { trace } = c;
  const m = c.simulation.motions;
  const found: Diagnostic[] = [];
  const tolerance = roundingOf(machine.controller);
  const clear = machine.clearHeight - tolerance;
  let other: number | null = null;
  let plane: number | null = null;
  let unplaced: number | null = null;
  for (let i = 0; i < m.length; i++) {
    if ((trace.flags[i]! & MACHINE) !== 0) {
      if (machine.controller.home === 'none' || trace.kind[i] !== RAPID) {
        found.push(
          report({
            code: 'program/machine-coordinates',
            ...inFile(c.file, trace.line[i]!),
            message: 'a motion in machine coordinates, whose place on the bed is not known',
          }),
        );
      }
      continue;
    }
    if (machine.controller.workOffset !== 'none' && trace.workOffset[i] !== machine.datum.workOffset)
      other ??= i;
    if (trace.plane[i] !== 17 && trace.plane[i] !== 0) plane ??= i;
    if (isPlaced(m, i)) continue;
    const rapid = trace.kind[i] === RAPID;
    const z = m.toZ(i);
    const upOnly = rapid && z >= clear && Number.isNaN(m.toX(i)) && Number.isNaN(m.toY(i));
    const across =
      rapid && m.fromZ(i) >= clear && z >= clear && !Number.isNaN(m.toX(i)) && !Number.isNaN(m.toY(i));
    const upWhereKnown = rapid && z >= clear && m.toX(i) === m.fromX(i) && m.toY(i) === m.fromY(i);
    if (!upOnly && !across && !upWhereKnown) unplaced ??= i;
  }
  if (other !== null) {
    found.push(
      report({
        code: 'program/work-offset',
        ...inFile(c.file, trace.line[other]!, 'G'),
        message: `this motion is in work offset ${trace.workOffset[other]}, the datum of the machine is offset ${machine.datum.workOffset}`,
        facts: { found: trace.workOffset[other]!, allowed: machine.datum.workOffset },
      }),
    );
  }
  if (plane !== null) {
    found.push(
      report({
        code: 'program/plane',
        ...inFile(c.file, trace.line[plane]!, 'G'),
        message: `this motion runs in the plane G${trace.plane[plane]}, expected G17`,
        facts: { found: trace.plane[plane]! },
      }),
    );
  }
  if (unplaced !== null) {
    found.push(
      report({
        code: 'program/unknown-place',
        ...inFile(c.file, trace.line[unplaced]!),
        message: 'this motion begins or ends at a place that the program has not given',
      }),
    );
  }
  if (m.length === 0) return found;
  const firstFlagged = (trace.flags[0]! & MACHINE) !== 0;
  const lifts =
    trace.kind[0] === RAPID &&
    (firstFlagged || (m.toZ(0) >= clear && Number.isNaN(m.toX(0)) && Number.isNaN(m.toY(0))));
  if (!lifts) {
    found.push(
      report({
        code: 'program/first-height',
        ...inFile(c.file, trace.line[0]!),
        message: `the first motion must be a rapid of Z alone to at least ${mm(machine.clearHeight)} above the bed, found Z ${mm(m.toZ(0))}`,
        facts: { found: m.toZ(0), needed: machine.clearHeight },
      }),
    );
  }
  let last = m.length - 1;
  while (last > 0 && (trace.flags[last]! & MACHINE) !== 0) last--;
  if (!(m.toZ(last) >= clear)) {
    found.push(
      report({
        code: 'program/last-height',
        ...inFile(c.file, trace.line[last]!),
        message: `the program ends at Z ${mm(m.toZ(last))} above the bed, the clear height is ${mm(machine.clearHeight)}`,
        facts: { found: m.toZ(last), needed: machine.clearHeight },
      }),
    );
  }
  const dx = m.toX(last) - machine.park[0];
  const dy = m.toY(last) - machine.park[1];
  if (!(Math.abs(dx) <= 2 * tolerance && Math.abs(dy) <= 2 * tolerance)) {
    found.push(
      report({
        code: 'program/park',
        ...inFile(c.file, trace.line[last]!),
        message: `the program ends at X ${mm(m.toX(last))}, Y ${mm(m.toY(last))}, the park position is X ${mm(machine.park[0])}, Y ${mm(machine.park[1])}`,
        facts: { x: m.toX(last), y: m.toY(last) },
      }),
    );
  }
  return found;
}

/** Issued programs cross at the clear height and no lower, and their cycles come back to it. */
export function checkLinks(c: Case): Diagnostic[] {
  const { machine } = c.record;
  const { trace } = c;
  const m = c.simulation.motions;
  const found: Diagnostic[] = [];
  const clear = machine.clearHeight - roundingOf(machine.controller);
  const step = gridStep(machine.controller) / 2;
  let low: number | null = null;
  for (let i = 0; i < m.length; i++) {
    const cycle = (trace.flags[i]! & CYCLE) !== 0;
    const cycleEnds =
      cycle &&
      (i + 1 === m.length || (trace.flags[i + 1]! & CYCLE) === 0 || trace.line[i + 1] !== trace.line[i]);
    if (cycleEnds && m.toZ(i) < clear) {
      found.push(
        report({
          code: 'work/cycle-return',
          ...inFile(c.file, trace.line[i]!),
          message: `the cycle ends at Z ${mm(m.toZ(i))} above the bed, the clear height is ${mm(machine.clearHeight)}`,
          facts: { found: m.toZ(i), needed: machine.clearHeight },
        }),
      );
    }
    if (low !== null || trace.kind[i] !== RAPID || !isPlaced(m, i)) continue;
    const across = Math.abs(m.toX(i) - m.fromX(i)) > step || Math.abs(m.toY(i) - m.fromY(i)) > step;
    if (across && Math.min(m.fromZ(i), m.toZ(i)) < clear) low = i;
  }
  if (low !== null) {
    found.push(
      report({
        code: 'work/link-height',
        ...inFile(c.file, trace.line[low]!),
        message: `this rapid crosses at Z ${mm(Math.min(m.fromZ(low), m.toZ(low)))} above the bed, the clear height is ${mm(machine.clearHeight)}`,
        facts: { found: Math.min(m.fromZ(low), m.toZ(low)), needed: machine.clearHeight },
      }),
    );
  }
  return found;
}
