import type { ProgramFigures } from '../model.ts';
import { ARC, MACHINE, MACHINE_X, MACHINE_Y, MACHINE_Z, RAPID, type Trace } from '../trace.ts';

/** Lengths of the three axes over which something extends: least and greatest. */
export interface Extents {
  minX: number;
  maxX: number;
  minY: number;
  maxY: number;
  minZ: number;
  maxZ: number;
}

/**
 * The motions of a trace in the bed frame. X and Y are the program's own; Z is the program's plus the height of its
 * zero above the bed. An unknown coordinate is NaN.
 */
export interface Motions {
  readonly trace: Trace;
  readonly zeroHeight: number;
  readonly length: number;
  fromX(i: number): number;
  fromY(i: number): number;
  fromZ(i: number): number;
  toX(i: number): number;
  toY(i: number): number;
  toZ(i: number): number;
}

/** Reads a trace as bed-frame motions. After a motion in machine coordinates the bed position is unknown. */
export function motionsOf(trace: Trace, zeroHeight: number): Motions {
  const { x, y, z, flags } = trace;
  const known = (i: number, bit: number): boolean => ((flags[i] ?? 0) & bit) === 0;
  const at = (column: Float64Array, bit: number, i: number): number =>
    known(i, bit) ? column[i]! : Number.NaN;
  return {
    trace,
    zeroHeight,
    length: trace.length,
    fromX: (i) => (i === 0 ? trace.start[0] : at(x, MACHINE_X, i - 1)),
    fromY: (i) => (i === 0 ? trace.start[1] : at(y, MACHINE_Y, i - 1)),
    fromZ: (i) => (i === 0 ? trace.start[2] : at(z, MACHINE_Z, i - 1)) + zeroHeight,
    toX: (i) => at(x, MACHINE_X, i),
    toY: (i) => at(y, MACHINE_Y, i),
    toZ: (i) => at(z, MACHINE_Z, i) + zeroHeight,
  };
}

/** An arc of the trace resolved: start angle and radii in its plane, and the level third axis. */
interface ResolvedArc {
  readonly plane: number;
  readonly c1: number;
  readonly c2: number;
  readonly startAngle: number;
  readonly sweep: number;
  readonly startRadius: number;
  readonly endRadius: number;
  readonly fromNormal: number;
  readonly toNormal: number;
}

/** Resolves motion `i`, which must be an arc whose ends are known. Plane 17 is XY, 18 is ZX, 19 is YZ. */
export function resolveArc(m: Motions, i: number): ResolvedArc {
  const plane = m.trace.plane[i]!;
  const lift1 = plane === 18 ? m.zeroHeight : 0;
  const lift2 = plane === 19 ? m.zeroHeight : 0;
  const c1 = m.trace.c1[i]! + lift1;
  const c2 = m.trace.c2[i]! + lift2;
  const [a1, a2, an] =
    plane === 17
      ? [m.fromX(i), m.fromY(i), m.fromZ(i)]
      : plane === 18
        ? [m.fromZ(i), m.fromX(i), m.fromY(i)]
        : [m.fromY(i), m.fromZ(i), m.fromX(i)];
  const [b1, b2, bn] =
    plane === 17
      ? [m.toX(i), m.toY(i), m.toZ(i)]
      : plane === 18
        ? [m.toZ(i), m.toX(i), m.toY(i)]
        : [m.toY(i), m.toZ(i), m.toX(i)];
  return {
    plane,
    c1,
    c2,
    startAngle: Math.atan2(a2 - c2, a1 - c1),
    sweep: m.trace.sweep[i]!,
    startRadius: Math.sqrt((a1 - c1) * (a1 - c1) + (a2 - c2) * (a2 - c2)),
    endRadius: Math.sqrt((b1 - c1) * (b1 - c1) + (b2 - c2) * (b2 - c2)),
    fromNormal: an,
    toNormal: bn,
  };
}

/** Length of an arc or helix along its path, mm. */
export function arcLength(arc: ResolvedArc): number {
  const round = Math.abs(arc.sweep) * ((arc.startRadius + arc.endRadius) / 2);
  const rise = arc.toNormal - arc.fromNormal;
  return Math.sqrt(round * round + rise * rise);
}

function place(arc: ResolvedArc, p1: number, p2: number, pn: number): [number, number, number] {
  return arc.plane === 17 ? [p1, p2, pn] : arc.plane === 18 ? [p2, pn, p1] : [pn, p1, p2];
}

/** Point of the arc at the share `f` of its sweep, `[x, y, z]`. */
function arcPoint(arc: ResolvedArc, f: number): [number, number, number] {
  const angle = arc.startAngle + arc.sweep * f;
  const radius = arc.startRadius + (arc.endRadius - arc.startRadius) * f;
  return place(
    arc,
    arc.c1 + radius * Math.cos(angle),
    arc.c2 + radius * Math.sin(angle),
    arc.fromNormal + (arc.toNormal - arc.fromNormal) * f,
  );
}

/** Number of chords that stay within `tolerance` of the arc (sagitta r·(1 − cos(φ/2))). */
export function chordCount(arc: ResolvedArc, tolerance: number): number {
  const radius = Math.max(arc.startRadius, arc.endRadius);
  if (radius <= tolerance) return Math.max(1, Math.ceil(Math.abs(arc.sweep)));
  // a circle of kilometres is a mistake in the text: its extents are reported, not its millionth chord
  const step = 2 * Math.acos(Math.max(-1, 1 - Math.max(tolerance, radius * 1e-6) / radius));
  return Math.max(1, Math.min(20000, Math.ceil(Math.abs(arc.sweep) / step)));
}

/** Grows `box` by the arc: its ends and each quarter point that its sweep passes. */
function growByArc(box: Extents, arc: ResolvedArc): void {
  grow(box, ...arcPoint(arc, 0));
  grow(box, ...arcPoint(arc, 1));
  const a0 = arc.startAngle;
  const a1 = arc.startAngle + arc.sweep;
  const low = Math.min(a0, a1);
  const high = Math.max(a0, a1);
  const quarter = Math.PI / 2;
  for (let k = Math.ceil(low / quarter); k * quarter <= high; k++) {
    grow(box, ...arcPoint(arc, arc.sweep === 0 ? 0 : (k * quarter - a0) / arc.sweep));
  }
}

export function grow(box: Extents, x: number, y: number, z: number): void {
  if (x < box.minX) box.minX = x;
  if (x > box.maxX) box.maxX = x;
  if (y < box.minY) box.minY = y;
  if (y > box.maxY) box.maxY = y;
  if (z < box.minZ) box.minZ = z;
  if (z > box.maxZ) box.maxZ = z;
}

export function emptyExtents(): Extents {
  return {
    minX: Infinity,
    maxX: -Infinity,
    minY: Infinity,
    maxY: -Infinity,
    minZ: Infinity,
    maxZ: -Infinity,
  };
}

/** Extents as intervals; null when nothing moves to a known place in all three axes. */
export function knownExtents(e: Extents | null): ProgramFigures['extents'] {
  if (!e || !(e.minX <= e.maxX && e.minY <= e.maxY && e.minZ <= e.maxZ)) return null;
  return { x: [e.minX, e.maxX], y: [e.minY, e.maxY], z: [e.minZ, e.maxZ] };
}

/** True when both ends of motion `i` are known in all three axes. */
export function isPlaced(m: Motions, i: number): boolean {
  return (
    !Number.isNaN(m.fromX(i)) &&
    !Number.isNaN(m.fromY(i)) &&
    !Number.isNaN(m.fromZ(i)) &&
    !Number.isNaN(m.toX(i)) &&
    !Number.isNaN(m.toY(i)) &&
    !Number.isNaN(m.toZ(i))
  );
}

/** Box of motion `i`, arcs with every quarter point they pass. Unknown coordinates leave their axis as it was. */
export function motionExtents(m: Motions, i: number, into: Extents): void {
  if (m.trace.kind[i] === ARC && isPlaced(m, i)) {
    growByArc(into, resolveArc(m, i));
    return;
  }
  // NaN compares false, so an unknown coordinate grows nothing
  grow(into, m.fromX(i), m.fromY(i), m.fromZ(i));
  grow(into, m.toX(i), m.toY(i), m.toZ(i));
}

/** As `motionExtents`, without the places of home: those are the machine's, not the program's. */
export function programExtents(m: Motions, i: number, into: Extents): void {
  const { flags } = m.trace;
  if ((flags[i]! & MACHINE) !== 0) return;
  const fromHome = i > 0 && (flags[i - 1]! & MACHINE) !== 0;
  if (fromHome) grow(into, m.toX(i), m.toY(i), m.toZ(i));
  else motionExtents(m, i, into);
}

/**
 * Calls `visit` with straight pieces of motion `i` in the bed frame: one for a line, chords within `tolerance` for an
 * arc. Nothing when an end is not known.
 */
export function forEachPiece(
  m: Motions,
  i: number,
  tolerance: number,
  visit: (ax: number, ay: number, az: number, bx: number, by: number, bz: number) => void,
): void {
  if (!isPlaced(m, i)) return;
  if (m.trace.kind[i] !== ARC) {
    visit(m.fromX(i), m.fromY(i), m.fromZ(i), m.toX(i), m.toY(i), m.toZ(i));
    return;
  }
  const arc = resolveArc(m, i);
  const pieces = chordCount(arc, tolerance);
  let [ax, ay, az] = arcPoint(arc, 0);
  for (let k = 1; k <= pieces; k++) {
    const [bx, by, bz] = k === pieces ? [m.toX(i), m.toY(i), m.toZ(i)] : arcPoint(arc, k / pieces);
    visit(ax, ay, az, bx, by, bz);
    ax = bx;
    ay = by;
    az = bz;
  }
}

/** Horizontal and full length of motion `i`, mm; 0 when an end is not known. */
export function motionLength(m: Motions, i: number): number {
  if (!isPlaced(m, i)) return 0;
  if (m.trace.kind[i] === ARC) return arcLength(resolveArc(m, i));
  const dx = m.toX(i) - m.fromX(i);
  const dy = m.toY(i) - m.fromY(i);
  const dz = m.toZ(i) - m.fromZ(i);
  return Math.sqrt(dx * dx + dy * dy + dz * dz);
}

export function isRapid(m: Motions, i: number): boolean {
  return m.trace.kind[i] === RAPID;
}
