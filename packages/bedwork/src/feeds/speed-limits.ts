import { MM_PER_INCH } from '@bedledger/diagnostics';

/** Highest speed for a diameter, and what says so. */
export interface SpeedCap {
  readonly rpm: number;
  readonly by: 'cutter-mark' | 'diameter-chart' | 'rim-speed';
}

/** Published chart of router cutter speeds: greatest diameter in inches, greatest rpm. */
const CHART: readonly (readonly [number, number])[] = [
  [1, 24_000],
  [1.25, 18_000],
  [2.25, 16_000],
  [3.5, 12_000],
];

/**
 * Highest permitted speed of a cutter, rpm. The number marked on the cutter always wins (EN 847-1); without it the
 * published chart by diameter rules; above the chart the rim speed of its last row is kept.
 *
 * @param diameter - mm
 * @param marked - rpm marked on the cutter, null when not marked
 */
export function speedCap(diameter: number, marked: number | null): SpeedCap {
  if (!(diameter > 0))
    throw new RangeError(`a cutter's diameter must be greater than 0 mm, found ${diameter}`);
  if (marked !== null) return { rpm: marked, by: 'cutter-mark' };
  for (const [inches, rpm] of CHART) {
    if (diameter <= inches * MM_PER_INCH + 1e-9) return { rpm, by: 'diameter-chart' };
  }
  return { rpm: Math.floor((12_000 * 3.5 * MM_PER_INCH) / diameter), by: 'rim-speed' };
}

/** Rim speed π·D·n, m/s. `diameter` in mm, `rpm` in turns a minute. */
export function rimSpeed(diameter: number, rpm: number): number {
  return (Math.PI * diameter * rpm) / 60_000;
}
