import { FEED, MACHINE, MACHINE_X, NOT_SAID, RAPID } from '../trace.ts';
import { arcMotion } from './arc-motion.ts';
import { cycleMotion } from './cycle-motion.ts';
import type { Machine } from './machine.ts';
import { GROUP } from './reading-profile.ts';
import { AXES, AXIS_LETTER, bit, G0, G1, G2, G3, G80, isCycle, NONE } from './words.ts';

/** At the first motion every mode must have been stated: what was not is left over from another program. */
export function firstMotion(machine: Machine): void {
  const c = machine.profile.controller;
  const missing: string[] = [];
  if (machine.plane === 0 && (machine.ngc || c.plane === 'G17')) missing.push('G17');
  if (machine.feedMode === 0) missing.push('G94');
  if (machine.compensationOff === null) missing.push('G40');
  if (machine.lengthOffset === NOT_SAID) missing.push(c.toolLength === 'G43' ? 'G43 or G49' : 'G49');
  if (machine.workOffset === 0 && c.workOffset !== 'none') missing.push('G54');
  if (!machine.pathStated && (c.pathMode ?? 'none') !== 'none') missing.push(c.pathMode!);
  if (missing.length > 0) {
    machine.finding('state/safe-start', -1, `found motion before ${missing.join(', ')} is stated`);
  }
}

/** Step 20 of NGC table 8: finds out which motion the axis words mean, checks that it may, and carries it out. */
export function motionWords(
  machine: Machine,
  mask: number,
  motion: number,
  stated: boolean,
  inMachine: boolean,
): void {
  const c = machine.profile.controller;
  if ((mask & AXES) === 0 && (motion === G0 || motion === G1)) {
    // The older standards let the word stand alone as a change of mode.
    if (machine.ngc) {
      machine.findingG('grammar/word-missing', GROUP.motion, `found G${motion / 10} without axis words`);
      return;
    }
    machine.motion = motion;
    return;
  }
  if (motion === NONE) {
    machine.finding('state/motion-missing', -1, 'found axis words before any motion word');
    return;
  }
  if (motion === G80) {
    machine.finding('state/axes-after-g80', -1, 'found axis words while G80 is in force');
    return;
  }
  if (!stated && !c.modal.motion) {
    machine.finding('grammar/motion-word-missing', -1, `found axis words without G${motion / 10}`);
  }
  if (machine.interrupted) {
    if (!stated) {
      machine.finding(
        'state/stale-motion',
        -1,
        `found axis words under a G${motion / 10} from before an interruption`,
      );
    }
    machine.interrupted = false;
  }
  machine.checkUnits();
  machine.checkDistance();
  if (!machine.moved) firstMotion(machine);
  if (machine.distance === 2 && c.distance === 'absolute' && !inMachine) {
    machine.findingG(
      'state/distance-profile',
      GROUP.distance,
      'found incremental motion, expected absolute positions',
    );
  }
  if (!isCycle(motion) && isCycle(machine.motion) && c.cycles.cancel) {
    machine.findingG(
      'state/cycle-not-cancelled',
      GROUP.motion,
      `found G${motion / 10} while G${machine.motion / 10} is in force, expected G80 first`,
    );
  }
  const previous = machine.motion;
  machine.motion = motion;
  if (inMachine) machineMove(machine, mask, motion);
  else if (motion === G0 || motion === G1) lineMotion(machine, mask, motion);
  else if (motion === G2 || motion === G3) arcMotion(machine, mask, motion === G2);
  else cycleMotion(machine, mask, motion, previous);
  machine.moved = true;
}

/** G0 and G1 (NGC 3.5.1, 3.5.2). */
function lineMotion(machine: Machine, mask: number, motion: number): void {
  const x = machine.x;
  const y = machine.y;
  const z = machine.z;
  machine.target(mask);
  if (motion === G0) {
    machine.push(RAPID, 0);
    return;
  }
  const timed = machine.cutting(mask);
  const i = machine.push(FEED, 0);
  if (machine.feedMode === 2) {
    const dx = machine.x - x;
    const dy = machine.y - y;
    const dz = machine.z - z;
    machine.out.feed[i] = timed ? machine.inverse(Math.sqrt(dx * dx + dy * dy + dz * dz)) : 0;
  }
}

/** G53 (NGC 3.5.12): the values are machine coordinates, whose place is known where home or the origin is. */
function machineMove(machine: Machine, mask: number, motion: number): void {
  if (motion !== G0 && motion !== G1) {
    machine.findingG(
      'grammar/axes-conflict',
      GROUP.once,
      `found G53 with G${motion / 10}, expected G0 or G1`,
    );
    return;
  }
  const origin = machine.origins.get(machine.workOffset);
  let flags = MACHINE;
  const known: [number, number, number] = [machine.x, machine.y, machine.z];
  for (let axis = 0; axis < 3; axis++) {
    if ((mask & bit(AXIS_LETTER[axis]!)) === 0) continue;
    const value = machine.axisValue(axis);
    const home = machine.homeOf(axis);
    if (!Number.isNaN(home)) {
      machine.put(axis, home + value);
      known[axis] = home + value;
      continue;
    }
    flags |= MACHINE_X << axis;
    machine.put(axis, value);
    const length = axis === 2 ? machine.lengthInForce : 0;
    known[axis] = origin === undefined ? Number.NaN : value - origin[axis]! - length;
  }
  if (machine.profile.controller.home !== 'G53' && (machine.strict || flags !== MACHINE))
    machine.findingG('state/machine-coordinates', GROUP.once, 'found a move in machine coordinates');
  if (motion === G1) machine.cutting(mask);
  machine.push(motion === G0 ? RAPID : FEED, flags);
  [machine.x, machine.y, machine.z] = known;
}
