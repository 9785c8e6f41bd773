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
  const { rapid, maxFeed, acceleration, corner } = machine.motion;
  let run: { index: number; step: Step }[] = [];

  const flush = (): void => {
    if (run.length === 0) return;
    const n = run.length;
    const entry = new Float64Array(n + 1);
    for (let k = 1; k < n; k++) {
      const a = Math.min(run[k - 1]!.step.acceleration, run[k]!.step.acceleration);
      const v = cornerSpeed(run[k - 1]!.step.end, run[k]!.step.start, a, corner);
      entry[k] = Math.min(v, run[k - 1]!.step.speed, run[k]!.step.speed);
    }
    for (let k = n - 1; k >= 0; k--) {
      const { length, acceleration: a } = run[k]!.step;
      const reachable = Math.sqrt(entry[k + 1]! * entry[k + 1]! + 2 * a * length);
      if (entry[k]! > reachable) entry[k] = reachable;
    }
    for (let k = 0; k < n; k++) {
      const { length, acceleration: a, speed } = run[k]!.step;
      const reachable = Math.sqrt(entry[k]! * entry[k]! + 2 * a * length);
      if (entry[k + 1]! > reachable) entry[k + 1] = reachable;
      seconds[run[k]!.index] = rampTime(length, entry[k]!, entry[k + 1]!, speed, a);
    }
    run = [];
  };

  let eventAt = 0;
  const events = m.trace.events;
  for (let i = 0; i < m.length; i++) {
    // anything between motions that makes the machine wait ends a run
    while (eventAt < events.length && events[eventAt]!.at <= i) {
      const kind = events[eventAt]!.kind;
      if (kind !== 'comment' && kind !== 'message') flush();
      eventAt++;
    }
    if (!isPlaced(m, i)) {
      flush();
      continue;
    }
    const dx = m.toX(i) - m.fromX(i);
    const dy = m.toY(i) - m.fromY(i);
    const dz = m.toZ(i) - m.fromZ(i);
    if (m.trace.kind[i] === RAPID) {
      flush();
      let longest = 0;
      const axes = [
        [Math.abs(dx), rapid.x / 60, acceleration.xy],
        [Math.abs(dy), rapid.y / 60, acceleration.xy],
        [Math.abs(dz), rapid.z / 60, acceleration.z],
      ] as const;
      for (const [d, v, a] of axes) if (d > 0) longest = Math.max(longest, rampTime(d, 0, 0, v, a));
      seconds[i] = longest;
      continue;
    }
    let length: number;
    let level: number;
    let start: [number, number, number];
    let end: [number, number, number];
    let speed = Math.max(m.trace.feed[i]!, 1e-3) / 60;
    let a = acceleration.xy;
    if (m.trace.kind[i] === ARC) {
      const arc = resolveArc(m, i);
      length = arcLength(arc);
      if (length < 1e-9) continue;
      const rise = (arc.toNormal - arc.fromNormal) / length;
      const round = Math.sqrt(Math.max(0, 1 - rise * rise)) * Math.sign(arc.sweep || 1);
      const tangent = (angle: number): [number, number, number] => {
        const t1 = -Math.sin(angle) * round;
        const t2 = Math.cos(angle) * round;
        return arc.plane === 17 ? [t1, t2, rise] : arc.plane === 18 ? [t2, rise, t1] : [rise, t1, t2];
      };
      start = tangent(arc.startAngle);
      end = tangent(arc.startAngle + arc.sweep);
      level = arc.plane === 17 ? Math.abs(round) : 1;
      speed = Math.min(speed, Math.sqrt(a * Math.max(1e-6, Math.min(arc.startRadius, arc.endRadius))));
      const upright = arc.plane === 17 ? Math.abs(rise) : 1;
      if (upright > 1e-9) {
        speed = Math.min(speed, maxFeed.z / 60 / upright);
        a = Math.min(a, acceleration.z / upright);
      }
    } else {
      length = Math.sqrt(dx * dx + dy * dy + dz * dz);
      if (length < 1e-9) continue;
      start = [dx / length, dy / length, dz / length];
      end = start;
      level = Math.sqrt(dx * dx + dy * dy) / length;
      const upright = Math.abs(dz) / length;
      a = level > 1e-9 ? acceleration.xy / level : Infinity;
      if (upright > 1e-9) {
        speed = Math.min(speed, maxFeed.z / 60 / upright);
        a = Math.min(a, acceleration.z / upright);
      }
    }
    if (level > 1e-9) speed = Math.min(speed, maxFeed.xy / 60 / level);
    run.push({ index: i, step: { length, speed, acceleration: a, start, end } });
  }
  flush();
  return seconds;
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
