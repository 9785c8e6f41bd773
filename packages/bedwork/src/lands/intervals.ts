/** A closed interval on a line, and sorted, disjoint sets of them. */
export type Interval = readonly [from: number, to: number];
export type Intervals = readonly Interval[];

/** Sorts and joins overlapping or touching intervals; drops reversed ones. */
export function normalise(list: readonly Interval[]): Intervals {
  const n = list.length;
  const starts = new Float64Array(n);
  const ends = new Float64Array(n);
  let count = 0;
  for (let i = 0; i < n; i++) {
    const one = list[i] as Interval;
    if (!(one[0] <= one[1])) continue;
    starts[count] = one[0];
    ends[count] = one[1];
    count++;
  }
  return joined(starts, ends, count);
}

/**
 * The union of the first `count` intervals, given by starts and ends; both arrays are sorted in place. With both sorted,
 * a gap lies exactly where the next start is beyond the end of as many intervals as have begun.
 */
export function joined(starts: Float64Array, ends: Float64Array, count: number): Intervals {
  const s = starts.subarray(0, count).sort();
  const e = ends.subarray(0, count).sort();
  const out: Interval[] = [];
  let begin = 0;
  for (let k = 1; k <= count; k++) {
    if (k < count && (s[k] as number) <= (e[k - 1] as number)) continue;
    out.push([s[begin] as number, e[k - 1] as number]);
    begin = k;
  }
  return out;
}

export function intersect(a: Intervals, b: Intervals): Intervals {
  const out: Interval[] = [];
  let i = 0;
  let j = 0;
  while (i < a.length && j < b.length) {
    const p = a[i] as Interval;
    const q = b[j] as Interval;
    const from = Math.max(p[0], q[0]);
    const to = Math.min(p[1], q[1]);
    if (from <= to) out.push([from, to]);
    if (p[1] < q[1]) i++;
    else j++;
  }
  return out;
}

/** Every value that lies between `least` and `greatest` beyond some value of the set. */
export function stepRight(a: Intervals, least: number, greatest: number): Intervals {
  return normalise(a.map(([from, to]) => [from + least, to + greatest] as const));
}

export function stepLeft(a: Intervals, least: number, greatest: number): Intervals {
  return normalise(a.map(([from, to]) => [from - greatest, to - least] as const));
}

export function includes(a: Intervals, v: number): boolean {
  let low = 0;
  let high = a.length - 1;
  while (low <= high) {
    const mid = (low + high) >> 1;
    const one = a[mid] as Interval;
    if (v < one[0]) high = mid - 1;
    else if (v > one[1]) low = mid + 1;
    else return true;
  }
  return false;
}
