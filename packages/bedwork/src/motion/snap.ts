/**
 * Nearest multiple of 0.1 µm, never −0. Everything that went through trigonometry is snapped before it becomes a
 * coordinate, so that the last bits of a platform's sine never reach a program.
 */
export function snap(value: number): number {
  if (!Number.isFinite(value)) throw new RangeError(`a coordinate must be a finite number, found ${value}`);
  return Math.round(value * 1e4) / 1e4 + 0;
}
