/** A thread as people write it, taken apart. */
export interface WrittenSize {
  /** `M6`, `1/4`, `#10`: the key of the tables that do not depend on the pitch. */
  readonly size: string;
  /** `M6`, `1/4-20`: the key of the thread tables; null when the pitch is open (`#10`). */
  readonly thread: string | null;
  readonly system: 'metric' | 'unified';
}

const COARSE_PITCH: Readonly<Record<string, number>> = {
  M4: 0.7,
  M5: 0.8,
  M6: 1,
  M8: 1.25,
  M10: 1.5,
  M12: 1.75,
};
const UNIFIED: Readonly<Record<string, readonly number[]>> = {
  '#10': [24, 32],
  '1/4': [20],
  '5/16': [18],
  '3/8': [16],
  '1/2': [13],
};

/** Threads the catalogue knows, in the order of the tables. */
export const THREAD_DESIGNATIONS: readonly string[] = [
  ...Object.keys(COARSE_PITCH),
  ...Object.entries(UNIFIED).flatMap(([size, pitches]) => pitches.map((n) => `${size}-${n}`)),
];

/**
 * Reads a thread or a nominal size: `m6`, `M6x1`, `M6 × 1.0`, `1/4`, `1/4-20`, `1/4"-20 UNC`, `#10`, `No. 10-24`.
 * Null when it is not one the catalogue has (a fine pitch such as `M6x0.75` is null, never the coarse one).
 */
export function parseSize(written: string): WrittenSize | null {
  const text = written.trim().toUpperCase().replace(/\s+/g, ' ');
  const metric = /^M ?(\d+)(?: ?[X×*] ?(\d+(?:[.,]\d+)?))?$/.exec(text);
  if (metric) {
    const size = `M${Number(metric[1])}`;
    const pitch = COARSE_PITCH[size];
    if (pitch === undefined) return null;
    if (metric[2] !== undefined && Number(metric[2].replace(',', '.')) !== pitch) return null;
    return { size, thread: size, system: 'metric' };
  }
  const unified = /^(?:(#|NO\.? ?)(\d+)|(\d+\/\d+)) ?(?:"|IN)?(?: ?- ?(\d+))?(?: ?(UNC|UNF))?$/.exec(text);
  if (unified) {
    const size = unified[3] ?? `#${unified[2]}`;
    const pitches = UNIFIED[size];
    if (pitches === undefined) return null;
    const series = unified[5];
    let count: number | null;
    if (unified[4] !== undefined) count = Number(unified[4]);
    else if (series === 'UNF') count = pitches[1] ?? null;
    else if (series === 'UNC' || pitches.length === 1) count = pitches[0] ?? null;
    else count = null;
    if (series === 'UNF' && count !== pitches[1]) return null;
    if (series === 'UNC' && count !== pitches[0]) return null;
    if (count !== null && !pitches.includes(count)) return null;
    return { size, thread: count === null ? null : `${size}-${count}`, system: 'unified' };
  }
  return null;
}
