/**
 * Solves A·X = B by elimination with row pivoting, overwriting both. A is n × n and B n × k, row by row.
 * @returns false when A is singular to working precision
 */
export function solveLinear(a: Float64Array, b: Float64Array, n: number, k: number): boolean {
  let scale = 0;
  for (const value of a) scale = Math.max(scale, Math.abs(value));
  for (let c = 0; c < n; c++) {
    let pivot = c;
    for (let r = c + 1; r < n; r++) if (Math.abs(a[r * n + c]!) > Math.abs(a[pivot * n + c]!)) pivot = r;
    if (!(Math.abs(a[pivot * n + c]!) > 1e-13 * scale)) return false;
    if (pivot !== c) {
      swapRows(a, pivot, c, n);
      swapRows(b, pivot, c, k);
    }
    for (let r = c + 1; r < n; r++) {
      const factor = a[r * n + c]! / a[c * n + c]!;
      if (factor === 0) continue;
      for (let i = c; i < n; i++) a[r * n + i]! -= factor * a[c * n + i]!;
      for (let i = 0; i < k; i++) b[r * k + i]! -= factor * b[c * k + i]!;
    }
  }
  for (let r = n - 1; r >= 0; r--) {
    for (let i = 0; i < k; i++) {
      let sum = b[r * k + i]!;
      for (let c = r + 1; c < n; c++) sum -= a[r * n + c]! * b[c * k + i]!;
      b[r * k + i] = sum / a[r * n + r]!;
    }
  }
  return true;
}

function swapRows(m: Float64Array, p: number, q: number, width: number): void {
  for (let i = 0; i < width; i++) {
    const value = m[p * width + i]!;
    m[p * width + i] = m[q * width + i]!;
    m[q * width + i] = value;
  }
}
