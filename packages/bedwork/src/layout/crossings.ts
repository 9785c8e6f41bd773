import { distance, type Point } from '@bedledger/geometry';
import type { Lands } from '../lands/lands.ts';
import { SLACK } from '../lands/needs.ts';

/** Where the site of a crossing of row and column stands. */
export interface Crossing {
  readonly row: number;
  readonly column: number;
  /** Crossing of the lines, nominal frame. */
  readonly at: Point;
  /** Place on land, nominal frame; null when no land is near enough that keeps its distance from the other sites. */
  readonly place: Point | null;
  /** Distance from the crossing to the nearest land, mm. */
  readonly off: number;
}

interface Choice {
  readonly row: number;
  readonly column: number;
  readonly at: Point;
  readonly off: number;
  /** Places on land within the nudge limit, nearest first; one at the crossing itself where that is land. */
  readonly places: readonly Point[];
  taken: number;
}

/** Rounds of moving one of two sites that are too near to each other. */
const ROUNDS = 60;

/**
 * Puts every crossing on land: itself where it is on one, else the nearest piece of land within the nudge limit. The
 * choices are made jointly: where two sites would stand nearer to each other than they may, one of them takes another
 * piece of land, the one that costs the least extra nudge.
 * @param apart least distance between two sites, mm
 */
export function placeCrossings(
  lands: Lands,
  rows: readonly number[],
  columns: readonly number[],
  nudgeMax: number,
  apart: number,
): Crossing[] {
  const choices: Choice[] = [];
  for (const [row, y] of rows.entries()) {
    for (const [column, x] of columns.entries()) choices.push(choiceOf(lands, row, column, [x, y], nudgeMax));
  }
  keepApart(choices, apart);
  return choices.map((c) => ({
    row: c.row,
    column: c.column,
    at: c.at,
    off: c.off,
    place: c.taken < 0 ? null : (c.places[c.taken] as Point),
  }));
}

function choiceOf(lands: Lands, row: number, column: number, at: Point, nudgeMax: number): Choice {
  if (lands.scan.holds(at)) return { row, column, at, off: 0, places: [at], taken: 0 };
  const near = lands.nearestLand(at);
  const off = near ? distance(near, at) : Number.POSITIVE_INFINITY;
  if (near && off < SLACK / 4) return { row, column, at, off, places: [at], taken: 0 };
  const places = off > nudgeMax ? [] : lands.landsWithin(at, nudgeMax);
  return { row, column, at, off, places, taken: places.length > 0 ? 0 : -1 };
}

function placeOf(c: Choice): Point | null {
  return c.taken < 0 ? null : (c.places[c.taken] as Point);
}

function keepApart(choices: readonly Choice[], apart: number): void {
  const tooNear = (p: Point, c: Choice): Choice | undefined =>
    choices.find((o) => {
      const q = placeOf(o);
      return o !== c && q !== null && distance(p, q) < apart;
    });
  for (let round = 0; round < ROUNDS; round++) {
    let pair: readonly [Choice, Choice] | null = null;
    for (const c of choices) {
      const p = placeOf(c);
      const other = p && tooNear(p, c);
      if (other) {
        pair = [c, other];
        break;
      }
    }
    if (pair === null) return;
    let best: { readonly c: Choice; readonly k: number; readonly extra: number } | null = null;
    for (const c of pair) {
      for (const [k, p] of c.places.entries()) {
        if (k === c.taken || tooNear(p, c)) continue;
        const extra = distance(p, c.at) - distance(placeOf(c) as Point, c.at);
        if (best === null || extra < best.extra) best = { c, k, extra };
      }
    }
    if (best) best.c.taken = best.k;
    // Neither can go anywhere else: the one that had to leave its crossing gives way.
    else {
      const [a, b] = pair;
      const far = distance(placeOf(b) as Point, b.at) > distance(placeOf(a) as Point, a.at) ? b : a;
      far.taken = -1;
    }
  }
}
