/** An arc in its plane: centre and signed sweep, or why there is none. */
export interface ArcResult {
  c1: number;
  c2: number;
  sweep: number;
  radius: number;
  fault: '' | 'radius' | 'end' | 'quadrant';
  /** With `radius`: the difference of the two radii. */
  difference: number;
}

/** Ends closer than this are one point: the dust of converting and adding numbers that are equal in the text. */
const SAME_POINT = 1e-9;
const TURN = 2 * Math.PI;

const length = (a: number, b: number): number => Math.sqrt(a * a + b * b);

/** Signed sweep about a centre; end on start is one full turn (NGC 3.5.3: more than 0 and at most 360°). */
function sweepOf(
  s1: number,
  s2: number,
  e1: number,
  e2: number,
  c1: number,
  c2: number,
  clockwise: boolean,
): number {
  if (length(e1 - s1, e2 - s2) <= SAME_POINT) return clockwise ? -TURN : TURN;
  let sweep = Math.atan2(e2 - c2, e1 - c1) - Math.atan2(s2 - c2, s1 - c1);
  if (clockwise) {
    if (sweep >= 0) sweep -= TURN;
  } else if (sweep <= 0) sweep += TURN;
  return sweep;
}

/** Arc by its centre. `tolerance` is the allowed difference of start and end radius, mm. */
export function arcByCentre(
  s1: number,
  s2: number,
  e1: number,
  e2: number,
  c1: number,
  c2: number,
  clockwise: boolean,
  tolerance: number,
): ArcResult {
  const startRadius = length(s1 - c1, s2 - c2);
  const endRadius = length(e1 - c1, e2 - c2);
  const difference = Math.abs(startRadius - endRadius);
  const sweep = sweepOf(s1, s2, e1, e2, c1, c2, clockwise);
  const bad = !(difference <= tolerance + 1e-9) || !(startRadius > 0);
  return { c1, c2, sweep, radius: startRadius, fault: bad ? 'radius' : '', difference };
}

/**
 * Arc by its radius (NGC 3.5.3.1): positive for at most half a turn, negative for more.
 * A chord longer than the diameter by no more than the tolerance is taken as the diameter.
 */
export function arcByRadius(
  s1: number,
  s2: number,
  e1: number,
  e2: number,
  r: number,
  clockwise: boolean,
  tolerance: number,
): ArcResult {
  const d1 = e1 - s1;
  const d2 = e2 - s2;
  const chord = length(d1, d2);
  const radius = Math.abs(r);
  const none: ArcResult = { c1: s1, c2: s2, sweep: 0, radius, fault: 'end', difference: 0 };
  if (!(chord > SAME_POINT) || !(radius > 0)) return none;
  const half = chord / 2;
  if (half - radius > tolerance) return none;
  const height = Math.sqrt(Math.max(0, radius * radius - half * half));
  // The centre lies left of the chord for a counter-clockwise arc of less than half a turn.
  const side = clockwise === r > 0 ? -1 : 1;
  const c1 = (s1 + e1) / 2 - (side * height * d2) / chord;
  const c2 = (s2 + e2) / 2 + (side * height * d1) / chord;
  return { c1, c2, sweep: sweepOf(s1, s2, e1, e2, c1, c2, clockwise), radius, fault: '', difference: 0 };
}

/**
 * Arc with unsigned centre distances that stays within one quadrant of its circle: the one choice of signs that
 * reaches the end in the given direction without crossing an axis.
 */
export function arcInQuadrant(
  s1: number,
  s2: number,
  e1: number,
  e2: number,
  i: number,
  j: number,
  clockwise: boolean,
  tolerance: number,
): ArcResult {
  let found: ArcResult | null = null;
  const none: ArcResult = { c1: s1, c2: s2, sweep: 0, radius: 0, fault: 'quadrant', difference: 0 };
  if (length(e1 - s1, e2 - s2) <= SAME_POINT) return none;
  for (const a of i === 0 ? [0] : [-i, i]) {
    for (const b of j === 0 ? [0] : [-j, j]) {
      const arc = arcByCentre(s1, s2, e1, e2, s1 + a, s2 + b, clockwise, tolerance);
      if (arc.fault !== '' || Math.abs(arc.sweep) > Math.PI / 2 + 1e-3) continue;
      // Both ends in one closed quadrant about the centre, rounding aside.
      const slack = tolerance + 1e-9;
      const one = (u: number, v: number) => (u >= -slack && v >= -slack) || (u <= slack && v <= slack);
      if (!one(s1 - arc.c1, e1 - arc.c1) || !one(s2 - arc.c2, e2 - arc.c2)) continue;
      if (found !== null) return none;
      found = arc;
    }
  }
  return found ?? none;
}
