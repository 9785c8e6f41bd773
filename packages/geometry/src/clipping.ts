import type { Path64, Paths64 } from 'clipper2-ts';
import { regionFromPaths } from './grid.ts';
import { Remembered } from './remembered.ts';
import type { Region } from './types.ts';

/** What a clipping is asked for: its kind with its figures, and the paths it works on. */
interface Question {
  readonly kind: string;
  readonly paths: readonly Paths64[];
}

/** Clippings of fewer corners are done anew: that is as quick as looking for them. */
const WORTH_REMEMBERING = 400;
/** A machine's plan asks for about six such clippings; several beds may be planned by turns. */
const REMEMBERED = 48;

const clippings = new Remembered<Question, Region>(
  REMEMBERED,
  (a, b) => a.kind === b.kind && sameLists(a.paths, b.paths, (p, q) => sameLists(p, q, samePath)),
);

/** The region that `clip` makes of the paths. Nothing but `kind` and the paths may decide what it makes. */
export function clipped(kind: string, paths: readonly Paths64[], clip: () => Paths64): Region {
  let corners = 0;
  for (const list of paths) for (const path of list) corners += path.length;
  if (corners < WORTH_REMEMBERING) return regionFromPaths(clip());
  return clippings.answer({ kind, paths }, () => regionFromPaths(clip()));
}

function sameLists<T>(a: readonly T[], b: readonly T[], same: (x: T, y: T) => boolean): boolean {
  return a.length === b.length && a.every((x, i) => same(x, b[i] as T));
}

function samePath(a: Path64, b: Path64): boolean {
  if (a.length !== b.length) return false;
  for (let i = 0; i < a.length; i++) {
    const p = a[i]!;
    const q = b[i]!;
    if (p.x !== q.x || p.y !== q.y) return false;
  }
  return true;
}
