import { type Diagnostic, exactLength, exactPlace, type Units } from '@bedledger/diagnostics';
import { inFile, report } from '../report.ts';
import { isPlaced, type Motions } from '../simulation/motions.ts';
import { MACHINE, RAPID } from '../trace.ts';
import { type Case, RAPID_AIR, roundingOf } from './case.ts';
import { checkHomes, checkOwnHomes } from './homes.ts';

/** Start, end, frame, and every motion from or to a place that the program has not given. */
export function checkPlaces(c: Case): Diagnostic[] {
  const found = [...checkHomes(c), ...checkOwnHomes(c), ...checkFrame(c), ...checkGivenPlaces(c)];
  return c.trace.length === 0 ? found : [...found, ...checkStart(c), ...checkEnd(c)];
}

/** Height above the bed that counts as the clear height, mm. */
function clearHeight(c: Case): number {
  return c.record.machine.clearHeight - roundingOf(c.record.machine.controller);
}

function inMachineCoordinates(c: Case, motion: number): boolean {
  return (c.trace.flags[motion]! & MACHINE) !== 0;
}

/** The first motion in another work offset, and the first in another plane. */
function checkFrame(c: Case): Diagnostic[] {
  const { trace, file } = c;
  const { controller, datum } = c.record.machine;
  const found: Diagnostic[] = [];
  const first = (wrong: (motion: number) => boolean): number => {
    for (let i = 0; i < trace.length; i++) if (!inMachineCoordinates(c, i) && wrong(i)) return i;
    return -1;
  };
  const other =
    controller.workOffset === 'none' ? -1 : first((i) => trace.workOffset[i] !== datum.workOffset);
  if (other >= 0) {
    found.push(
      report({
        code: 'program/work-offset',
        ...inFile(file, trace.line[other]!, 'G'),
        message: `this motion is in work offset ${trace.workOffset[other]}, the datum of the machine is offset ${datum.workOffset}`,
        facts: { found: trace.workOffset[other]!, allowed: datum.workOffset },
      }),
    );
  }
  const upright = first((i) => trace.plane[i] !== 17 && trace.plane[i] !== 0);
  if (upright >= 0) {
    found.push(
      report({
        code: 'program/plane',
        ...inFile(file, trace.line[upright]!, 'G'),
        message: `this motion runs in the plane G${trace.plane[upright]}, expected G17`,
        facts: { found: trace.plane[upright]! },
      }),
    );
  }
  return found;
}

/** The first motion that begins or ends nowhere known, other than the ways in which a program may begin. */
function checkGivenPlaces(c: Case): Diagnostic[] {
  const { trace } = c;
  const m = c.simulation.motions;
  const clear = clearHeight(c);
  for (let i = 0; i < m.length; i++) {
    if (inMachineCoordinates(c, i) || isPlaced(m, i) || isHarmless(c, i, clear)) continue;
    return [
      report({
        code: 'program/unknown-place',
        ...inFile(c.file, trace.line[i]!),
        message: 'this motion begins or ends at a place that the program has not given',
      }),
    ];
  }
  return [];
}

/** Z alone up to the clear height, or X and Y together above everything on the bed: how a program may begin. */
function isHarmless(c: Case, i: number, clear: number): boolean {
  const m = c.simulation.motions;
  const z = m.toZ(i);
  if (c.trace.kind[i] !== RAPID || !(z >= clear)) return false;
  // where X and Y come from is not known, so the way may lead over the highest clamp
  const free = Math.max(clear, c.scene.highest + RAPID_AIR - roundingOf(c.record.machine.controller));
  const across = m.fromZ(i) >= free && !Number.isNaN(m.toX(i)) && !Number.isNaN(m.toY(i));
  const up = m.toX(i) === m.fromX(i) && m.toY(i) === m.fromY(i);
  return movesZAlone(m, i) || across || up;
}

/** No place across has been given yet, so the motion can only be one of Z. */
function movesZAlone(m: Motions, i: number): boolean {
  return Number.isNaN(m.toX(i)) && Number.isNaN(m.toY(i));
}

/** The first motion lifts Z to the clear height, or goes home. */
function checkStart(c: Case): Diagnostic[] {
  const { trace } = c;
  const m = c.simulation.motions;
  const { clearHeight: needed, units } = c.record.machine;
  const lifts = inMachineCoordinates(c, 0) || (m.toZ(0) >= clearHeight(c) && movesZAlone(m, 0));
  if (trace.kind[0] === RAPID && lifts) return [];
  return [
    report({
      code: 'program/first-height',
      ...inFile(c.file, trace.line[0]!),
      message: `the first motion must be a rapid of Z alone to at least ${exactLength(needed, units)} above the bed, found ${heightText(m.toZ(0), units)}`,
      facts: { found: m.toZ(0), needed },
    }),
  ];
}

/** The last motion on the bed ends at the clear height above the park position. */
function checkEnd(c: Case): Diagnostic[] {
  const { trace, file } = c;
  const { clearHeight: needed, park, units, controller } = c.record.machine;
  const m = c.simulation.motions;
  const found: Diagnostic[] = [];
  let last = m.length - 1;
  while (last > 0 && inMachineCoordinates(c, last)) last--;
  const [x, y, z] = [m.toX(last), m.toY(last), m.toZ(last)];
  if (!(z >= clearHeight(c))) {
    found.push(
      report({
        code: 'program/last-height',
        ...inFile(file, trace.line[last]!),
        message: `the program ends at ${heightText(z, units)} above the bed, the clear height is ${exactLength(needed, units)}`,
        facts: { found: z, needed },
      }),
    );
  }
  const tolerance = 2 * roundingOf(controller);
  if (!(Math.abs(x - park[0]) <= tolerance && Math.abs(y - park[1]) <= tolerance)) {
    found.push(
      report({
        code: 'program/park',
        ...inFile(file, trace.line[last]!),
        message: `the program ends at ${exactPlace([x, y], units)}, the park position is ${exactPlace(park, units)}`,
        facts: { x, y },
      }),
    );
  }
  return found;
}

function heightText(z: number, units: Units): string {
  return Number.isNaN(z) ? 'no Z' : `Z ${exactLength(z, units)}`;
}
