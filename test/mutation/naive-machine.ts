import type { Controller } from '@bedledger/fleet';
import { type Word, wordsOf, wordValue } from './program-text.ts';

/**
 * A second, simple machine for judging whether a changed program does the same: it believes every word, in the plainest
 * reading of the standards, finds no faults and shares nothing with the product's reader or simulation.
 */
export interface NaiveMove {
  readonly rapid: boolean;
  /** Corners of the path, program millimetres, start first. */
  readonly points: readonly (readonly [number, number, number])[];
  readonly feed: number;
  readonly rpm: number;
}

export interface NaiveRun {
  readonly moves: readonly NaiveMove[];
  /** Everything that is not a motion, in order, with the number of motions before it. */
  readonly events: readonly string[];
  readonly header: readonly string[];
  /** False when the text has something that this machine cannot even guess at. */
  readonly plain: boolean;
}

export function naiveRun(text: string, c: Controller): NaiveRun {
  let scale = c.units === 'in' ? 25.4 : 1;
  let absolute = c.distance === 'absolute';
  let motion = -1;
  let feed = 0;
  let speed = 0;
  let turn = 0;
  let at: [number, number, number] = [Number.NaN, Number.NaN, Number.NaN];
  let retract: 'start' | 'r' = 'start';
  let cycle: { z: number; r: number; q: number } | null = null;
  let quadrants = c.arcs.quadrants;
  let plain = true;
  const lengths = c.toolLength === 'G43';
  const moves: NaiveMove[] = [];
  const events: string[] = [];
  const header: string[] = [];
  const go = (rapid: boolean, to: [number, number, number], via?: [number, number, number][]): void => {
    const same = to.every((v, k) => v === at[k] || (Number.isNaN(v) && Number.isNaN(at[k]!)));
    if (!same || via)
      moves.push({ rapid, points: [at, ...(via ?? []), to], feed: feed * scale, rpm: turn * speed });
    at = to;
  };

  for (const line of text.split(/\r\n|\n|\r/)) {
    for (const comment of line.match(/\([^)]*\)|;.*/g) ?? []) {
      const inner = comment.replace(/^[(;]\s*|\)$/g, '');
      if (/^[A-Z][A-Z ]*(:| =)/.test(inner) && !/LINES/.test(inner)) header.push(inner.trim());
    }
    const words = wordsOf(line);
    const get = (letter: string): Word | undefined => words.find((w) => w.letter === letter);
    const num = (letter: string): number | null => {
      const w = get(letter);
      return w ? wordValue(w, c) : null;
    };
    const unread = lengths ? 'ABCDEUVWL' : 'ABCDEUVWLH';
    if (words.some((w) => w.text === '' || Number.isNaN(Number(w.text)) || unread.includes(w.letter)))
      plain = false;
    const gs = words.filter((w) => w.letter === 'G').map((w) => Number(w.text));
    const ms = words.filter((w) => w.letter === 'M').map((w) => Number(w.text));
    const dwell = gs.includes(4);
    if (get('S') && !(dwell && c.dwell.word === 'S')) speed = num('S')!;
    if (get('F') && !(dwell && c.dwell.word === 'F')) feed = num('F')!;
    if (get('T')) events.push(`${moves.length} T${num('T')}`);
    for (const m of ms) {
      if (m === 3) turn = 1;
      if (m === 4) turn = -1;
      if (m === 5 || m === 6) turn = 0;
      // an output is told by its number as well
      const which = m >= 62 && get('P') ? ` P${num('P')}` : '';
      if (m !== 3 && m !== 4 && m !== 5) events.push(`${moves.length} M${m}${which}`);
      else events.push(`${moves.length} spindle ${turn * speed}`);
    }
    for (const g of gs) {
      if (g === 20 || g === 70) scale = 25.4;
      else if (g === 21 || g === 71) scale = 1;
      else if (g === 90) absolute = true;
      else if (g === 91) absolute = false;
      else if (g === 98) retract = 'start';
      else if (g === 99) retract = 'r';
      else if (g === 74) quadrants = 'single';
      else if (g === 75) quadrants = 'multi';
      else if ([0, 1, 2, 3, 81, 82, 83].includes(g)) {
        motion = g;
        if (g < 80) cycle = null;
      } else if (g === 80) {
        motion = -1;
        cycle = null;
      } else if (g >= 55 && g <= 59) events.push(`${moves.length} G${g}`);
      else if (g === 43 || (g === 49 && lengths)) events.push(`${moves.length} G${g} ${num('H') ?? ''}`);
      else if (g === 28 || g === 30 || g === 53) {
        // where the machine's own places are is not in the text
        const own = ['X', 'Y', 'Z'].map((letter) => num(letter) ?? '-').join(' ');
        events.push(`${moves.length} G${g} ${own}`);
      } else if (![4, 17, 40, 49, 54, 64, 61, 94, 75].includes(g)) events.push(`${moves.length} G${g}`);
    }
    if (gs.some((g) => g === 28 || g === 30 || g === 53)) {
      const all = gs.some((g) => g === 28 || g === 30);
      at = [
        get('X') || all ? Number.NaN : at[0],
        get('Y') || all ? Number.NaN : at[1],
        get('Z') || all ? Number.NaN : at[2],
      ];
      continue;
    }
    if (dwell) {
      events.push(`${moves.length} dwell ${num(c.dwell.word) ?? 0}`);
      continue;
    }
    const axis = (letter: 'X' | 'Y' | 'Z', k: number): number => {
      const v = num(letter);
      if (v === null) return at[k]!;
      const s = k === 2 ? c.zSign : 1;
      return absolute ? v * scale * s : at[k]! + v * scale * s;
    };
    if (!get('X') && !get('Y') && !get('Z')) continue;
    if (motion === 0 || motion === 1) go(motion === 0, [axis('X', 0), axis('Y', 1), axis('Z', 2)]);
    else if (motion === 2 || motion === 3) {
      const to: [number, number, number] = [axis('X', 0), axis('Y', 1), axis('Z', 2)];
      const clockwise = motion === 2;
      let i = (num('I') ?? 0) * scale;
      let j = (num('J') ?? 0) * scale;
      let cx: number;
      let cy: number;
      const r = num('R');
      if (r !== null && !get('I') && !get('J')) {
        const dx = to[0] - at[0];
        const dy = to[1] - at[1];
        const d = Math.sqrt(dx * dx + dy * dy);
        const h = Math.sqrt(Math.max(0, r * scale * r * scale - (d * d) / 4));
        const side = (clockwise ? -1 : 1) * (r < 0 ? -1 : 1);
        cx = at[0] + dx / 2 - (side * h * dy) / d;
        cy = at[1] + dy / 2 + (side * h * dx) / d;
      } else if (c.arcs.form === 'centre-absolute') {
        cx = get('I') ? i : at[0];
        cy = get('J') ? j : at[1];
      } else {
        if (quadrants === 'single') {
          // unsigned: the signs that make start and end radius agree
          let best = Infinity;
          const [ai, aj] = [Math.abs(i), Math.abs(j)];
          for (const si of [1, -1]) {
            for (const sj of [1, -1]) {
              const ex = to[0] - at[0] - si * ai;
              const ey = to[1] - at[1] - sj * aj;
              const a0 = Math.atan2(-sj * aj, -si * ai);
              let sweep = Math.atan2(ey, ex) - a0;
              while (clockwise ? sweep > 1e-9 : sweep < -1e-9)
                sweep += clockwise ? -2 * Math.PI : 2 * Math.PI;
              const off =
                Math.abs(Math.sqrt(ex * ex + ey * ey) - Math.sqrt(ai * ai + aj * aj)) +
                (Math.abs(sweep) > Math.PI / 2 + 1e-3 ? 100 : 0);
              if (off < best) {
                best = off;
                i = si * ai;
                j = sj * aj;
              }
            }
          }
        }
        cx = at[0] + i;
        cy = at[1] + j;
      }
      const a0 = Math.atan2(at[1] - cy, at[0] - cx);
      let sweep = Math.atan2(to[1] - cy, to[0] - cx) - a0;
      if (clockwise) while (sweep >= -1e-9) sweep -= 2 * Math.PI;
      else while (sweep <= 1e-9) sweep += 2 * Math.PI;
      if (quadrants === 'single' && Math.abs(sweep) > 2 * Math.PI - 1e-6) sweep = 0;
      const radius = Math.sqrt((at[0] - cx) * (at[0] - cx) + (at[1] - cy) * (at[1] - cy));
      const steps = Math.max(2, Math.min(720, Math.ceil((Math.abs(sweep) * 180) / Math.PI / 3)));
      const via: [number, number, number][] = [];
      for (let k = 1; k < steps; k++) {
        const a = a0 + (sweep * k) / steps;
        via.push([
          cx + radius * Math.cos(a),
          cy + radius * Math.sin(a),
          at[2] + ((to[2] - at[2]) * k) / steps,
        ]);
      }
      go(false, to, via);
    } else if (motion >= 81) {
      const start = at[2];
      const sticky: { z: number; r: number; q: number } = cycle ?? { z: Number.NaN, r: Number.NaN, q: 0 };
      const s = scale * c.zSign;
      if (get('R')) sticky.r = absolute ? num('R')! * s : start + num('R')! * s;
      if (get('Z')) sticky.z = absolute ? num('Z')! * s : sticky.r + num('Z')! * s;
      if (get('Q')) sticky.q = num('Q')! * scale;
      cycle = sticky;
      const x = axis('X', 0);
      const y = axis('Y', 1);
      const clear = retract === 'start' ? Math.max(start, sticky.r) : sticky.r;
      go(true, [x, y, at[2]]);
      go(true, [x, y, sticky.r]);
      events.push(`${moves.length} cycle ${motion} ${num('P') ?? ''}`);
      if (motion === 83 && sticky.q > 0) {
        let z = sticky.r;
        for (let peck = 0; peck < 5000 && z > sticky.z + 1e-9; peck++) {
          const next = Math.max(sticky.z, z - sticky.q);
          go(false, [x, y, next]);
          if (next > sticky.z + 1e-9) {
            go(true, [x, y, clear]);
            go(true, [x, y, next]);
          }
          z = next;
        }
      } else go(false, [x, y, sticky.z]);
      go(true, [x, y, clear]);
    } else plain = false;
    if (ms.includes(2) || ms.includes(30)) break;
  }
  return { moves, events, header, plain };
}
