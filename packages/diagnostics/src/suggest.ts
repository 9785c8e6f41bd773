/** Spelling differences that never matter when a person mistypes a name: case, `_` and `-`. */
function plain(word: string): string {
  return word.toLowerCase().replace(/[-_ ]/g, '');
}

/**
 * Edit distance of two words: insert, delete, replace, and swap of two neighbours each count one
 * (optimal string alignment, derived from Levenshtein's recurrence). Stops early and answers `limit + 1` when it is larger.
 */
export function editDistance(a: string, b: string, limit = Number.POSITIVE_INFINITY): number {
  if (Math.abs(a.length - b.length) > limit) return limit + 1;
  let before: number[] = [];
  let leastBefore = 0;
  let last = Array.from({ length: b.length + 1 }, (_, j) => j);
  for (let i = 1; i <= a.length; i++) {
    const row = [i];
    let least = i;
    for (let j = 1; j <= b.length; j++) {
      const same = a[i - 1] === b[j - 1];
      let cost = Math.min(row[j - 1]! + 1, last[j]! + 1, last[j - 1]! + (same ? 0 : 1));
      if (i > 1 && j > 1 && a[i - 1] === b[j - 2] && a[i - 2] === b[j - 1]) {
        cost = Math.min(cost, before[j - 2]! + 1);
      }
      row.push(cost);
      if (cost < least) least = cost;
    }
    // A swap reaches back two rows: only when both are beyond the limit is everything after them.
    if (least > limit && leastBefore > limit) return limit + 1;
    leastBefore = least;
    before = last;
    last = row;
  }
  return Math.min(last[b.length]!, limit + 1);
}

/**
 * The candidates a person most likely meant, best first, four at most.
 * One edit away, two when the word is longer than six letters: nearer than that a hint is nearly always right,
 * farther it is noise. Case, `_` and `-` do not count.
 */
export function suggest(word: string, candidates: Iterable<string>): string[] {
  const wanted = plain(word);
  if (wanted.length === 0 || wanted.length > 80) return [];
  const limit = wanted.length > 6 ? 2 : 1;
  const found: { name: string; distance: number }[] = [];
  for (const name of new Set(candidates)) {
    const other = plain(name);
    // A word of two letters is one edit away from nearly everything.
    if (Math.min(wanted.length, other.length) < 2 && wanted !== other) continue;
    const distance = editDistance(wanted, other, limit);
    if (distance <= limit) found.push({ name, distance });
  }
  found.sort((p, q) => p.distance - q.distance || (p.name < q.name ? -1 : p.name > q.name ? 1 : 0));
  return found.slice(0, 4).map((f) => f.name);
}

/** `did you mean …?` for the nearest candidates, or null when nothing is near. */
export function didYouMean(word: string, candidates: Iterable<string>): string | null {
  const near = suggest(word, candidates);
  if (near.length === 0) return null;
  const quoted = near.map((n) => `\`${n}\``);
  const last = quoted.pop()!;
  return `did you mean ${quoted.length === 0 ? last : `${quoted.join(', ')} or ${last}`}?`;
}
