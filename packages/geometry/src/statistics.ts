/**
 * Tail probabilities of the chi-square and F distributions, from the incomplete gamma and beta functions
 * (Abramowitz & Stegun 26.4, 26.5, 26.6). Only used to compare against fixed levels, so the last digits of
 * Math.exp and Math.log, which differ between platforms, do not matter.
 */

/** P(χ² with `freedom` degrees of freedom > x). */
export function chiSquareTail(x: number, freedom: number): number {
  if (!(x > 0)) return 1;
  if (x === Infinity) return 0;
  const a = freedom / 2;
  const z = x / 2;
  const scale = Math.exp(a * Math.log(z) - z - logGamma(a));
  if (z < a + 1) {
    let term = 1 / a;
    let sum = term;
    for (let n = 1; n < 1000 && term > sum * 1e-16; n++) {
      term *= z / (a + n);
      sum += term;
    }
    return Math.max(0, 1 - sum * scale);
  }
  // Continued fraction of the upper function, evaluated forward (modified Lentz).
  let b = z + 1 - a;
  let c = 1e300;
  let d = 1 / b;
  let h = d;
  for (let n = 1; n < 1000; n++) {
    const an = -n * (n - a);
    b += 2;
    d = 1 / (an * d + b || 1e-300);
    c = b + an / c || 1e-300;
    h *= d * c;
    if (Math.abs(d * c - 1) < 1e-15) break;
  }
  return Math.min(1, scale * h);
}

/** P(F with (m, n) degrees of freedom > x). */
export function fTail(x: number, m: number, n: number): number {
  if (!(x > 0)) return 1;
  if (x === Infinity) return 0;
  return incompleteBeta(n / (n + m * x), n / 2, m / 2);
}

function incompleteBeta(x: number, a: number, b: number): number {
  if (x <= 0) return 0;
  if (x >= 1) return 1;
  if (x > (a + 1) / (a + b + 2)) return 1 - incompleteBeta(1 - x, b, a);
  const front =
    Math.exp(logGamma(a + b) - logGamma(a) - logGamma(b) + a * Math.log(x) + b * Math.log(1 - x)) / a;
  let c = 1;
  let d = 1 / (1 - ((a + b) * x) / (a + 1) || 1e-300);
  let h = d;
  for (let m = 1; m < 1000; m++) {
    const even = (m * (b - m) * x) / ((a + 2 * m - 1) * (a + 2 * m));
    d = 1 / (1 + even * d || 1e-300);
    c = 1 + even / c || 1e-300;
    h *= d * c;
    const odd = (-(a + m) * (a + b + m) * x) / ((a + 2 * m) * (a + 2 * m + 1));
    d = 1 / (1 + odd * d || 1e-300);
    c = 1 + odd / c || 1e-300;
    h *= d * c;
    if (Math.abs(d * c - 1) < 1e-15) break;
  }
  return front * h;
}

/** ln Γ of a positive half-integer or integer by its recurrence: exact up to rounding of the sum. */
function logGamma(z: number): number {
  let sum = 0;
  let x = z;
  while (x > 1) {
    x -= 1;
    sum += Math.log(x);
  }
  // Γ(1) = 1, Γ(1/2) = √π.
  return x === 1 ? sum : sum + 0.5 * Math.log(Math.PI);
}
