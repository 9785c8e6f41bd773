import { type Program, type Word, wordValue } from './program-text.ts';

export interface Place {
  readonly x: number;
  readonly y: number;
  readonly z: number;
}

/** What a line does, by the words in force: enough to choose where an operator applies. Program units. */
export interface LineFacts {
  /** 0, 1, 2, 3 or a cycle's number; −1 before the first. */
  readonly motion: number;
  readonly moves: boolean;
  readonly before: Place;
  readonly after: Place;
  readonly feed: number;
  readonly spindleOn: boolean;
  /** Number of the section comment it stands under. */
  readonly section: number;
  readonly started: boolean;
}

export function has(words: readonly Word[], letter: string, value?: number): Word | undefined {
  return words.find((w) => w.letter === letter && (value === undefined || Number(w.text) === value));
}

export function lineFacts(p: Program): LineFacts[] {
  const c = p.controller;
  const incremental = c.distance === 'incremental';
  let motion = -1;
  let at: Place = { x: Number.NaN, y: Number.NaN, z: Number.NaN };
  let feed = Number.NaN;
  let spindleOn = false;
  let section = 0;
  let started = false;
  return p.lines.map((line) => {
    const { words } = line;
    if (line.comment) section++;
    for (const w of words) {
      if (w.letter === 'G') {
        const g = Number(w.text);
        if ([0, 1, 2, 3, 81, 82, 83].includes(g)) motion = g;
        if (g === 80) motion = 0;
      }
      if (w.letter === 'M' && Number(w.text) === 3) spindleOn = true;
      if (w.letter === 'M' && Number(w.text) === 5) spindleOn = false;
      if (w.letter === 'F') feed = wordValue(w, c);
    }
    const dwell = has(words, 'G', 4) !== undefined;
    const axes = words.filter((w) => 'XYZ'.includes(w.letter));
    const moves = axes.length > 0 && !dwell;
    const before = at;
    if (moves) {
      const next = { ...at };
      for (const w of axes) {
        const key = w.letter.toLowerCase() as 'x' | 'y' | 'z';
        const v = wordValue(w, c);
        next[key] = incremental && !Number.isNaN(at[key]) ? at[key] + v : v;
      }
      if (motion > 3) next.z = before.z;
      at = next;
      started = true;
    }
    return { motion, moves, before, after: at, feed, spindleOn, section, started };
  });
}
