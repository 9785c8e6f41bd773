/** A plane z = a + b·x + c·y, mm and mm/mm. */
export interface Plane {
  readonly a: number;
  readonly b: number;
  readonly c: number;
}

export function planeAt(plane: Plane, x: number, y: number): number {
  return plane.a + plane.b * x + plane.c * y;
}

type Row = readonly [number, number, number, number];

/** Sides of the polygon that stands in for the disc of allowed slopes; inscribed, so the limit is never passed. */
const SIDES = 16;
/** Rounding allowed in a slope (mm/mm) and in a height (mm). */
const SLOPE_NOISE = 1e-15;
const HEIGHT_NOISE = 1e-9;

/**
 * The highest plane under all points whose slope is at most `maxTilt` (rad): it removes the least. Highest means at
 * `centre`, so that it is the plane of least removed volume over a board with that centroid.
 *
 * A linear program in three unknowns, solved by growing a small active set: solve for the set exactly, add the point
 * that the answer violates most, until none is violated. Level plane (minimum) when `maxTilt` is 0.
 *
 * @throws RangeError without points
 */
export function planeUnder(
  points: readonly (readonly [number, number, number])[],
  maxTilt: number,
  centre: readonly [number, number],
): Plane {
  const first = points[0];
  if (!first) throw new RangeError('a plane needs at least one height');
  if (!(maxTilt >= 0)) throw new RangeError(`the tilt limit must be 0 or more, found ${maxTilt}`);
  let low = first;
  for (const p of points) if (p[2] < low[2]) low = p;
  if (maxTilt === 0) return { a: low[2], b: 0, c: 0 };

  const slope = Math.tan(maxTilt) * Math.cos(Math.PI / SIDES);
  // Unknowns h (height at the centre), b, c; every row reads r0·h + r1·b + r2·c ≤ r3.
  const rows: Row[] = [];
  for (let i = 0; i < SIDES; i += 1) {
    const angle = (2 * Math.PI * i) / SIDES;
    rows.push([0, Math.cos(angle), Math.sin(angle), slope]);
  }
  const add = (p: readonly [number, number, number]): void => {
    rows.push([1, p[0] - centre[0], p[1] - centre[1], p[2]]);
  };
  add(low);
  let best: readonly [number, number, number] = [low[2], 0, 0];
  for (let round = 0; round < 60; round += 1) {
    best = highest(rows);
    let worst = 1e-9;
    let at: readonly [number, number, number] | null = null;
    for (const p of points) {
      const excess = best[0] + best[1] * (p[0] - centre[0]) + best[2] * (p[1] - centre[1]) - p[2];
      if (excess > worst) {
        worst = excess;
        at = p;
      }
    }
    if (!at) break;
    add(at);
  }
  const [, b, c] = best;
  // The last word on height is the points' own: never above any of them.
  let a = Number.POSITIVE_INFINITY;
  for (const p of points) a = Math.min(a, p[2] - b * p[0] - c * p[1]);
  return { a, b, c };
}

/** Greatest h over the rows, by their corner points: three rows at a time. */
function highest(rows: readonly Row[]): readonly [number, number, number] {
  let best: readonly [number, number, number] = [Number.NEGATIVE_INFINITY, 0, 0];
  const n = rows.length;
  for (let i = 0; i < n; i += 1) {
    for (let j = i + 1; j < n; j += 1) {
      // A corner that bounds h needs at least one height row; slope rows come first.
      for (let k = Math.max(j + 1, SIDES); k < n; k += 1) {
        const corner = solve(rows[i]!, rows[j]!, rows[k]!);
        if (!corner || corner[0] <= best[0]) continue;
        if (
          rows.every(
            (r) =>
              r[0] * corner[0] + r[1] * corner[1] + r[2] * corner[2] <=
              r[3] + (r[0] === 0 ? SLOPE_NOISE : HEIGHT_NOISE),
          )
        )
          best = corner;
      }
    }
  }
  return best;
}

function solve(p: Row, q: Row, r: Row): readonly [number, number, number] | null {
  const det =
    p[0] * (q[1] * r[2] - q[2] * r[1]) -
    p[1] * (q[0] * r[2] - q[2] * r[0]) +
    p[2] * (q[0] * r[1] - q[1] * r[0]);
  if (Math.abs(det) < 1e-12) return null;
  const x =
    p[3] * (q[1] * r[2] - q[2] * r[1]) -
    p[1] * (q[3] * r[2] - q[2] * r[3]) +
    p[2] * (q[3] * r[1] - q[1] * r[3]);
  const y =
    p[0] * (q[3] * r[2] - q[2] * r[3]) -
    p[3] * (q[0] * r[2] - q[2] * r[0]) +
    p[2] * (q[0] * r[3] - q[3] * r[0]);
  const z =
    p[0] * (q[1] * r[3] - q[3] * r[1]) -
    p[1] * (q[0] * r[3] - q[3] * r[0]) +
    p[3] * (q[0] * r[1] - q[1] * r[0]);
  return [x / det, y / det, z / det];
}
