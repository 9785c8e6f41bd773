import { exactLength, MM_PER_INCH, trimmed } from '@bedledger/diagnostics';
import { ARC } from '../trace.ts';
import { type ArcResult, arcByCentre, arcByRadius, arcInQuadrant } from './arc.ts';
import type { Machine } from './machine.ts';
import { GROUP } from './reading-profile.ts';
import { AXIS_LETTER, bit, CENTRE_LETTER, I, J, K, NAME, PLANES, R } from './words.ts';

/** Raises a finding when no plane was stated, and reads on in G17. */
export function planeKnown(machine: Machine, what: string): boolean {
  if (machine.plane === 0) {
    machine.findingG('state/plane-missing', GROUP.motion, `found ${what} before the plane is stated`);
    machine.plane = 17;
  }
  return true;
}

/** Allowed difference of start and end radius, mm, in the units in force. */
function arcTolerance(machine: Machine): number {
  const t = machine.profile.controller.arcs.tolerance;
  // The report allows 0.002 mm or 0.0002 in, which is the larger; a profile may be stricter or wider.
  return machine.inch === true ? Math.max(t, Math.min((t / 10) * MM_PER_INCH, 0.0002 * MM_PER_INCH)) : t;
}

/** G2 and G3 by centre, absolute centre, unsigned centre within a quadrant, or radius, in any plane, as a helix when the third axis moves (NGC 3.5.3). */
export function arcMotion(machine: Machine, mask: number, clockwise: boolean): void {
  planeKnown(machine, 'an arc');
  const [a1, a2, a3] = PLANES[machine.plane]!;
  const code = clockwise ? 'G2' : 'G3';
  if (!arcWordsFit(machine, mask, code)) return;
  const s1 = machine.at(a1);
  const s2 = machine.at(a2);
  const s3 = machine.at(a3);
  machine.target(mask);
  const e3 = machine.at(a3);
  if (Number.isNaN(s1 + s2)) {
    machine.findingG(
      'state/position-unknown',
      GROUP.motion,
      'found an arc from a place that the program has not given',
    );
  }
  if ((mask & axisBit(a3)) !== 0 && e3 !== s3 && !machine.profile.controller.arcs.helix) {
    machine.finding(
      'grammar/code-not-allowed',
      AXIS_LETTER[a3]!,
      'found a helix, which this controller does not have',
    );
  }
  const arc = arcFrom(machine, mask, clockwise, s1, s2);
  const radiusForm = (mask & bit(R)) !== 0;
  const known = !Number.isNaN(s1 + s2 + machine.at(a1) + machine.at(a2));
  if (known) arcFindings(machine, arc, radiusForm, code);
  const timed = machine.cutting(mask);
  const out = machine.out;
  const n = machine.push(ARC, 0);
  out.c1[n] = arc.c1;
  out.c2[n] = arc.c2;
  out.sweep[n] = arc.sweep;
  if (machine.feedMode === 2) {
    const along = Math.abs(arc.sweep) * arc.radius;
    const rise = e3 - s3;
    out.feed[n] = timed
      ? machine.inverse(Math.sqrt(along * along + (Number.isNaN(rise) ? 0 : rise * rise)))
      : 0;
  }
}

const axisBit = (axis: number): number => bit(AXIS_LETTER[axis]!);

/** Does the block have the words of one form of arc, and no others? */
function arcWordsFit(machine: Machine, mask: number, code: string): boolean {
  const { arcs } = machine.profile.controller;
  const [a1, a2, a3] = PLANES[machine.plane]!;
  const centre1 = CENTRE_LETTER[a1]!;
  const centre2 = CENTRE_LETTER[a2]!;
  const centre3 = CENTRE_LETTER[a3]!;
  const radiusForm = (mask & bit(R)) !== 0;
  if ((mask & (axisBit(a1) | axisBit(a2))) === 0) {
    const message = `found ${code} without ${NAME[AXIS_LETTER[a1]!]} or ${NAME[AXIS_LETTER[a2]!]}`;
    machine.findingG('grammar/word-missing', GROUP.motion, message);
    return false;
  }
  if (radiusForm && (mask & (bit(I) | bit(J) | bit(K))) !== 0) {
    machine.finding('grammar/word-unused', R, 'found R beside a centre, expected one of the two');
    return false;
  }
  if (!radiusForm && (mask & (bit(centre1) | bit(centre2))) === 0) {
    const message = `found ${code} without ${NAME[centre1]}, ${NAME[centre2]} or R`;
    machine.findingG('grammar/word-missing', GROUP.motion, message);
    return false;
  }
  if ((mask & bit(centre3)) !== 0) {
    machine.finding('grammar/word-unused', centre3, `found ${NAME[centre3]}, which is not in the plane`);
    return false;
  }
  if (radiusForm && !machine.ngc && arcs.form !== 'radius') {
    const message = 'found an arc by radius, which this controller does not have';
    machine.finding('grammar/letter-not-allowed', R, message);
  }
  if (!radiusForm && arcs.form === 'radius') {
    const letter = (mask & bit(centre1)) !== 0 ? centre1 : centre2;
    const message = 'found an arc by its centre; this controller takes a radius';
    machine.finding('grammar/letter-not-allowed', letter, message);
  }
  return true;
}

/** The arc from (s1, s2) in the plane to where the machine stands now, by the form of its words. */
function arcFrom(machine: Machine, mask: number, clockwise: boolean, s1: number, s2: number): ArcResult {
  const { value } = machine.block;
  const { form } = machine.profile.controller.arcs;
  const [a1, a2] = PLANES[machine.plane]!;
  const e1 = machine.at(a1);
  const e2 = machine.at(a2);
  const tolerance = arcTolerance(machine);
  if ((mask & bit(R)) !== 0) {
    return arcByRadius(s1, s2, e1, e2, value[R]! * machine.scale, clockwise, tolerance);
  }
  const length = (letter: number): number => {
    if ((mask & bit(letter)) === 0) return 0;
    const v = value[letter]! * machine.scale;
    return letter === K ? v * machine.zSign : v;
  };
  const centre1 = CENTRE_LETTER[a1]!;
  const centre2 = CENTRE_LETTER[a2]!;
  const i = length(centre1);
  const j = length(centre2);
  if (form === 'centre-absolute') {
    if ((mask & bit(centre1)) === 0 || (mask & bit(centre2)) === 0) {
      const message = `found an absolute centre without both ${NAME[centre1]} and ${NAME[centre2]}`;
      machine.findingG('grammar/word-missing', GROUP.motion, message);
    }
    const c1 = i + machine.axisOffset[a1]!;
    const c2 = j + machine.axisOffset[a2]!;
    return arcByCentre(s1, s2, e1, e2, c1, c2, clockwise, tolerance);
  }
  if (!machine.single) return arcByCentre(s1, s2, e1, e2, s1 + i, s2 + j, clockwise, tolerance);
  const arc = arcInQuadrant(s1, s2, e1, e2, Math.abs(i), Math.abs(j), clockwise, tolerance);
  if (i < 0 || j < 0) arc.fault = 'quadrant';
  return arc;
}

/** Reports what is wrong with an arc, one finding a cause. */
function arcFindings(machine: Machine, arc: ArcResult, radiusForm: boolean, code: string): void {
  const { arcs, units } = machine.profile.controller;
  if (arc.fault === 'radius') {
    machine.findingG(
      'state/arc-radius',
      GROUP.motion,
      `found ${code} whose start and end radius differ by ${exactLength(arc.difference, units)}, expected at most ${exactLength(arcTolerance(machine), units)}`,
    );
    return;
  }
  if (arc.fault === 'end') {
    machine.finding('state/arc-end', R, `found ${code} by a radius that fits no single circle`);
    return;
  }
  if (arc.fault === 'quadrant') {
    machine.findingG('state/arc-quadrant', GROUP.motion, `found ${code} that does not fit into one quadrant`);
    return;
  }
  const turn = Math.abs(arc.sweep);
  const full = turn > 2 * Math.PI - 1e-12;
  if (radiusForm) {
    const degrees = (turn * 180) / Math.PI;
    if ((degrees > 165 && degrees < 195) || degrees > 345) {
      machine.finding(
        'state/arc-half-turn',
        R,
        `found ${code} by radius over ${trimmed(degrees, 2)}°, expected up to 165°`,
      );
    }
  }
  if (full && arcs.fullCircle !== 'one') {
    machine.findingG(
      'state/full-circle',
      GROUP.motion,
      `found a full circle, expected it in ${arcs.fullCircle} parts`,
    );
  }
  if (arc.radius < arcs.minRadius || arc.radius > arcs.maxRadius) {
    machine.findingG(
      'state/arc-size',
      GROUP.motion,
      `found a radius of ${exactLength(arc.radius, units)}, expected ${exactLength(arcs.minRadius, units)} to ${exactLength(arcs.maxRadius, units)}`,
    );
  }
}
