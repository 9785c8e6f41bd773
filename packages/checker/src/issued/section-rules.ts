import type { Diagnostic } from '@bedledger/diagnostics';
import { type Case, gridStep, roundingOf } from '../rules/case.ts';
import { finding, mm } from '../rules/finding.ts';
import { isPlaced, resolveArc } from '../simulation/motions.ts';
import { ARC, RAPID } from '../trace.ts';

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
  readonly tokens: Token[];
  readonly key: string;
  readonly line: number;
}

/** Feeds of alike steps, put on the cutter's rim, may differ by this share: rounding of F and of small radii. */
const FEED_SHARE = 0.03;
/** A section is odd when this share of the others, and at least three, are alike. */
const MAJORITY = 0.75;

/**
 * Sections of one program do the same thing in different places: a site after a site, a row after a row. One that has a
 * step too few or too many, another height or another feed than all its like is a slip of the text.
 *
 * @param allAlike - two sections are enough to compare: the marks of one program are made alike
 */
export function checkSections(c: Case, allAlike: boolean): Diagnostic[] {
  const sections = sectionsOf(c);
  if (sections.length < (allAlike ? 2 : 4)) return [];
  const { house, machine } = c.record;
  const rounding = 2 * roundingOf(machine.controller);
  const groups = new Map<string, Section[]>();
  for (const section of sections) {
    const list = groups.get(section.key);
    if (list) list.push(section);
    else groups.set(section.key, [section]);
  }
  const found: Diagnostic[] = [];
  for (const group of groups.values()) {
    if (group.length === 1) {
      const most = [...groups.values()].reduce((a, b) => (b.length > a.length ? b : a));
      if (allAlike || (most.length >= 3 && most.length >= MAJORITY * (sections.length - 1))) {
        found.push(
          finding('work/odd-section', house, c.file, {
            line: group[0]!.line,
            message: `the section that begins here has the steps ${spell(group[0]!.key)}; ${most.length} others have ${spell(most[0]!.key)}`,
            facts: { found: group[0]!.key, expected: most[0]!.key },
          }),
        );
      }
      continue;
    }
    if (group.length < (allAlike ? 2 : 3)) continue;
    const steps = group[0]!.tokens.length;
    for (let k = 0; k < steps; k++) {
      const heights = group.map((s) => s.tokens[k]!.z).sort((a, b) => a - b);
      const rims = group.map((s) => rimFeed(s.tokens[k]!, c)).sort((a, b) => a - b);
      const feeds = group.map((s) => s.tokens[k]!.feed).sort((a, b) => a - b);
      const height = heights[heights.length >> 1]!;
      const rim = rims[rims.length >> 1]!;
      const feed = feeds[feeds.length >> 1]!;
      const offHeights = group.filter((s) => Math.abs(s.tokens[k]!.z - height) > rounding);
      // alike on the rim, or alike where another limit than the rim rules
      const offFeeds = group.filter(
        (s) =>
          Math.abs(rimFeed(s.tokens[k]!, c) - rim) > FEED_SHARE * rim &&
          Math.abs(s.tokens[k]!.feed - feed) > FEED_SHARE * feed,
      );
      // one alone is a slip; several are a pattern of their own (a second pass, another depth)
      if (offHeights.length === 1) {
        const token = offHeights[0]!.tokens[k]!;
        found.push(
          finding('work/odd-section', house, c.file, {
            line: token.line,
            word: 'Z',
            message: `this step goes to Z ${mm(token.z)} above the bed, the same step of ${group.length - 1} like sections to ${mm(height)}`,
            facts: { found: token.z, expected: height },
          }),
        );
      }
      if (offFeeds.length === 1) {
        const token = offFeeds[0]!.tokens[k]!;
        found.push(
          finding('work/odd-section', house, c.file, {
            line: token.line,
            word: 'F',
            message: `this step runs at ${Math.round(token.feed)} mm/min, the same step of ${group.length - 1} like sections differs`,
            facts: { found: token.feed },
          }),
        );
      }
    }
  }
  return found;
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
function sectionsOf(c: Case): Section[] {
  const { trace, simulation } = c;
  const m = simulation.motions;
  const step = gridStep(c.record.machine.controller) / 2;
  const sections: Section[] = [];
  let tokens: Token[] | null = null;
  let line = 0;
  const close = (): void => {
    if (tokens?.some((t) => t.kind !== 'r')) {
      fixRadii(tokens);
      sections.push({ tokens, key: tokens.map((t) => t.kind).join(''), line });
    }
    tokens = null;
  };
  let chain: Chain | null = null;
  for (let i = 0; i < m.length; i++) {
    if (!isPlaced(m, i)) continue;
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
      if (last?.kind === 'c' && last.feed === feed && Math.abs(last.radius - arc.startRadius) < 0.02) {
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
    if (before && before.token.feed === feed && Math.abs(turn) > 0.005 && Math.abs(turn) < 1.1) {
      const minX = Math.min(before.minX, m.toX(i));
      const maxX = Math.max(before.maxX, m.toX(i));
      const minY = Math.min(before.minY, m.toY(i));
      const maxY = Math.max(before.maxY, m.toY(i));
      const radius = Math.max(maxX - minX, maxY - minY) / 2;
      const round: Token = { kind: 'c', z, feed, line: before.token.line, radius };
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
  close();
  return sections;
}

/** A straight step that leads to a round one runs at the round one's feed, and is measured on its rim. */
function fixRadii(tokens: readonly Token[]): void {
  for (let k = 0; k + 1 < tokens.length; k++) {
    const next = tokens[k + 1]!;
    if (tokens[k]!.kind === 'a' && next.kind === 'c' && tokens[k]!.feed === next.feed)
      tokens[k]!.radius = next.radius;
  }
}

/** Angle by which the path turns from the chain's last line into (dx, dy); π without a chain. */
function turnOf(chain: Chain | null, dx: number, dy: number): number {
  return chain ? Math.atan2(chain.dx * dy - chain.dy * dx, chain.dx * dx + chain.dy * dy) : Math.PI;
}
