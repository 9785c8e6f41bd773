import { fromUnits } from '@bedledger/diagnostics';
import { type Machine, peckBackOff } from '@bedledger/fleet';
import { hypotenuse, type Point } from '@bedledger/geometry';
import type { Move } from '../motion/program.ts';

/** Where the minutes of one program go, seconds. */
export interface TimeAccount {
  readonly cutting: number;
  readonly rapids: number;
  readonly spinUp: number;
  readonly dwell: number;
  /** Operator's time at programmed stops. */
  readonly stops: number;
  readonly total: number;
  readonly stopCount: number;
  /** mm travelled at feed, and at rapid. */
  readonly cuttingLength: number;
  readonly rapidLength: number;
}

/** Rest to rest over `distance`, s: d/v + v/a when d ≥ v²/a, else 2·√(d/a). mm, mm/s, mm/s². */
export function restToRest(distance: number, speed: number, acceleration: number): number {
  if (!(speed > 0) || !(acceleration > 0)) {
    throw new RangeError(`speed and acceleration must be greater than 0, found ${speed}, ${acceleration}`);
  }
  if (distance <= 0) return 0;
  if (distance >= (speed * speed) / acceleration) return distance / speed + speed / acceleration;
  return 2 * Math.sqrt(distance / acceleration);
}

/**
 * Time over `distance` from speed v0 to v1 with peak at most `speed`: the peak is √((2ad + v0² + v1²)/2) where the
 * limit is not reached. The caller guarantees that v1 can be reached from v0 within the distance.
 */
export function segmentTime(
  distance: number,
  v0: number,
  v1: number,
  speed: number,
  acceleration: number,
): number {
  if (distance <= 0) return 0;
  const peak = Math.min(speed, Math.sqrt((2 * acceleration * distance + v0 * v0 + v1 * v1) / 2));
  const ramps = (2 * peak * peak - v0 * v0 - v1 * v1) / (2 * acceleration);
  const cruise = Math.max(0, distance - ramps);
  return (2 * peak - v0 - v1) / acceleration + (peak > 0 ? cruise / peak : 0);
}

/**
 * Highest speed round a corner of inside angle θ within tolerance ε: R = ε·sin(θ/2)/(1 − sin(θ/2)), v = √(a·R).
 * `cosine` is the cosine of the *turn* (0 inside angle of 180°: turn 0, cosine 1). mm, mm/s².
 */
export function cornerSpeed(cosine: number, tolerance: number, acceleration: number): number {
  // sin(θ/2) with θ = π − turn is cos(turn/2).
  const half = Math.sqrt(Math.max(0, (1 + Math.min(1, cosine)) / 2));
  if (half >= 1 - 1e-12) return Number.POSITIVE_INFINITY;
  return Math.sqrt((acceleration * tolerance * half) / (1 - half));
}

interface Segment {
  length: number;
  speed: number;
  acceleration: number;
  /** Unit tangents at start and end. */
  from: readonly [number, number, number];
  to: readonly [number, number, number];
}

/** Where a program begins and ends: clear height, park position; seconds that the spindle needs to come up to speed. */
export interface TimeStart {
  readonly clear: number;
  readonly spinUp: number;
  readonly park: Point;
}

/**
 * Time of a neutral program on a machine: trapezoidal speed on every feed move with look-ahead over corners (tolerance
 * or exact stop), rapids with each axis on its own limits and the slowest ruling, centripetal limit on arcs.
 *
 * @param stopSeconds - what the operator needs at one programmed stop
 */
export function motionTime(
  moves: readonly Move[],
  machine: Machine,
  start: TimeStart,
  stopSeconds: number,
): TimeAccount {
  const clock = new Clock(machine, start);
  for (const move of moves) clock.run(move);
  return clock.end(stopSeconds);
}

/** Runs moves one after the other and adds up seconds and millimetres. */
class Clock {
  readonly #machine: Machine;
  readonly #start: TimeStart;
  #at: readonly [number, number, number];
  /** Feed moves since the last rest. */
  #segments: Segment[] = [];
  #cutting = 0;
  #rapids = 0;
  #dwell = 0;
  #spinUps = 0;
  #stops = 0;
  #cuttingLength = 0;
  #rapidLength = 0;

  constructor(machine: Machine, start: TimeStart) {
    this.#machine = machine;
    this.#start = start;
    this.#at = [start.park[0], start.park[1], start.clear];
  }

  run(move: Move): void {
    switch (move.kind) {
      case 'feed':
        this.#addFeed(move);
        return;
      case 'arc':
        this.#addArc(move);
        return;
      case 'rapid-xy':
        this.#rest();
        this.#rapidXy(move.x, move.y);
        return;
      case 'rapid-z':
        this.#rest();
        this.#rapidZ(move.z);
        return;
      case 'drill':
        this.#rest();
        this.#drill(move);
        return;
      case 'dwell':
        this.#rest();
        this.#dwell += move.seconds;
        return;
      case 'stop':
        this.#rest();
        this.#stops += 1;
        return;
      case 'spindle':
        this.#rest();
        this.#spinUps += 1;
        return;
      case 'spindle-off':
      case 'auxiliary':
      case 'section':
        return;
      default:
        move satisfies never;
    }
  }

  end(stopSeconds: number): TimeAccount {
    this.#rest();
    this.#rapidZ(this.#start.clear);
    this.#rapidXy(this.#start.park[0], this.#start.park[1]);
    const spinUp = this.#spinUps * this.#start.spinUp;
    const stops = this.#stops * stopSeconds;
    return {
      cutting: this.#cutting,
      rapids: this.#rapids,
      spinUp,
      dwell: this.#dwell,
      stops,
      total: this.#cutting + this.#rapids + spinUp + this.#dwell + stops,
      stopCount: this.#stops,
      cuttingLength: this.#cuttingLength,
      rapidLength: this.#rapidLength,
    };
  }

  /** The machine stands: what was fed since it last stood can be reckoned. */
  #rest(): void {
    if (this.#segments.length === 0) return;
    this.#cutting += runTime(this.#segments, this.#machine);
    this.#segments = [];
  }

  #addFeed(move: Extract<Move, { kind: 'feed' }>): void {
    const to = [move.x, move.y, move.z] as const;
    const segment = straightSegment(this.#at, to, move.feed, this.#machine);
    if (segment) {
      this.#segments.push(segment);
      this.#cuttingLength += segment.length;
    }
    this.#at = to;
  }

  #addArc(move: Extract<Move, { kind: 'arc' }>): void {
    const segment = arcSegment(move, this.#at, this.#machine);
    if (segment) {
      const { arcs } = this.#machine.controller;
      const chords = arcs.form === 'none' || (!arcs.helix && move.z !== this.#at[2]);
      // A controller without arcs, or without helices, runs chords: every joint is a corner to it.
      if (chords) this.#segments.push(...chordSegments(move, this.#at, this.#machine));
      else this.#segments.push(segment);
      this.#cuttingLength += segment.length;
    }
    this.#at = [move.x, move.y, move.z];
  }

  #rapidZ(to: number): void {
    const { rapid, acceleration } = this.#machine.motion;
    const length = Math.abs(to - this.#at[2]);
    this.#rapids += restToRest(length, rapid.z / 60, acceleration.z);
    this.#rapidLength += length;
    this.#at = [this.#at[0], this.#at[1], to];
  }

  #rapidXy(x: number, y: number): void {
    const { rapid, acceleration } = this.#machine.motion;
    const dx = Math.abs(x - this.#at[0]);
    const dy = Math.abs(y - this.#at[1]);
    this.#rapids += Math.max(
      restToRest(dx, rapid.x / 60, acceleration.xy),
      restToRest(dy, rapid.y / 60, acceleration.xy),
    );
    this.#rapidLength += hypotenuse(dx, dy);
    this.#at = [x, y, this.#at[2]];
  }

  #plunge(to: number, feed: number): void {
    const { maxFeed, acceleration } = this.#machine.motion;
    const length = Math.abs(to - this.#at[2]);
    this.#cutting += restToRest(length, Math.min(feed, maxFeed.z) / 60, acceleration.z);
    this.#cuttingLength += length;
    this.#at = [this.#at[0], this.#at[1], to];
  }

  /** Full retract after each peck, then back to just above the last bottom. */
  #drill(move: Extract<Move, { kind: 'drill' }>): void {
    this.#rapidZ(move.link);
    this.#rapidXy(move.x, move.y);
    this.#rapidZ(move.above);
    let bottom = move.above;
    while (bottom > move.bottom + 1e-9) {
      const next = move.peck === null ? move.bottom : Math.max(move.bottom, bottom - move.peck);
      if (bottom < move.above && move.peck !== null)
        this.#rapidZ(Math.min(move.above, bottom + peckBackOff(move.peck)));
      this.#plunge(next, move.feed);
      bottom = next;
      if (bottom > move.bottom + 1e-9) this.#rapidZ(move.above);
    }
    this.#rapidZ(move.link);
  }
}

/** A straight feed move; null when it goes nowhere. */
function straightSegment(
  from: readonly [number, number, number],
  to: readonly [number, number, number],
  feed: number,
  machine: Machine,
): Segment | null {
  const d = [to[0] - from[0], to[1] - from[1], to[2] - from[2]] as const;
  const length = hypotenuse(d[0], d[1], d[2]);
  if (!(length > 0)) return null;
  const unit = [d[0] / length, d[1] / length, d[2] / length] as const;
  return { length, from: unit, to: unit, ...limits(unit, feed, machine) };
}

/** Speed (mm/s) and acceleration along a direction so that no axis passes its own limit. */
function limits(
  unit: readonly [number, number, number],
  feed: number,
  machine: Machine,
): { speed: number; acceleration: number } {
  const { maxFeed, acceleration } = machine.motion;
  const flat = hypotenuse(unit[0], unit[1]);
  const up = Math.abs(unit[2]);
  let speed = feed;
  let a = Number.POSITIVE_INFINITY;
  if (flat > 1e-9) {
    speed = Math.min(speed, maxFeed.xy / flat);
    a = Math.min(a, acceleration.xy / flat);
  }
  if (up > 1e-9) {
    speed = Math.min(speed, maxFeed.z / up);
    a = Math.min(a, acceleration.z / up);
  }
  return { speed: speed / 60, acceleration: a };
}

function arcSegment(
  move: Extract<Move, { kind: 'arc' }>,
  at: readonly [number, number, number],
  machine: Machine,
): Segment | null {
  const ax = at[0] - move.cx;
  const ay = at[1] - move.cy;
  const bx = move.x - move.cx;
  const by = move.y - move.cy;
  const radius = hypotenuse(ax, ay);
  if (radius === 0) return null;
  const turn = turnOf(move, at);
  const flat = radius * turn;
  const rise = move.z - at[2];
  const length = hypotenuse(flat, rise);
  const side = move.clockwise ? 1 : -1;
  const share = flat / length;
  const tangent = (px: number, py: number): readonly [number, number, number] => [
    (side * py * share) / radius,
    (-side * px * share) / radius,
    rise / length,
  ];
  const from = tangent(ax, ay);
  const plain = limits(from, move.feed, machine);
  const round = Math.sqrt(machine.motion.acceleration.xy * radius) / Math.max(share, 1e-9);
  return {
    length,
    from,
    to: tangent(bx, by),
    speed: Math.min(plain.speed, round),
    acceleration: plain.acceleration,
  };
}

/** The chords that stand in for an arc within the controller's tolerance: half angle acos(1 − ε/r). */
function chordSegments(
  move: Extract<Move, { kind: 'arc' }>,
  at: readonly [number, number, number],
  machine: Machine,
): Segment[] {
  const { cx, cy } = move;
  const radius = hypotenuse(at[0] - cx, at[1] - cy);
  const turn = turnOf(move, at);
  const { arcs, numbers, units } = machine.controller;
  const step = fromUnits(Number(`1e-${numbers.xyz.decimals}`), units);
  const tolerance = Math.max(arcs.chord - 1.5 * step, arcs.chord / 2, 1e-6);
  const widest = 2 * Math.acos(Math.max(0, 1 - tolerance / radius));
  const n = Math.max(1, Math.ceil(turn / Math.min(widest, Math.PI / 2) - 1e-9));
  const start = Math.atan2(at[1] - cy, at[0] - cx);
  const sign = move.clockwise ? -1 : 1;
  const segments: Segment[] = [];
  let from = at;
  for (let k = 1; k <= n; k += 1) {
    const angle = start + (sign * turn * k) / n;
    const to =
      k === n
        ? ([move.x, move.y, move.z] as const)
        : ([
            cx + radius * Math.cos(angle),
            cy + radius * Math.sin(angle),
            at[2] + ((move.z - at[2]) * k) / n,
          ] as const);
    const segment = straightSegment(from, to, move.feed, machine);
    if (segment) segments.push(segment);
    from = to;
  }
  return segments;
}

/** Angle an arc sweeps, radians, in (0, 2π]. */
function turnOf(move: Extract<Move, { kind: 'arc' }>, at: readonly [number, number, number]): number {
  if (at[0] === move.x && at[1] === move.y) return 2 * Math.PI;
  const ax = at[0] - move.cx;
  const ay = at[1] - move.cy;
  const bx = move.x - move.cx;
  const by = move.y - move.cy;
  let turn = Math.atan2(ax * by - ay * bx, ax * bx + ay * by);
  if (move.clockwise) turn = -turn;
  return turn <= 0 ? turn + 2 * Math.PI : turn;
}

/** A run of feed moves without a rapid between: look ahead over its corners, start and end at rest. */
function runTime(run: readonly Segment[], machine: Machine): number {
  const n = run.length;
  const joints = new Float64Array(n + 1);
  const corner = machine.motion.corner;
  for (let i = 1; i < n; i += 1) {
    const a = run[i - 1]!;
    const b = run[i]!;
    const cosine = a.to[0] * b.from[0] + a.to[1] * b.from[1] + a.to[2] * b.from[2];
    const smooth = cosine > 1 - 1e-9;
    const allowed =
      corner.mode === 'exact-stop'
        ? 0
        : smooth
          ? Number.POSITIVE_INFINITY
          : cornerSpeed(cosine, corner.tolerance, Math.min(a.acceleration, b.acceleration));
    joints[i] = Math.min(allowed, a.speed, b.speed);
  }
  // Backward, then forward: no joint faster than the braking or starting distance allows.
  for (let i = n - 1; i >= 1; i -= 1) {
    const s = run[i]!;
    const end = joints[i + 1]!;
    joints[i] = Math.min(joints[i]!, Math.sqrt(end * end + 2 * s.acceleration * s.length));
  }
  let total = 0;
  for (let i = 0; i < n; i += 1) {
    const s = run[i]!;
    const begin = joints[i]!;
    if (i + 1 < n) {
      joints[i + 1] = Math.min(joints[i + 1]!, Math.sqrt(begin * begin + 2 * s.acceleration * s.length));
    }
    total += segmentTime(s.length, begin, joints[i + 1]!, s.speed, s.acceleration);
  }
  return total;
}
