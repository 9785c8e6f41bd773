import type { Machine } from '@bedledger/fleet';
import { ARC, RAPID } from '../trace.ts';
import { arcLength, isPlaced, type Motions, resolveArc } from './motions.ts';

/** Time of a move of `d` mm from speed `v0` to `v1` at most `v`, acceleration `a`: trapezoid, or triangle when short. */
function rampTime(d: number, v0: number, v1: number, v: number, a: number): number {
  const peak = Math.min(v, Math.sqrt((2 * a * d + v0 * v0 + v1 * v1) / 2));
  const up = Math.max(0, (peak - v0) / a);
  const down = Math.max(0, (peak - v1) / a);
  const rampLength = ((peak + v0) / 2) * up + ((peak + v1) / 2) * down;
  return up + down + Math.max(0, d - rampLength) / peak;
}

/** Motions of a run that are looked at together; where a longer run is cut, the machine is taken to stop once. */
const LONGEST_RUN = 20_000;

interface Step {
  readonly length: number;
  /** mm/s and mm/s², already within what each axis can do along this direction. */
  readonly speed: number;
  readonly acceleration: number;
  readonly start: readonly [number, number, number];
  readonly end: readonly [number, number, number];
}

/** Speed at which a corner may be taken, mm/s. `u` and `w` are unit directions before and after it. */
function cornerSpeed(
  u: readonly [number, number, number],
  w: readonly [number, number, number],
  acceleration: number,
  corner: Machine['motion']['corner'],
): number {
  const cosTurn = u[0] * w[0] + u[1] * w[1] + u[2] * w[2];
  if (cosTurn > 0.999999) return Infinity;
  if (corner.mode === 'exact-stop') return 0;
  // inside angle θ = π − turn; sin(θ/2) = cos(turn/2)
  const half = Math.sqrt(Math.max(0, (1 + cosTurn) / 2));
  if (half >= 1) return Infinity;
  const radius = (corner.tolerance * half) / (1 - half);
  return Math.sqrt(acceleration * radius);
}

/**
 * Seconds that each motion takes on this machine: rapids from rest to rest with per-axis limits, runs of feed motions
 * with look-ahead, corners by the profile's tolerance or exact stop, arcs no faster than their curvature lets the
 * acceleration hold.
 */
export function motionSeconds(m: Motions, machine: Machine): Float64Array {
  const seconds = new Float64Array(m.length);
  const { motion } = machine;
  let run: { index: number; step: Step }[] = [];
  const endRun = (): void => {
    const times = runSeconds(
      run.map(({ step }) => step),
      motion.corner,
    );
    for (let k = 0; k < run.length; k++) seconds[run[k]!.index] = times[k]!;
    run = [];
  };
  let eventAt = 0;
  const events = m.trace.events;
  for (let i = 0; i < m.length; i++) {
    // anything between motions that makes the machine wait ends a run
    while (eventAt < events.length && events[eventAt]!.at <= i) {
      const kind = events[eventAt]!.kind;
      if (kind !== 'comment' && kind !== 'message') endRun();
      eventAt++;
    }
    if (!isPlaced(m, i)) endRun();
    else if (m.trace.kind[i] === RAPID) {
      endRun();
      seconds[i] = rapidSeconds(m, i, motion);
    } else {
      const step = m.trace.kind[i] === ARC ? arcStep(m, i, motion) : lineStep(m, i, motion);
      if (step) run.push({ index: i, step });
      if (run.length === LONGEST_RUN) endRun();
    }
  }
  endRun();
  return seconds;
}

/** Seconds of each step of a run, which starts and ends at rest and slows down for its corners. */
function runSeconds(steps: readonly Step[], corner: Machine['motion']['corner']): Float64Array {
  const n = steps.length;
  const entry = new Float64Array(n + 1);
  for (let k = 1; k < n; k++) {
    const before = steps[k - 1]!;
    const step = steps[k]!;
    const a = Math.min(before.acceleration, step.acceleration);
    entry[k] = Math.min(cornerSpeed(before.end, step.start, a, corner), before.speed, step.speed);
  }
  const reachable = (from: number, { length, acceleration }: Step): number =>
    Math.sqrt(from * from + 2 * acceleration * length);
  for (let k = n - 1; k >= 0; k--) entry[k] = Math.min(entry[k]!, reachable(entry[k + 1]!, steps[k]!));
  const seconds = new Float64Array(n);
  for (let k = 0; k < n; k++) {
    const step = steps[k]!;
    entry[k + 1] = Math.min(entry[k + 1]!, reachable(entry[k]!, step));
    seconds[k] = rampTime(step.length, entry[k]!, entry[k + 1]!, step.speed, step.acceleration);
  }
  return seconds;
}

/** A rapid takes as long as its slowest axis. */
function rapidSeconds(m: Motions, i: number, { rapid, acceleration }: Machine['motion']): number {
  const axes = [
    [Math.abs(m.toX(i) - m.fromX(i)), rapid.x / 60, acceleration.xy],
    [Math.abs(m.toY(i) - m.fromY(i)), rapid.y / 60, acceleration.xy],
    [Math.abs(m.toZ(i) - m.fromZ(i)), rapid.z / 60, acceleration.z],
  ] as const;
  let longest = 0;
  for (const [d, v, a] of axes) if (d > 0) longest = Math.max(longest, rampTime(d, 0, 0, v, a));
  return longest;
}

/**
 * Speed along a path within what its axes run.
 * @param level share of the way that X and Y make, and `upright` that of Z
 */
function axisSpeed(feed: number, level: number, upright: number, { maxFeed }: Machine['motion']): number {
  let speed = feed;
  if (upright > 1e-9) speed = Math.min(speed, maxFeed.z / 60 / upright);
  if (level > 1e-9) speed = Math.min(speed, maxFeed.xy / 60 / level);
  return speed;
}

/** mm/s that the program asks of a motion. */
function feedOf(m: Motions, i: number): number {
  return Math.max(m.trace.feed[i]!, 1e-3) / 60;
}

/** An arc or helix as a step of a run; null when it goes nowhere. */
function arcStep(m: Motions, i: number, motion: Machine['motion']): Step | null {
  const arc = resolveArc(m, i);
  const length = arcLength(arc);
  if (length < 1e-9) return null;
  const flat = arc.plane === 17;
  const rise = (arc.toNormal - arc.fromNormal) / length;
  const round = Math.sqrt(Math.max(0, 1 - rise * rise)) * Math.sign(arc.sweep || 1);
  const tangent = (angle: number): [number, number, number] => {
    const t1 = -Math.sin(angle) * round;
    const t2 = Math.cos(angle) * round;
    return flat ? [t1, t2, rise] : arc.plane === 18 ? [t2, rise, t1] : [rise, t1, t2];
  };
  const { xy, z } = motion.acceleration;
  const radius = Math.max(1e-6, Math.min(arc.startRadius, arc.endRadius));
  const level = flat ? Math.abs(round) : 1;
  const upright = flat ? Math.abs(rise) : 1;
  return {
    length,
    speed: axisSpeed(Math.min(feedOf(m, i), Math.sqrt(xy * radius)), level, upright, motion),
    acceleration: upright > 1e-9 ? Math.min(xy, z / upright) : xy,
    start: tangent(arc.startAngle),
    end: tangent(arc.startAngle + arc.sweep),
  };
}

/** A straight motion as a step of a run; null when it goes nowhere. */
function lineStep(m: Motions, i: number, motion: Machine['motion']): Step | null {
  const dx = m.toX(i) - m.fromX(i);
  const dy = m.toY(i) - m.fromY(i);
  const dz = m.toZ(i) - m.fromZ(i);
  const length = Math.sqrt(dx * dx + dy * dy + dz * dz);
  if (length < 1e-9) return null;
  const direction: [number, number, number] = [dx / length, dy / length, dz / length];
  const level = Math.sqrt(dx * dx + dy * dy) / length;
  const upright = Math.abs(dz) / length;
  const { xy, z } = motion.acceleration;
  return {
    length,
    speed: axisSpeed(feedOf(m, i), level, upright, motion),
    acceleration: Math.min(level > 1e-9 ? xy / level : Infinity, upright > 1e-9 ? z / upright : Infinity),
    start: direction,
    end: direction,
  };
}

/** Seconds of the waits a program orders itself: dwells, and spin-up where the controller waits for speed by itself. */
export function waitSeconds(m: Motions, machine: Machine): number {
  let total = 0;
  for (const event of m.trace.events) {
    if (event.kind === 'dwell') total += event.value;
    if (event.kind === 'spindle' && event.value !== 0 && machine.controller.spindle.start === 'at-speed') {
      total += machine.spindle.spinUp;
    }
  }
  return total;
}
