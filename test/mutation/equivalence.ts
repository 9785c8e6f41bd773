import type { Controller } from '@bedledger/fleet';
import { type NaiveMove, type NaiveRun, naiveRun } from './naive-machine.ts';

export interface Equivalence {
  readonly equivalent: boolean;
  readonly why: string;
}

const key = (v: number): string => (Number.isNaN(v) ? '?' : (Math.round(v * 1e4) / 1e4 + 0).toString());
const place = (p: readonly number[]): string => p.map(key).join(' ');

/** A motion as a string: two runs with equal strings do the same. */
function said(m: NaiveMove): string {
  const middle = m.points[m.points.length >> 1]!;
  return `${m.rapid ? 'rapid' : `feed ${key(m.feed)}`} ${place(m.points[0]!)} ${place(middle)} ${place(m.points[m.points.length - 1]!)} at ${key(m.rpm)}`;
}

const lowest = (m: NaiveMove): number =>
  m.points.reduce(
    (z, p) => (p[2] < z || Number.isNaN(p[2]) ? (Number.isNaN(p[2]) ? -Infinity : p[2]) : z),
    Infinity,
  );

/** Places in the air at the clear height, and rapids below it, in order. */
function airAndRapids(run: NaiveRun, clear: number): { rapid: boolean; points: number[] }[] {
  const out: { rapid: boolean; points: number[] }[] = [];
  for (const m of run.moves) {
    const end = m.points[m.points.length - 1]!;
    if (lowest(m) >= clear - 1e-6) out.push({ rapid: false, points: [...end] });
    else if (m.rapid) {
      const start = m.points[0]!;
      // straight up it is the same rapid from wherever it starts
      const up = start[0] === end[0] && start[1] === end[1] && end[2] > start[2];
      out.push({ rapid: true, points: up ? [...end] : [...start, ...end] });
    }
  }
  return out.filter((one, k) => k === 0 || place(one.points) !== place(out[k - 1]!.points));
}

/** In the air a twentieth of a millimetre is nothing; below the clear height a rapid must be the same. */
function sameAir(a: ReturnType<typeof airAndRapids>, b: ReturnType<typeof airAndRapids>): boolean {
  if (a.length !== b.length) return false;
  return a.every((one, k) => {
    const other = b[k]!;
    if (one.rapid !== other.rapid) return false;
    return one.points.every((v, n) => {
      const w = other.points[n]!;
      return (
        (Number.isNaN(v) && Number.isNaN(w)) || Math.abs(v - w) <= (one.rapid && n % 3 === 2 ? 1e-4 : 0.051)
      );
    });
  });
}

/** Speeds and feeds in force in the material, one after another, and everything else that happens between motions. */
function stateTrace(run: NaiveRun, top: number): string[] {
  const states: string[] = [];
  for (const m of run.moves) {
    if (lowest(m) >= top || m.rapid) continue;
    const text = `feed ${key(m.feed)} rpm ${key(m.rpm)}`;
    if (states[states.length - 1] !== text) states.push(text);
  }
  // a spindle word that changes nothing is no event
  let rpm = 'unknown';
  let last = '';
  const events = run.events
    .map((e) => e.replace(/^\d+ /, ''))
    .filter((e) => {
      if (!e.startsWith('spindle ')) {
        // switching on what is on, or stating what is in force, again
        const again = /^(G|M[789]|M6[2-5] )/.test(e) && e === last;
        last = e;
        return !again;
      }
      const same = e === rpm;
      rpm = e;
      return !same;
    });
  return [...states, ...events];
}

/** Heights that the moves leave over a box, by testing every cell against every straight piece. */
function heights(
  moves: readonly NaiveMove[],
  box: number[],
  cell: number,
  radius: number,
  top: number,
): Float64Array {
  const [x0, y0, x1, y1] = box as [number, number, number, number];
  const nx = Math.max(1, Math.ceil((x1 - x0) / cell));
  const ny = Math.max(1, Math.ceil((y1 - y0) / cell));
  const z = new Float64Array(nx * ny).fill(top);
  for (const m of moves) {
    if (!(lowest(m) < top)) continue;
    for (let k = 1; k < m.points.length; k++) {
      const a = m.points[k - 1]!;
      const b = m.points[k]!;
      if ([...a, ...b].some(Number.isNaN)) continue;
      const i0 = Math.max(0, Math.floor((Math.min(a[0], b[0]) - radius - x0) / cell));
      const i1 = Math.min(nx - 1, Math.ceil((Math.max(a[0], b[0]) + radius - x0) / cell));
      const j0 = Math.max(0, Math.floor((Math.min(a[1], b[1]) - radius - y0) / cell));
      const j1 = Math.min(ny - 1, Math.ceil((Math.max(a[1], b[1]) + radius - y0) / cell));
      const dx = b[0] - a[0];
      const dy = b[1] - a[1];
      const l2 = dx * dx + dy * dy;
      for (let j = j0; j <= j1; j++) {
        for (let i = i0; i <= i1; i++) {
          const px = x0 + (i + 0.5) * cell - a[0];
          const py = y0 + (j + 0.5) * cell - a[1];
          const t = l2 === 0 ? (b[2] < a[2] ? 1 : 0) : Math.max(0, Math.min(1, (px * dx + py * dy) / l2));
          const ex = px - t * dx;
          const ey = py - t * dy;
          if (ex * ex + ey * ey > radius * radius) continue;
          const h = a[2] + t * (b[2] - a[2]);
          const at = j * nx + i;
          if (h < z[at]!) z[at] = h;
        }
      }
    }
  }
  return z;
}

/**
 * Does the changed text do the same? Motions, events and header first; else what is removed (a plain raster over the
 * places where motions differ), rapids, and the trace of feeds, speeds and events.
 */
export function compare(
  original: string,
  mutant: string,
  controller: Controller,
  cut: { top: number; clear: number; radius: number; within: readonly [number, number, number, number] },
): Equivalence {
  const a = naiveRun(original, controller);
  const b = naiveRun(mutant, controller);
  if (!b.plain) return { equivalent: false, why: 'words that no machine can guess at' };
  if (a.header.join('\n') !== b.header.join('\n'))
    return { equivalent: false, why: 'the header says something else' };
  const ma = a.moves.map(said);
  const mb = b.moves.map(said);
  const sameEvents = a.events.join('\n') === b.events.join('\n');
  if (sameEvents && ma.join('\n') === mb.join('\n'))
    return { equivalent: true, why: 'the same motions and events' };

  if (!sameAir(airAndRapids(a, cut.clear), airAndRapids(b, cut.clear))) {
    return { equivalent: false, why: 'other rapids' };
  }
  if (stateTrace(a, cut.top).join('\n') !== stateTrace(b, cut.top).join('\n')) {
    return { equivalent: false, why: 'other feeds, speeds or events' };
  }
  const inA = new Set(ma);
  const inB = new Set(mb);
  const different = [
    ...a.moves.filter((_m, k) => !inB.has(ma[k]!)),
    ...b.moves.filter((_m, k) => !inA.has(mb[k]!)),
  ].filter((m) => lowest(m) < cut.top);
  if (different.some((m) => m.points.some((p) => p.some(Number.isNaN))))
    return { equivalent: false, why: 'a cut from nowhere' };
  if (different.length === 0) return { equivalent: true, why: 'the same cuts, rapids and state' };
  const box = [Infinity, Infinity, -Infinity, -Infinity];
  for (const m of different) {
    for (const p of m.points) {
      box[0] = Math.min(box[0]!, p[0] - cut.radius - 0.5);
      box[1] = Math.min(box[1]!, p[1] - cut.radius - 0.5);
      box[2] = Math.max(box[2]!, p[0] + cut.radius + 0.5);
      box[3] = Math.max(box[3]!, p[1] + cut.radius + 0.5);
    }
  }
  // outside board or bed there is nothing to remove
  box[0] = Math.max(box[0]!, cut.within[0]);
  box[1] = Math.max(box[1]!, cut.within[1]);
  box[2] = Math.min(box[2]!, cut.within[2]);
  box[3] = Math.min(box[3]!, cut.within[3]);
  if (!(box[0]! < box[2]! && box[1]! < box[3]!))
    return { equivalent: true, why: 'only the air beside the work differs' };
  const area = (box[2]! - box[0]!) * (box[3]! - box[1]!);
  const cell = Math.max(0.1, Math.sqrt(area / 250000));
  const near = (m: NaiveMove): boolean =>
    m.points.some((p) => p[0] > box[0]! - 2000 && p[0] < box[2]! + 2000);
  const za = heights(a.moves.filter(near), box, cell, cut.radius, cut.top);
  const zb = heights(b.moves.filter(near), box, cell, cut.radius, cut.top);
  let differing = 0;
  for (let k = 0; k < za.length; k++) if (Math.abs(za[k]! - zb[k]!) > 0.003) differing++;
  // a hundredth of a millimetre moves a few cells of the rim, whose length goes with the root of the number of cells
  return differing <= Math.max(za.length * 0.001, 0.3 * Math.sqrt(za.length))
    ? { equivalent: true, why: 'the same material removed, the same rapids and state' }
    : { equivalent: false, why: `${differing} of ${za.length} cells cut differently` };
}
