import type { Screw } from '../model.ts';

/** Nut factor of a dry screw where nothing is published [common practice 0.2]. */
const NUT_FACTOR = 0.2;

/**
 * Torque for a tension, N·m: K·d·F. K follows from the published pair of breaking load and torque of the size
 * where there is one (0.17–0.27 for PA66), 0.2 otherwise. `preload` in N.
 */
export function torqueFor(screw: Screw, preload: number): number {
  const published = screw.published;
  const d = screw.thread.majorDiameter / 1000;
  const k = published?.torque === undefined ? NUT_FACTOR : published.torque / (published.breakingLoad * d);
  return k * d * preload;
}
