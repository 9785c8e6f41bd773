/** A closed interval on a line, and sorted, disjoint sets of them. */
export type Interval = readonly [from: number, to: number];
export type Intervals = readonly Interval[];

/** Sorts and joins overlapping or touching intervals; drops reversed ones. */
export function normalise(list: readonly Interval[]): Intervals {
  const sorted = list.filter(([a, b]) => a <= b).sort((p, q) => p[0] - q[0] || p[1] - q[1]);
  const out: [number, number][] = [];
  for (const [a, b] of sorted) {
    const last = out.at(-1);
    if (last && a <= last[1]) last[1] = Math.max(last[1], b);
    else out.push([a, b]);
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
    const [from, to] = a[mid] as Interval;
    if (v < from) high = mid - 1;
    else if (v > to) low = mid + 1;
    else return true;
  }
  return false;
}
