/**
 * How far above the last bottom a drill that pecks comes back at rapid before it feeds on, mm: a hair, or half of a small peck.
 * Controllers leave between 0.2 and 1 mm (common practice, no source; NISTIR 6556 §3.5.16.4 says just above the hole bottom).
 * What is written out, what is timed and what a cycle is read as use this one figure.
 */
export function peckBackOff(peck: number): number {
  return Math.min(0.25, peck / 2);
}
