import { type Diagnostic, exactLength, type Finding, feedText } from '@bedledger/diagnostics';
import { type Case, gridStep, roundingOf } from '../programs/case.ts';
import { inFile, report } from '../report.ts';
import type { Work } from './operation-view.ts';
import { type Section, type Step, sectionsOf } from './sections.ts';

/** Feeds of the same step, taken at the cutter's rim, may differ by this share: rounding of F and of small radii. */
const FEED_SHARE = 0.03;
/** A section is odd when at least this share of the others, and at least three, are the same. */
const MAJORITY = 0.75;

/**
 * What is compared of the sections. `sites`: their steps; `marks`: two are enough, they are made alike; `rows`: only how a
 * section comes down and goes up, and its feeds; null: nothing.
 */
const COMPARED: Readonly<Record<Work['kind'], 'sites' | 'marks' | 'rows' | null>> = {
  visits: null,
  sites: 'sites',
  marks: 'marks',
  rims: 'sites',
  skim: 'rows',
  trim: 'rows',
  patch: null,
};

/**
 * Sections of one program do the same thing in different places: a site after a site, a row after a row. A single
 * section that comes down or goes up in another way, has a step too few or too many, or runs a step at another feed than
 * all the others is a mistake in the text. Differences with a reason are not reported: heights of passes and floors, other
 * ways of cutting for other diameters.
 *
 * @param parts the parts of one operation, in order: they are one program, cut up for a small memory
 * @param kind of work: see `COMPARED`
 */
export function checkSections(parts: readonly Case[], kind: Work['kind']): Diagnostic[] {
  const work = COMPARED[kind];
  if (work === null) return [];
  const read = parts.map((c) => ({ c, ...sectionsOf(c) }));
  const found = read.flatMap(({ c, idle }) => idle.map((line) => idleVisit(c, line)));
  const sections = read.flatMap((part) => part.sections);
  const least = work === 'marks' ? 2 : 4;
  if (sections.length < least) return found;
  if (work !== 'rows') checkSteps(sections, work === 'marks', found);
  checkLinksAlike(sections, work === 'marks', found);
  checkLike(sections, work, found);
  return found;
}

function idleVisit(c: Case, line: number): Diagnostic {
  const message = 'the program goes to a place and does nothing there';
  return report({ code: 'work/odd-section', ...inFile(c.file, line), message });
}

type Groups = ReadonlyMap<string, readonly Section[]>;

function grouped(sections: readonly Section[], key: (s: Section) => string): Groups {
  const groups = new Map<string, Section[]>();
  for (const section of sections) {
    const list = groups.get(key(section));
    if (list) list.push(section);
    else groups.set(key(section), [section]);
  }
  return groups;
}

/** The largest group when it is a clear majority, or when all sections must be the same and are not. */
function majorityOf(groups: Groups, total: number, allAlike: boolean): readonly Section[] | null {
  const most = [...groups.values()].reduce((a, b) => (b.length > a.length ? b : a));
  if (allAlike) return groups.size > 1 ? most : null;
  return most.length >= 3 && most.length >= MAJORITY * (total - 1) ? most : null;
}

interface Oddity extends Pick<Finding, 'message' | 'facts'> {
  readonly line: number;
  /** Letter of the word to point at. */
  readonly word?: string;
}

function odd(section: Section, { line, word, message, facts }: Oddity): Diagnostic {
  return report({ code: 'work/odd-section', ...inFile(section.c.file, line, word), message, facts });
}

/** Steps of one section against the majority: one step too few, too many or of another kind. */
function checkSteps(sections: readonly Section[], allAlike: boolean, found: Diagnostic[]): void {
  const groups = grouped(sections, (s) => s.key);
  const most = majorityOf(groups, sections.length, allAlike);
  if (!most) return;
  for (const group of groups.values()) {
    if (group === most || group.length > 1 || !oneStepApart(group[0]!.key, most[0]!.key)) continue;
    found.push(
      odd(group[0]!, {
        line: group[0]!.line,
        message: `the section that begins here has the steps ${spell(group[0]!.key)}; ${most.length} others have ${spell(most[0]!.key)}`,
        facts: { found: group[0]!.key, expected: most[0]!.key },
      }),
    );
  }
}

/** How a section comes down before its first feed and goes up after its last: rapids and their heights. */
function checkLinksAlike(sections: readonly Section[], allAlike: boolean, found: Diagnostic[]): void {
  const step = 2 * gridStep(sections[0]!.c.record.machine.controller);
  const height = (t: Step): string => `${Math.round(t.z / step)}`;
  const key = (s: Section): string => {
    const first = s.steps.findIndex((t) => t.kind !== 'r');
    const last = s.steps.findLastIndex((t) => t.kind !== 'r');
    return `${s.steps.slice(0, first).map(height).join(' ')} | ${s.steps
      .slice(last + 1)
      .map(height)
      .join(' ')}`;
  };
  const groups = grouped(sections, key);
  const most = majorityOf(groups, sections.length, allAlike);
  if (!most) return;
  for (const group of groups.values()) {
    if (group === most || group.length > 1) continue;
    found.push(
      odd(group[0]!, {
        line: group[0]!.line,
        message: `the section that begins here comes down or goes up in another way than ${most.length} others`,
      }),
    );
  }
}

/** Feeds and heights within groups of the same steps. */
function checkLike(
  sections: readonly Section[],
  work: 'sites' | 'marks' | 'rows',
  found: Diagnostic[],
): void {
  const { units } = sections[0]!.c.record.machine;
  const { machine } = sections[0]!.c.record;
  const rounding = 2 * roundingOf(machine.controller);
  for (const group of grouped(sections, (s) => s.key).values()) {
    if (group.length < (work === 'marks' ? 2 : 3)) continue;
    const offs = new Map<Section, { step: Step; height: number }[]>();
    const floors = group.map((s) => s.steps.reduce((low, t) => Math.min(low, t.z), Infinity));
    for (let k = 0; k < group[0]!.steps.length; k++) {
      const at = (s: Section): Step => s.steps[k]!;
      const height = medianOf(group.map((s) => at(s).z));
      const above = medianOf(group.map((s, n) => at(s).z - floors[n]!));
      const rim = medianOf(group.map((s) => rimFeed(at(s), s.c)));
      const feed = medianOf(group.map((s) => at(s).feed));
      // the same height above the bed, or the same above the section's own floor
      const offHeights = group.filter(
        (s, n) => Math.abs(at(s).z - height) > rounding && Math.abs(at(s).z - floors[n]! - above) > rounding,
      );
      // the same at the rim, or the same where another limit than the rim decides
      const offFeeds = group.filter(
        (s) =>
          Math.abs(rimFeed(at(s), s.c) - rim) > FEED_SHARE * rim &&
          Math.abs(at(s).feed - feed) > FEED_SHARE * feed,
      );
      // one alone is a slip; several are a pattern of their own
      if (work !== 'rows' && offHeights.length === 1) {
        const list = offs.get(offHeights[0]!) ?? [];
        list.push({ step: at(offHeights[0]!), height });
        offs.set(offHeights[0]!, list);
      }
      if (offFeeds.length === 1) {
        const step = at(offFeeds[0]!);
        found.push(
          odd(offFeeds[0]!, {
            line: step.line,
            word: 'F',
            message: `this step runs at ${feedText(step.feed, units)}, the same step of ${group.length - 1} like sections at about ${feedText(feed, units)}`,
            facts: { found: step.feed, expected: feed },
          }),
        );
      }
    }
    for (const [section, steps] of offs) {
      // one wrong height stays in force until the next; several different ones are levels of another kind
      const { step, height } = steps[0]!;
      if (steps.some((other) => Math.abs(other.step.z - step.z) > rounding)) continue;
      found.push(
        odd(section, {
          line: step.line,
          word: 'Z',
          message: `this step goes to Z ${exactLength(step.z, units)} above the bed, the same step of ${group.length - 1} like sections to ${exactLength(height, units)}`,
          facts: { found: step.z, expected: height },
        }),
      );
    }
  }
}

function medianOf(values: number[]): number {
  return values.sort((a, b) => a - b)[values.length >> 1]!;
}

/** True when one step inserted, left out or replaced makes the one of the other. */
function oneStepApart(a: string, b: string): boolean {
  if (Math.abs(a.length - b.length) > 1 || a === b) return false;
  let k = 0;
  while (k < a.length && k < b.length && a[k] === b[k]) k++;
  return a.slice(k + 1) === b.slice(k + 1) || a.slice(k) === b.slice(k + 1) || a.slice(k + 1) === b.slice(k);
}

/** Feed where it cuts: on the rim of a round path, (path radius + cutter radius) / path radius. */
function rimFeed(step: Step, c: Case): number {
  return step.feed * (1 + c.simulation.cutter.shape.radius / Math.max(step.radius, 0.05));
}

const STEP_NAME: Readonly<Record<Step['kind'], string>> = {
  r: 'rapid Z',
  d: 'down',
  u: 'up',
  a: 'across',
  c: 'round',
};

/** The steps of a section in words: `rapid Z, down, 4 × round, up`. */
function spell(key: string): string {
  const nameAt = (k: number): string => STEP_NAME[key[k] as Step['kind']];
  const parts: string[] = [];
  let k = 0;
  while (k < key.length) {
    let n = 1;
    while (key[k + n] === key[k]) n++;
    parts.push(n > 1 ? `${n} × ${nameAt(k)}` : nameAt(k));
    k += n;
  }
  return parts.join(', ');
}
