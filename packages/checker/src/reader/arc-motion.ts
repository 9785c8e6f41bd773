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
export function arcTolerance(machine: Machine): number {
  const t = machine.profile.controller.arcs.tolerance;
  // The report allows 0.002 mm or 0.0002 in, which is the larger; a profile may be stricter or wider.
  return machine.inch === true ? Math.max(t, Math.min((t / 10) * MM_PER_INCH, 0.0002 * MM_PER_INCH)) : t;
}

/** G2 and G3 by centre, absolute centre, unsigned centre within a quadrant, or radius, in any plane, as a helix when the third axis moves (NGC 3.5.3). */
export function arcMotion(machine: Machine, mask: number, clockwise: boolean): void {
  const b = machine.block;
  const arcs = machine.profile.controller.arcs;
  planeKnown(machine, 'an arc');
  const [a1, a2, a3] = PLANES[machine.plane]!;
  const word = (axis: number) => bit(AXIS_LETTER[axis]!);
  const code = clockwise ? 'G2' : 'G3';
  const s1 = machine.at(a1);
  const s2 = machine.at(a2);
  const s3 = machine.at(a3);
  const centre1 = CENTRE_LETTER[a1]!;
  const centre2 = CENTRE_LETTER[a2]!;
  const centre3 = CENTRE_LETTER[a3]!;
  const radiusForm = (mask & bit(R)) !== 0;
  const offsets = mask & (bit(I) | bit(J) | bit(K));
  if ((mask & (word(a1) | word(a2))) === 0) {
    machine.findingG(
      'grammar/word-missing',
      GROUP.motion,
      `found ${code} without ${NAME[AXIS_LETTER[a1]!]} or ${NAME[AXIS_LETTER[a2]!]}`,
    );
    return;
  }
  if (radiusForm && offsets !== 0) {
    machine.finding('grammar/word-unused', R, 'found R beside a centre, expected one of the two');
    return;
  }
  if (!radiusForm && (mask & (bit(centre1) | bit(centre2))) === 0) {
    machine.findingG(
      'grammar/word-missing',
      GROUP.motion,
      `found ${code} without ${NAME[centre1]}, ${NAME[centre2]} or R`,
    );
    return;
  }
  if ((mask & bit(centre3)) !== 0) {
    machine.finding(
      'grammar/word-unused',
      centre3,
      `found ${NAME[centre3]}, which has no place in machine plane`,
    );
    return;
  }
  if (radiusForm && !machine.ngc && arcs.form !== 'radius') {
    machine.finding(
      'grammar/letter-not-allowed',
      R,
      'found an arc by radius, which machine controller does not have',
    );
  }
  if (!radiusForm && arcs.form === 'radius') {
    machine.finding(
      'grammar/letter-not-allowed',
      (mask & bit(centre1)) !== 0 ? centre1 : centre2,
      'found an arc by its centre; machine controller takes a radius',
    );
  }
  machine.target(mask);
  const e1 = machine.at(a1);
  const e2 = machine.at(a2);
  const e3 = machine.at(a3);
  if (Number.isNaN(s1 + s2)) {
    machine.findingG(
      'state/position-unknown',
      GROUP.motion,
      'found an arc from a place that the program has not given',
    );
  }
  const helix = (mask & word(a3)) !== 0 && e3 !== s3;
  if (helix && !arcs.helix) {
    machine.finding(
      'grammar/code-not-allowed',
      AXIS_LETTER[a3]!,
      'found a helix, which machine controller does not have',
    );
  }
  const length = (letter: number): number => {
    if ((mask & bit(letter)) === 0) return 0;
    const v = b.value[letter]! * machine.scale;
    return letter === K ? v * machine.zSign : v;
  };
  const tolerance = arcTolerance(machine);
  let arc: ArcResult;
  if (radiusForm) arc = arcByRadius(s1, s2, e1, e2, b.value[R]! * machine.scale, clockwise, tolerance);
  else if (arcs.form === 'centre-absolute') {
    if ((mask & bit(centre1)) === 0 || (mask & bit(centre2)) === 0) {
      machine.findingG(
        'grammar/word-missing',
        GROUP.motion,
        `found an absolute centre without both ${NAME[centre1]} and ${NAME[centre2]}`,
      );
    }
    const c1 = length(centre1) + machine.axisOffset[a1]!;
    const c2 = length(centre2) + machine.axisOffset[a2]!;
    arc = arcByCentre(s1, s2, e1, e2, c1, c2, clockwise, tolerance);
  } else if (machine.single) {
    const i = length(centre1);
    const j = length(centre2);
    arc = arcInQuadrant(s1, s2, e1, e2, Math.abs(i), Math.abs(j), clockwise, tolerance);
    if (i < 0 || j < 0) arc.fault = 'quadrant';
  } else arc = arcByCentre(s1, s2, e1, e2, s1 + length(centre1), s2 + length(centre2), clockwise, tolerance);

  if (!Number.isNaN(s1 + s2 + e1 + e2)) arcFindings(machine, arc, radiusForm, code);
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

/** Tells what is wrong with an arc, one finding a cause. */
export function arcFindings(machine: Machine, arc: ArcResult, radiusForm: boolean, code: string): void {
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
