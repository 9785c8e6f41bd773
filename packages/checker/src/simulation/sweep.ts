import { type CutterShape, radiusAt } from './cutter-shape.ts';
import { type HeightField, UNITS } from './height-field.ts';

/** A piece that falls less than this is swept at its lower end, mm: chords of a helix. */
const LEVEL = 0.02;

/**
 * Lowers the field by the cutter moved in a straight line from a to b (tip positions, mm) and returns the removed
 * volume, mm³. Cells count by their centres.
 *
 * The swept outline of a disc along a line is convex, so each row of cells has one span. A flat cutter on the level fills
 * that span with one height; everything else takes, cell by cell, the lowest point that the moving profile reaches:
 * f(t) = z(t) + rise(|p(t) − c|) is convex in t for all three forms, so its minimum over the covering interval is at
 * its only stationary point or at an end of it. A cell that the profile stands above, or that lies below the tip already, is
 * passed over: the chords of a circle overlap, and most cells under a pointed cutter are one or the other. One long function on
 * purpose: it runs for every cell of every motion.
 */
export function sweepLine(
  field: HeightField,
  shape: CutterShape,
  ax: number,
  ay: number,
  az: number,
  bx: number,
  by: number,
  bz: number,
): number {
  const { cell, x0, y0 } = field;
  const r = shape.radius;
  if (
    Math.max(ax, bx) + r < x0 ||
    Math.max(ay, by) + r < y0 ||
    Math.min(ax, bx) - r > x0 + field.columns * cell ||
    Math.min(ay, by) - r > y0 + field.rows * cell
  ) {
    return 0;
  }
  const dx = bx - ax;
  const dy = by - ay;
  const length = Math.sqrt(dx * dx + dy * dy);
  const straightDown = length < 1e-9;
  const ux = straightDown ? 1 : dx / length;
  const uy = straightDown ? 0 : dy / length;
  const lowest = Math.min(az, bz);
  const level = straightDown || Math.abs(bz - az) <= LEVEL;
  const oneHeight = shape.form === 'flat' && level;
  const zUnits = Math.round(lowest * UNITS);
  // Only this far from the path can the profile be lower than the material; a micrometre for rounding.
  const wide = Math.min(r, radiusAt(shape, field.surface.highest - lowest + 0.001));
  const slopeAlong = straightDown ? 0 : (bz - az) / length;
  const startZ = straightDown ? lowest : az;
  let removed = 0;

  const rowFirst = Math.max(0, Math.ceil((Math.min(ay, by) - wide - y0) / cell - 0.5));
  const rowLast = Math.min(field.rows - 1, Math.floor((Math.max(ay, by) + wide - y0) / cell - 0.5));
  for (let row = rowFirst; row <= rowLast; row++) {
    const y = y0 + (row + 0.5) * cell;
    // the span of the capsule on this row: hull of both end discs and of the strip between them
    let from = Infinity;
    let to = -Infinity;
    const ha = wide * wide - (y - ay) * (y - ay);
    if (ha >= 0) {
      const half = Math.sqrt(ha);
      from = ax - half;
      to = ax + half;
    }
    if (!straightDown) {
      const hb = wide * wide - (y - by) * (y - by);
      if (hb >= 0) {
        const half = Math.sqrt(hb);
        if (bx - half < from) from = bx - half;
        if (bx + half > to) to = bx + half;
      }
      // strip: 0 ≤ p·u ≤ length and |p×u| ≤ wide, linear in x
      const py = y - ay;
      let low = -Infinity;
      let high = Infinity;
      if (Math.abs(ux) > 1e-12) {
        const t1 = (0 - py * uy) / ux;
        const t2 = (length - py * uy) / ux;
        low = Math.max(low, Math.min(t1, t2));
        high = Math.min(high, Math.max(t1, t2));
      } else if (py * uy < 0 || py * uy > length) high = -Infinity;
      if (Math.abs(uy) > 1e-12) {
        const t1 = (py * ux - wide) / uy;
        const t2 = (py * ux + wide) / uy;
        low = Math.max(low, Math.min(t1, t2));
        high = Math.min(high, Math.max(t1, t2));
      } else if (Math.abs(py * ux) > wide) high = -Infinity;
      if (low <= high) {
        if (ax + low < from) from = ax + low;
        if (ax + high > to) to = ax + high;
      }
    }
    if (from > to) continue;
    const first = Math.max(0, Math.ceil((from - x0) / cell - 0.5));
    const last = Math.min(field.columns - 1, Math.floor((to - x0) / cell - 0.5));
    if (first > last) continue;
    if (oneHeight) {
      removed += field.lowerSpan(row, first, last, zUnits);
      continue;
    }
    for (let column = first; column <= last; column++) {
      if (field.heightAt(column, row) < zUnits) continue;
      const cx = x0 + (column + 0.5) * cell - ax;
      const cy = y - ay;
      const along = straightDown ? 0 : cx * ux + cy * uy;
      const across2 = straightDown ? cx * cx + cy * cy : (cx * uy - cy * ux) * (cx * uy - cy * ux);
      const room = r * r - across2;
      if (room < 0) continue;
      const half = straightDown ? 0 : Math.sqrt(room);
      const tMin = Math.max(0, along - half);
      const tMax = Math.min(straightDown ? 0 : length, along + half);
      if (tMin > tMax) continue;
      let t: number;
      if (shape.form === 'flat') t = slopeAlong > 0 ? tMin : tMax;
      else if (shape.form === 'cone') {
        const k = shape.slope;
        if (Math.abs(slopeAlong) < k) {
          t = along - (slopeAlong * Math.sqrt(across2)) / Math.sqrt(k * k - slopeAlong * slopeAlong);
        } else t = slopeAlong > 0 ? tMin : tMax;
      } else t = along - slopeAlong * Math.sqrt(room / (1 + slopeAlong * slopeAlong));
      if (t < tMin) t = tMin;
      else if (t > tMax) t = tMax;
      const off2 = across2 + (straightDown ? 0 : (t - along) * (t - along));
      const rise =
        shape.form === 'flat'
          ? 0
          : shape.form === 'cone'
            ? shape.slope * Math.sqrt(off2)
            : r - Math.sqrt(Math.max(0, r * r - off2));
      removed += field.lowerSpan(row, column, column, Math.round((startZ + slopeAlong * t + rise) * UNITS));
    }
  }
  return (removed / UNITS) * cell * cell;
}
