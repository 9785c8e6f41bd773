import type { Move, NeutralProgram } from '@bedledger/bedwork';
import type { Controller } from '@bedledger/fleet';
import { type Motion, sweepOf } from './naive-reader.ts';

type Point = readonly [number, number, number];

function stepOf(c: Controller): number {
  let step = c.units === 'mm' ? 1 : 25.4;
  for (let i = 0; i < c.numbers.xyz.decimals; i++) step /= 10;
  return step;
}

/**
 * Why the read motions are not the program's, or null. Ends must agree within half a grid step; points on the way
 * within the chord tolerance and never outside the circle (chords), or within a few grid steps (arcs).
 */
export function difference(program: NeutralProgram, c: Controller, read: readonly Motion[]): string | null {
  const step = stepOf(c);
  const half = step / 2 + 1e-7;
  const near = (p: Point, q: Point): boolean =>
    Math.abs(p[0] - q[0]) <= half && Math.abs(p[1] - q[1]) <= half && Math.abs(p[2] - q[2]) <= half;
  const same = (a: number, b: number): boolean =>
    a === b || Math.abs(a - b) < 1e-9 || (Number.isNaN(a) && Number.isNaN(b));
  const still = (m: Motion): boolean =>
    m.kind !== 'arc' && [0, 1, 2].every((i) => same(m.from[i]!, m.to[i]!));
  const text = read.filter((m) => !still(m));
  let k = 0;
  let at: Point = [Number.NaN, Number.NaN, program.clearHeight];
  // The program's own start: up to the clear height.
  if (text[k]?.kind !== 'rapid' || Math.abs(text[k]!.to[2] - program.clearHeight) > half)
    return 'does not begin by going to the clear height';
  k++;
  /** One straight motion of the given kind to `to`; nothing when rounding leaves nothing. */
  const straight = (kind: 'rapid' | 'feed', to: Point, what: string, feed = 0): string | null => {
    const m = text[k];
    if (m !== undefined && m.kind === kind && near(m.to, to)) {
      k++;
      at = to;
      if (kind === 'feed' && (m.feed > feed + feedSlack(c, feed) || m.feed < feed - feedStep(c) - 1e-6))
        return `${what}: feed ${m.feed} for ${feed}`;
      return null;
    }
    const before = k === 0 ? undefined : text[k - 1]!.to;
    if (before !== undefined && near(before, to)) {
      at = to;
      return null;
    }
    return `${what}: expected ${kind} to ${to.join(' ')}, read ${m === undefined ? 'nothing' : `${m.kind} to ${m.to.join(' ')} (line ${m.line})`}`;
  };
  const round = (move: Extract<Move, { kind: 'arc' }>, what: string): string | null => {
    const to: Point = [move.x, move.y, move.z];
    const centre = [move.cx, move.cy];
    const r = Math.hypot(at[0] - move.cx, at[1] - move.cy);
    const full = Math.abs(move.x - at[0]) < 1e-6 && Math.abs(move.y - at[1]) < 1e-6;
    const whole = full ? 2 * Math.PI : sweepOf(at, to, centre, move.clockwise);
    const slack = Math.min(0.5, (4 * step) / r);
    let turned = 0;
    let last: Point = k === 0 ? at : text[k - 1]!.to;
    while (turned < whole - slack || !near(last, to)) {
      const m = text[k];
      if (m === undefined || m.kind === 'rapid' || turned > whole + slack)
        return `${what}: turned ${turned} of ${whole}, then ${m?.kind} line ${m?.line}`;
      if (m.feed > move.feed + feedSlack(c, move.feed)) return `${what}: feed ${m.feed} for ${move.feed}`;
      if (m.kind === 'arc') {
        if (m.clockwise !== move.clockwise) return `${what}: turns the other way`;
        const sweep =
          m.to[0] === m.from[0] && m.to[1] === m.from[1]
            ? 2 * Math.PI
            : sweepOf(m.from, m.to, m.centre!, move.clockwise);
        const a =
          Math.atan2(m.from[1] - m.centre![1], m.from[0] - m.centre![0]) +
          (move.clockwise ? -sweep : sweep) / 2;
        const rm = Math.hypot(m.from[0] - m.centre![0], m.from[1] - m.centre![1]);
        const off = Math.abs(
          Math.hypot(m.centre![0] + rm * Math.cos(a) - move.cx, m.centre![1] + rm * Math.sin(a) - move.cy) -
            r,
        );
        // Two half grid steps of the ends, one and a half of the centre; the radius form magnifies the first by the sweep.
        if (off > 6 * step + (c.arcs.form === 'radius' ? 6 * step : 0))
          return `${what}: bulges ${off} away (line ${m.line})`;
        const meant =
          m.to[0] === m.from[0] && m.to[1] === m.from[1]
            ? 2 * Math.PI
            : sweepOf(m.from, m.to, centre, move.clockwise);
        if (Math.abs(meant - sweep) > 0.5) return `${what}: turns ${sweep} for ${meant} (line ${m.line})`;
        turned += meant;
      } else {
        const chordLength = Math.hypot(m.to[0] - m.from[0], m.to[1] - m.from[1]);
        const mid = Math.hypot((m.from[0] + m.to[0]) / 2 - move.cx, (m.from[1] + m.to[1]) / 2 - move.cy);
        if (r - mid > c.arcs.chord + 2 * step) return `${what}: chord ${r - mid} inside (line ${m.line})`;
        const inner = !near(m.to, to);
        if (
          inner &&
          Math.hypot(m.to[0] - move.cx, m.to[1] - move.cy) > r + 1e-9 &&
          step < c.arcs.chord &&
          c.arcs.form === 'none'
        )
          return `${what}: chord end outside the circle (line ${m.line})`;
        if (chordLength > 0) {
          const s = sweepOf(m.from, m.to, centre, move.clockwise);
          turned += s > Math.PI ? s - 2 * Math.PI : s;
        }
      }
      const share = Math.min(1, Math.max(0, turned / whole));
      const z = at[2] + (move.z - at[2]) * share;
      if (Math.abs(m.to[2] - z) > half + (Math.abs(move.z - at[2]) * slack) / whole)
        return `${what}: height ${m.to[2]} for ${z} (line ${m.line})`;
      last = m.to;
      k++;
      if (k > text.length + 2) return `${what}: ran out`;
      // A vanishing arc may leave only its rise.
      if (near(last, to) && whole < slack) break;
    }
    // A vanishing arc on the border of two grid points may still take the step.
    const next = text[k];
    if (whole < slack && next !== undefined && next.kind !== 'rapid' && near(next.to, to)) {
      const hop = Math.hypot(next.to[0] - next.from[0], next.to[1] - next.from[1]);
      if (hop > 0 && hop < 3 * step) k++;
    }
    at = to;
    return null;
  };
  for (const [n, move] of program.moves.entries()) {
    const what = `move ${n + 1} (${move.kind})`;
    let wrong: string | null = null;
    switch (move.kind) {
      case 'rapid-xy':
        wrong = straight('rapid', [move.x, move.y, at[2]], what);
        break;
      case 'rapid-z':
        wrong = straight('rapid', [at[0], at[1], move.z], what);
        break;
      case 'feed':
        wrong = straight('feed', [move.x, move.y, move.z], what, move.feed);
        break;
      case 'arc':
        wrong = round(move, what);
        break;
      case 'drill': {
        if (at[2] < move.link) wrong ??= straight('rapid', [at[0], at[1], move.link], what);
        wrong ??= straight('rapid', [move.x, move.y, at[2]], what);
        if (at[2] > move.link) wrong ??= straight('rapid', [move.x, move.y, move.link], what);
        const bottom: Point = [move.x, move.y, move.bottom];
        let cut: Motion | undefined;
        // Down to the bottom in any number of pecks, nothing sideways, nothing deeper.
        while (wrong === null && text[k] !== undefined) {
          const m = text[k]!;
          if (Math.abs(m.to[0] - move.x) > half || Math.abs(m.to[1] - move.y) > half) break;
          if (m.to[2] < move.bottom - half) wrong = `${what}: too deep`;
          if (m.kind === 'feed') cut = m;
          if (m.kind === 'rapid' && m.to[2] < (cut?.to[2] ?? move.above) - half)
            wrong = `${what}: rapid into the board`;
          k++;
          if (cut !== undefined && near(cut.to, bottom) && Math.abs(m.to[2] - move.link) <= half) break;
        }
        if (wrong === null && move.above - move.bottom > step && (cut === undefined || !near(cut.to, bottom)))
          wrong = `${what}: not drilled`;
        at = [move.x, move.y, move.link];
        break;
      }
      default:
        break;
    }
    if (wrong !== null) return wrong;
  }
  const [px, py] = program.park;
  const up = straight('rapid', [at[0], at[1], program.clearHeight], 'end');
  return (
    up ??
    straight('rapid', [px, py, program.clearHeight], 'park') ??
    (k === text.length ? null : `${text.length - k} motions too many`)
  );
}

/** One step of the feed's grid, mm/min. */
function feedStep(c: Controller): number {
  let step =
    (c.units === 'mm' ? 1 : 25.4) * (((c.feed as { per?: string }).per ?? 'minute') === 'second' ? 60 : 1);
  for (let i = 0; i < c.numbers.feed.decimals; i++) step /= 10;
  return step;
}

/** A feed is written down to the grid, never above what was asked, unless that would be below the controller's least. */
function feedSlack(c: Controller, feed: number): number {
  return (feed < c.feed.min + feedStep(c) ? feedStep(c) / 2 : 0) + 1e-6;
}
