/**
 * Angles from + − × ÷ and square root alone, which IEEE 754 fixes exactly: the library's sine and arc tangent are not
 * promised to give the same last bit on every platform, and one bit can tip a coordinate into the next grid step.
 */

const { PI } = Math;
const HALF_PI = PI / 2;
const TWO_PI = 2 * PI;

/** Series of the arc tangent for |t| ≤ 0.1 (Gregory), after three halvings of the angle: tan(a/2) = t / (1 + √(1 + t²)). */
function arcTangent(t: number): number {
  let r = t;
  for (let i = 0; i < 3; i++) r = r / (1 + Math.sqrt(1 + r * r));
  const s = r * r;
  let sum = 0;
  for (let k = 23; k >= 1; k -= 2) sum = 1 / k - s * sum;
  return 8 * r * sum;
}

/** Direction of (x, y) in [0, 2π); (0, 0) gives 0. */
export function directionOf(x: number, y: number): number {
  if (x === 0 && y === 0) return 0;
  const ax = Math.abs(x);
  const ay = Math.abs(y);
  const first = ay <= ax ? arcTangent(ay / ax) : HALF_PI - arcTangent(ax / ay);
  const half = x >= 0 ? first : PI - first;
  const angle = y >= 0 ? half : TWO_PI - half;
  return angle >= TWO_PI ? 0 : angle;
}

/** [cos a, sin a] for |a| ≤ 2π, by Taylor series about the nearest multiple of π/2. */
export function cosineSine(a: number): readonly [number, number] {
  const turns = Math.round(a / HALF_PI);
  const r = a - turns * HALF_PI;
  const s = r * r;
  let sine = 0;
  let cosine = 0;
  for (let k = 17; k >= 1; k -= 2) sine = 1 - (s / ((k + 1) * (k + 2))) * sine;
  for (let k = 16; k >= 0; k -= 2) cosine = 1 - (s / ((k + 1) * (k + 2))) * cosine;
  sine *= r;
  switch (((turns % 4) + 4) % 4) {
    case 0:
      return [cosine, sine];
    case 1:
      return [-sine, cosine];
    case 2:
      return [-cosine, -sine];
    default:
      return [sine, -cosine];
  }
}

export { HALF_PI, PI, TWO_PI };
