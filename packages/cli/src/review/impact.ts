import { readProgram, type Trace } from '@bedledger/checker';
import type { Controller } from '@bedledger/fleet';

/**
 * What a changed program means for the machine, worst last:
 * `same` bytes; `comment` only words for people; `speed` the same path at other feeds or speeds; `motion` another path inside the
 * old extents and no deeper; `reach` goes farther, deeper, or with another tool; `new` and `gone` programs.
 */
export type Impact = 'same' | 'comment' | 'speed' | 'motion' | 'reach' | 'new' | 'gone';

export const IMPACTS: readonly Impact[] = ['same', 'comment', 'speed', 'motion', 'reach', 'new', 'gone'];

/** Class of the change from one program text to another, each read by the controller that it is meant for. */
export function impactOf(
  before: string | null,
  after: string | null,
  was: Controller,
  is: Controller,
): Impact {
  if (before === null) return after === null ? 'same' : 'new';
  if (after === null) return 'gone';
  if (before === after) return 'same';
  const a = readProgram(before, 'before', was);
  const b = readProgram(after, 'after', is);
  if (!a.understood || !b.understood) return 'reach';
  if (samePath(a, b)) return sameSpeeds(a, b) ? 'comment' : 'speed';
  return reachesFarther(a, b) ? 'reach' : 'motion';
}

const close = (p: number, q: number): boolean =>
  Math.abs(p - q) < 1e-6 || (Number.isNaN(p) && Number.isNaN(q));

function samePath(a: Trace, b: Trace): boolean {
  if (a.length !== b.length) return false;
  for (let i = 0; i < a.length; i++) {
    if (a.kind[i] !== b.kind[i] || a.tool[i] !== b.tool[i] || a.workOffset[i] !== b.workOffset[i])
      return false;
    for (const column of ['x', 'y', 'z', 'c1', 'c2', 'sweep'] as const) {
      if (!close(a[column][i] as number, b[column][i] as number)) return false;
    }
  }
  const stops = (t: Trace): string =>
    t.events
      .filter((e) => e.kind !== 'comment' && e.kind !== 'dwell')
      .map((e) => `${e.kind}@${e.at}`)
      .join(' ');
  return stops(a) === stops(b);
}

function sameSpeeds(a: Trace, b: Trace): boolean {
  for (let i = 0; i < a.length; i++) {
    if (!close(a.feed[i] as number, b.feed[i] as number) || !close(a.rpm[i] as number, b.rpm[i] as number))
      return false;
  }
  const dwells = (t: Trace): string =>
    t.events
      .filter((e) => e.kind === 'dwell')
      .map((e) => `${e.value}@${e.at}`)
      .join(' ');
  return dwells(a) === dwells(b);
}

function reachesFarther(a: Trace, b: Trace): boolean {
  const beyond = (column: 'x' | 'y' | 'z', sign: 1 | -1): boolean =>
    extreme(b, column, sign) > extreme(a, column, sign) + 1e-6;
  const tools = new Set(a.tool);
  return (
    beyond('x', 1) ||
    beyond('x', -1) ||
    beyond('y', 1) ||
    beyond('y', -1) ||
    beyond('z', -1) ||
    b.tool.some((t) => !tools.has(t)) ||
    Math.max(0, ...firsts(b)) > Math.max(0, ...firsts(a)) + 1e-6
  );
}

/** Different feeds of a program; few, however long it is. */
function firsts(t: Trace): Set<number> {
  const found = new Set<number>();
  for (let i = 0; i < t.length; i++) found.add(t.feed[i] as number);
  return found;
}

function extreme(t: Trace, column: 'x' | 'y' | 'z', sign: 1 | -1): number {
  let most = Number.NEGATIVE_INFINITY;
  for (let i = 0; i < t.length; i++) {
    const v = (t[column][i] as number) * sign;
    if (v > most) most = v;
  }
  return most;
}
