import { type Diagnostic, exactLength, type Finding, feedText } from '@bedledger/diagnostics';
import { type Case, gridStep, roundingOf } from '../programs/case.ts';
import { inFile, report } from '../report.ts';
import { isPlaced, resolveArc } from '../simulation/motions.ts';
import { ARC, RAPID } from '../trace.ts';
import type { Work } from './operation-view.ts';

/** One step of a section: what kind of motion, to which height, at which feed. */
interface Token {
  readonly kind: 'r' | 'd' | 'u' | 'a' | 'c';
  readonly z: number;
  feed: number;
  readonly line: number;
  /** Radius of the path, mm; Infinity for straight ones. */
  radius: number;
}

/** Lines that turn a little, one after another: a circle written as chords. */
interface Chain {
  readonly token: Token;
  readonly dx: number;
  readonly dy: number;
  readonly minX: number;
  readonly maxX: number;
  readonly minY: number;
  readonly maxY: number;
}

interface Section {
  readonly c: Case;
  readonly tokens: Token[];
  readonly key: string;
  readonly line: number;
}

/** Feeds of alike steps, put on the cutter's rim, may differ by this share: rounding of F and of small radii. */
const FEED_SHARE = 0.03;
/** A section is odd when this share of the others, and at least three, are alike. */
const MAJORITY = 0.75;

/**
 * Sections of one program do the same thing in different places: a site after a site, a row after a row. One alone that
 * comes down or goes up otherwise, has a step too few or too many, or runs a step at another feed than all its like, is a
 * slip of the text. What differs for a reason is left alone: heights of passes and floors, methods of other diameters.
 *
 * @param parts the parts of one operation, in order: they are one program, cut up for a small memory
 * @param kind `sites`: the steps of a section are compared; `marks`: two are enough, they are made alike; `skim` and
 *   `trim`: only how a section comes down and goes up, and its feeds; `visits`: nothing is compared
 */
export function checkSections(parts: readonly Case[], kind: Work['kind']): Diagnostic[] {
  if (kind === 'visits') return [];
  const work = kind === 'skim' || kind === 'trim' ? 'rows' : kind;
  const found: Diagnostic[] = [];
  const sections = parts.flatMap((c) => sectionsOf(c, found));
  const least = work === 'marks' ? 2 : 4;
  if (sections.length < least) return found;
  if (work !== 'rows') checkSteps(sections, work === 'marks', found);
  checkLinksAlike(sections, work === 'marks', found);
  checkLike(sections, work, found);
  return found;
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

/** The largest group when it is a clear majority, or when two are to be alike and are not. */
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
  const height = (t: Token): string => `${Math.round(t.z / step)}`;
  const key = (s: Section): string => {
    const first = s.tokens.findIndex((t) => t.kind !== 'r');
    const last = s.tokens.findLastIndex((t) => t.kind !== 'r');
    return `${s.tokens.slice(0, first).map(height).join(' ')} | ${s.tokens
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
        message: `the section that begins here comes down or goes up otherwise than ${most.length} others`,
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
    const offs = new Map<Section, { token: Token; height: number }[]>();
    const floors = group.map((s) => s.tokens.reduce((low, t) => Math.min(low, t.z), Infinity));
    for (let k = 0; k < group[0]!.tokens.length; k++) {
      const at = (s: Section): Token => s.tokens[k]!;
      const height = medianOf(group.map((s) => at(s).z));
      const above = medianOf(group.map((s, n) => at(s).z - floors[n]!));
      const rim = medianOf(group.map((s) => rimFeed(at(s), s.c)));
      const feed = medianOf(group.map((s) => at(s).feed));
      // the same height above the bed, or the same above the section's own floor
      const offHeights = group.filter(
        (s, n) => Math.abs(at(s).z - height) > rounding && Math.abs(at(s).z - floors[n]! - above) > rounding,
      );
      // alike on the rim, or alike where another limit than the rim rules
      const offFeeds = group.filter(
        (s) =>
          Math.abs(rimFeed(at(s), s.c) - rim) > FEED_SHARE * rim &&
          Math.abs(at(s).feed - feed) > FEED_SHARE * feed,
      );
      // one alone is a slip; several are a pattern of their own
      if (work !== 'rows' && offHeights.length === 1) {
        const list = offs.get(offHeights[0]!) ?? [];
        list.push({ token: at(offHeights[0]!), height });
        offs.set(offHeights[0]!, list);
      }
      if (offFeeds.length === 1) {
        const token = at(offFeeds[0]!);
        found.push(
          odd(offFeeds[0]!, {
            line: token.line,
            word: 'F',
            message: `this step runs at ${feedText(token.feed, units)}, the same step of ${group.length - 1} like sections at about ${feedText(feed, units)}`,
            facts: { found: token.feed, expected: feed },
          }),
        );
      }
    }
    for (const [section, steps] of offs) {
      // one wrong height stays in force until the next; several different ones are levels of another kind
      const { token, height } = steps[0]!;
      if (steps.some((other) => Math.abs(other.token.z - token.z) > rounding)) continue;
      found.push(
        odd(section, {
          line: token.line,
          word: 'Z',
          message: `this step goes to Z ${exactLength(token.z, units)} above the bed, the same step of ${group.length - 1} like sections to ${exactLength(height, units)}`,
          facts: { found: token.z, expected: height },
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
function rimFeed(token: Token, c: Case): number {
  return token.feed * (1 + c.simulation.cutter.shape.radius / Math.max(token.radius, 0.05));
}

function spell(key: string): string {
  const names: Readonly<Record<string, string>> = {
    r: 'rapid Z',
    d: 'down',
    u: 'up',
    a: 'across',
    c: 'round',
  };
  const parts: string[] = [];
  let k = 0;
  while (k < key.length) {
    let n = 1;
    while (key[k + n] === key[k]) n++;
    parts.push(n > 1 ? `${n} × ${names[key[k]!]}` : names[key[k]!]!);
    k += n;
  }
  return parts.join(', ');
}

/** Cuts a program into sections at its rapids across, and names each step. */
function sectionsOf(c: Case, found: Diagnostic[]): Section[] {
  const { trace, simulation } = c;
  const m = simulation.motions;
  const step = gridStep(c.record.machine.controller) / 2;
  const sections: Section[] = [];
  let tokens: Token[] | null = null;
  let line = 0;
  // the way to the park position is the only one that ends in nothing
  const close = (last = false): void => {
    if (tokens?.some((t) => t.kind !== 'r')) {
      fixRadii(tokens);
      sections.push({ c, tokens, key: tokens.map((t) => t.kind).join(''), line });
    } else if (tokens && !last) {
      found.push(
        report({
          code: 'work/odd-section',
          ...inFile(c.file, line),
          message: 'the program goes to a place and does nothing there',
        }),
      );
    }
    tokens = null;
  };
  let chain: Chain | null = null;
  for (let i = 0; i < m.length; i++) {
    if (!isPlaced(m, i)) {
      // the first way across comes from nobody knows where
      if (trace.kind[i] === RAPID && !Number.isNaN(m.toX(i)) && !Number.isNaN(m.toY(i))) {
        close();
        chain = null;
        tokens = [];
        line = trace.line[i]!;
      }
      continue;
    }
    const dx = m.toX(i) - m.fromX(i);
    const dy = m.toY(i) - m.fromY(i);
    const dz = m.toZ(i) - m.fromZ(i);
    const across = Math.sqrt(dx * dx + dy * dy);
    if (trace.kind[i] === RAPID) {
      chain = null;
      if (across > step) {
        close();
        tokens = [];
        line = trace.line[i]!;
      } else if (tokens && Math.abs(dz) > step) {
        tokens.push({ kind: 'r', z: m.toZ(i), feed: 0, line: trace.line[i]!, radius: Infinity });
      }
      continue;
    }
    if (!tokens) continue;
    const feed = trace.feed[i]!;
    const z = m.toZ(i);
    if (trace.kind[i] === ARC) {
      chain = null;
      const arc = resolveArc(m, i);
      const steps: Token[] = tokens;
      const last = steps.at(-1);
      // turns of one helix, and quadrants of one circle, are one step
      if (last?.kind === 'c' && alike(last.feed, feed) && Math.abs(last.radius - arc.startRadius) < 0.02) {
        steps[steps.length - 1] = { ...last, z, radius: arc.startRadius };
      } else steps.push({ kind: 'c', z, feed, line: trace.line[i]!, radius: arc.startRadius });
      continue;
    }
    if (across <= step) {
      chain = null;
      if (Math.abs(dz) <= step) continue;
      tokens.push({ kind: dz < 0 ? 'd' : 'u', z, feed, line: trace.line[i]!, radius: Infinity });
      continue;
    }
    // chords of a circle: lines that turn a little, one after another, at one feed
    const turn = turnOf(chain, dx, dy);
    const before = chain as Chain | null;
    if (before && alike(before.token.feed, feed) && Math.abs(turn) > 0.005 && Math.abs(turn) < 1.1) {
      const minX = Math.min(before.minX, m.toX(i));
      const maxX = Math.max(before.maxX, m.toX(i));
      const minY = Math.min(before.minY, m.toY(i));
      const maxY = Math.max(before.maxY, m.toY(i));
      const radius = Math.max(maxX - minX, maxY - minY) / 2;
      const round: Token = { kind: 'c', z, feed: before.token.feed, line: before.token.line, radius };
      tokens[tokens.length - 1] = round;
      chain = { token: round, dx, dy, minX, maxX, minY, maxY };
      continue;
    }
    const token: Token = { kind: 'a', z, feed, line: trace.line[i]!, radius: Infinity };
    tokens.push(token);
    chain = {
      token,
      dx,
      dy,
      minX: Math.min(m.fromX(i), m.toX(i)),
      maxX: Math.max(m.fromX(i), m.toX(i)),
      minY: Math.min(m.fromY(i), m.toY(i)),
      maxY: Math.max(m.fromY(i), m.toY(i)),
    };
  }
  close(true);
  return sections;
}

/** A straight step that leads to a round one runs at the round one's feed, and is measured on its rim. */
function fixRadii(tokens: readonly Token[]): void {
  for (let k = 0; k + 1 < tokens.length; k++) {
    const next = tokens[k + 1]!;
    if (tokens[k]!.kind === 'a' && next.kind === 'c' && alike(tokens[k]!.feed, next.feed))
      tokens[k]!.radius = next.radius;
  }
}

/** One feed, written with the rounding of short chords. */
function alike(a: number, b: number): boolean {
  return Math.abs(a - b) <= 0.02 * Math.max(a, b);
}

/** Angle by which the path turns from the chain's last line into (dx, dy); π without a chain. */
function turnOf(chain: Chain | null, dx: number, dy: number): number {
  return chain ? Math.atan2(chain.dx * dy - chain.dy * dx, chain.dx * dx + chain.dy * dy) : Math.PI;
}
