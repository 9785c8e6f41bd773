import type { Diagnostic, Place } from './diagnostic.ts';
import { compareDiagnostics, compareText, sortDiagnostics, WEIGHT } from './order.ts';
import { compareSeverity } from './rule.ts';

/** A finding as it is told: once, with all that is the same and all that follows from it. */
export interface Told {
  readonly finding: Diagnostic;
  /** Further places of the very same finding. */
  readonly also: readonly Place[];
  /** Findings of the same kind about other sites or rows, told by the name of each. */
  readonly likewise: readonly Diagnostic[];
  /** What follows from it, and goes away with it. */
  readonly hanging: readonly Diagnostic[];
}

/**
 * The findings of one machine as a person is told of them: the causes, the heaviest first, those that most hangs on before
 * the others. Nothing is lost: every finding is in exactly one of the results.
 *
 * A finding hangs on one that it names in `follows`, and only where that one weighs at least as much: no stop is ever hidden
 * behind a warning.
 */
export function foldFindings(list: readonly Diagnostic[]): Told[] {
  const all = sortDiagnostics(list);
  const byCode = new Map<string, Diagnostic>();
  for (const d of all) {
    const other = byCode.get(d.code);
    if (!other || compareSeverity(d.severity, other.severity) > 0) byCode.set(d.code, d);
  }
  const causeOf = (d: Diagnostic): Diagnostic | null => {
    for (const code of d.follows ?? []) {
      const cause = byCode.get(code);
      if (cause && cause.code !== d.code && compareSeverity(cause.severity, d.severity) >= 0) return cause;
    }
    return null;
  };
  /** The first cause of a finding; itself where it follows from nothing, or from itself in a circle. */
  const rootOf = (d: Diagnostic): Diagnostic => {
    const seen = new Set([d.code]);
    let at = d;
    for (let cause = causeOf(at); cause !== null; cause = causeOf(at)) {
      if (seen.has(cause.code)) return d;
      seen.add(cause.code);
      at = cause;
    }
    return at;
  };
  const roots = new Map<string, { finding: Diagnostic; also: Place[]; likewise: Diagnostic[] }>();
  const hanging = new Map<string, Diagnostic[]>();
  for (const d of all) {
    const cause = rootOf(d);
    const key = keyOf(cause);
    if (cause !== d) {
      hanging.set(key, [...(hanging.get(key) ?? []), d]);
      continue;
    }
    const root = roots.get(key);
    if (!root) roots.set(key, { finding: d, also: [], likewise: [] });
    else if (sameKey(d) !== sameKey(root.finding)) root.likewise.push(d);
    else if (d.place) root.also.push(d.place);
  }
  return [...roots].map(([key, root]) => ({ ...root, hanging: hanging.get(key) ?? [] })).sort(compareTold);
}

/** The same findings of several machines, told once: those of each list that no other has stay in their lists. */
export function foldTogether(lists: readonly (readonly Told[])[]): {
  readonly shared: readonly Told[];
  readonly own: readonly (readonly Told[])[];
} {
  const holders = new Map<string, number>();
  for (const list of lists) {
    for (const key of new Set(list.map((t) => sameKey(t.finding)))) {
      holders.set(key, (holders.get(key) ?? 0) + 1);
    }
  }
  const shared = new Map<string, Told>();
  const own = lists.map((list) =>
    list.filter((told) => {
      const key = sameKey(told.finding);
      if ((holders.get(key) ?? 0) < 2) return true;
      const first = shared.get(key);
      shared.set(key, first ? merged(first, told) : told);
      return false;
    }),
  );
  return { shared: [...shared.values()].sort(compareTold), own };
}

function merged(first: Told, other: Told): Told {
  const known = new Set([first.finding.place, ...first.also].map((place) => JSON.stringify(place)));
  const places = [...(other.finding.place ? [other.finding.place] : []), ...other.also];
  return {
    finding: first.finding,
    also: [...first.also, ...places.filter((place) => !known.has(JSON.stringify(place)))],
    likewise: [...first.likewise, ...other.likewise],
    hanging: [...first.hanging, ...other.hanging],
  };
}

/** Every finding of what is told, in the order of files. */
export function unfolded(told: readonly Told[]): Diagnostic[] {
  return sortDiagnostics(
    told.flatMap(({ finding, also, likewise, hanging }) => [
      finding,
      ...also.map((place) => ({ ...finding, place })),
      ...likewise,
      ...hanging,
    ]),
  );
}

/** Stops before warnings before notes; what most hangs on first; then as the findings stand in their files. */
function compareTold(a: Told, b: Told): number {
  return (
    WEIGHT[a.finding.severity] - WEIGHT[b.finding.severity] ||
    b.hanging.length - a.hanging.length ||
    compareDiagnostics(a.finding, b.finding)
  );
}

/** Findings with one key are told as one: the same words, or one kind of thing about each of many. */
function keyOf(d: Diagnostic): string {
  if (d.each === undefined) return sameKey(d);
  // Names and figures differ from site to site; what is said of them does not.
  const said = d.message.replaceAll(d.each, '').replace(/\d+(\.\d+)?/g, '');
  return JSON.stringify([d.code, d.severity, d.place?.file ?? '', said]);
}

function sameKey({ code, severity, message, help }: Diagnostic): string {
  return JSON.stringify([code, severity, message, help]);
}

/** Codes of what hangs on a finding, each once. */
export function hangingCodes(hanging: readonly Diagnostic[]): string[] {
  return [...new Set(hanging.map((d) => d.code))].sort(compareText);
}
