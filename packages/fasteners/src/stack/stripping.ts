import type { Insert, Screw, Thread } from '../model.ts';

/** 0.57735 = tan 30°, the flank angle of ISO and unified threads, as FED-STD-H28 prints it. */
const TAN_30 = 0.57735;

/**
 * Thread shear area of the screw per millimetre of engagement, mm²/mm [FED-STD-H28, Machinery's Handbook]:
 * AS_s = π·n·K_n,max·[1/(2n) + 0.57735·(E_s,min − K_n,max)], n = 1/P. The insert's thread cuts it at its largest
 * minor diameter K_n,max, where the screw's thread is thinnest.
 */
export function screwShearArea(external: Thread, internal: Thread): number {
  const k = internal.internal.minorMax;
  return (Math.PI / external.pitch) * k * (external.pitch / 2 + TAN_30 * (external.external.pitchMin - k));
}

/**
 * Thread shear area of the insert per millimetre of engagement, mm²/mm [FED-STD-H28, Machinery's Handbook]:
 * AS_n = π·n·D_s,min·[1/(2n) + 0.57735·(D_s,min − E_n,max)].
 */
export function insertShearArea(external: Thread, internal: Thread): number {
  const d = external.external.majorMin;
  return (Math.PI / external.pitch) * d * (external.pitch / 2 + TAN_30 * (d - internal.internal.pitchMax));
}

/** Which thread strips first, and at how many newtons per millimetre of engagement. */
export function strippingStrength(
  screw: Screw,
  insert: Insert,
): { readonly perLength: number; readonly strips: 'screw' | 'insert' } {
  const ofScrew = screwShearArea(screw.thread, insert.thread) * screw.shearStrength;
  const ofInsert = insertShearArea(screw.thread, insert.thread) * insert.shearStrength;
  return ofScrew <= ofInsert
    ? { perLength: ofScrew, strips: 'screw' }
    : { perLength: ofInsert, strips: 'insert' };
}

/** Load at which the screw breaks, N: the published figure where there is one, tensile stress area × strength, the less of both. */
export function breakingLoad(screw: Screw): number {
  const computed = screw.thread.stressArea * screw.tensileStrength;
  return screw.published === undefined ? computed : Math.min(computed, screw.published.breakingLoad);
}
