import { distance, heightMisses, type Point } from '@bedledger/geometry';
import type { BoardState } from '../model/ledger.ts';
import type { MachineRecord } from '../model/record.ts';
import { currentHeights } from './current-map.ts';

/**
 * What a height map is worth: which of its readings may not decide a depth, and which places of the board it says nothing of.
 * Facts alone, so that whoever plans a skim and whoever judges it start from the same.
 */

export type Reading = readonly [x: number, y: number, z: number];

/** A reading that something contradicts. */
export interface OddHeight {
  /** Index in the map. */
  readonly index: number;
  readonly reading: Reading;
  /** Above (positive) what its neighbours say of its place, or what the ledger has, mm. */
  readonly by: number;
  readonly against: 'neighbours' | 'ledger';
}

/** A reading this far from what its neighbours say is looked at, however much the others scatter, mm (ours). */
const LEAST_ODD = 0.3;
/** And this many times the scatter of all (1.4826 × median of the misses: normal readings scatter so). */
const TIMES = 6;
/** A second reading this near that agrees this well confirms one, mm: a gouge is not wider than a hand. */
const BESIDE = 30;
const AGREES = 0.2;
/** A place that lies this far from every thickness on record is a slip more often than a bow, mm (ours). */
const FAR_FROM_LEDGER = 1.5;
/** Slips are looked for one by one, up to this share of the map and this many: more of them are a map of another board. */
const MOST_SLIPS = 0.1;
const MOST_NAMED = 20;

/**
 * The readings that neighbours or ledger contradict, in the order of the map. A reading that a second one beside it confirms
 * is none; neither is one that has too few neighbours, as long as the ledger does not contradict it.
 */
export function oddHeights(points: readonly Reading[], board: BoardState | null): OddHeight[] {
  const found = new Map<number, OddHeight>();
  if (board !== null) {
    for (const [index, reading] of points.entries()) {
      const by = beyond(reading[2], board);
      if (by !== 0) found.set(index, { index, reading, by, against: 'ledger' });
    }
  }
  const confirmed = confirmedReadings(points);
  const most = Math.min(MOST_NAMED, Math.max(1, Math.floor(MOST_SLIPS * points.length)));
  for (let round = 0; round < most; round++) {
    const misses = heightMisses(points, new Set(found.keys()));
    const sizes = misses
      .flatMap((miss, i) => (miss === null || found.has(i) ? [] : [Math.abs(miss)]))
      .sort(ascending);
    const allowed = Math.max(LEAST_ODD, TIMES * 1.4826 * (sizes[Math.floor(sizes.length / 2)] ?? 0));
    let worst = -1;
    misses.forEach((miss, i) => {
      if (miss === null || found.has(i) || confirmed.has(i) || Math.abs(miss) <= allowed) return;
      if (worst < 0 || Math.abs(miss) > Math.abs(misses[worst]!)) worst = i;
    });
    if (worst < 0) break;
    found.set(worst, { index: worst, reading: points[worst]!, by: misses[worst]!, against: 'neighbours' });
  }
  return [...found.values()].sort((a, b) => a.index - b.index);
}

/** How far a height lies outside what the ledger makes likely; 0 within. */
function beyond(z: number, board: BoardState): number {
  if (z > board.thickness + FAR_FROM_LEDGER) return z - board.thickness;
  if (z < board.thinnest - FAR_FROM_LEDGER) return z - board.thinnest;
  return 0;
}

function ascending(a: number, b: number): number {
  return a - b;
}

/** Readings beside which another one says the same. */
function confirmedReadings(points: readonly Reading[]): Set<number> {
  const order = points.map((_, i) => i).sort((i, k) => points[i]![0] - points[k]![0] || i - k);
  const confirmed = new Set<number>();
  order.forEach((i, at) => {
    const [x, y, z] = points[i]!;
    for (const k of order.slice(at + 1)) {
      const [u, v, w] = points[k]!;
      if (u - x > BESIDE) break;
      if (Math.abs(w - z) > AGREES || distance([x, y], [u, v]) > BESIDE) continue;
      confirmed.add(i);
      confirmed.add(k);
    }
  });
  return confirmed;
}

/** A reading speaks for the board this far around it, mm (ours: a bow of half a millimetre in a metre rises 0.03 mm there). */
const SPEAKS_FOR = 254;
/** Places of the board are asked about on a lattice of this many in its longer direction. */
const LATTICE = 48;

/** What a map does not say. */
export interface UnknownBoard {
  /** Share of the board's area farther than a reading speaks for; 0: the map knows it all. */
  readonly share: number;
  /** Farthest that a place of the board lies from every reading, mm. */
  readonly farthest: number;
  /** Places of that share, mm. */
  readonly places: readonly Point[];
}

/** The places of a board that no reading speaks for, on a lattice with the board's edges in it. */
export function unknownBoard(
  points: readonly Reading[],
  { at, size }: { readonly at: Point; readonly size: Point },
): UnknownBoard {
  const step = Math.max(size[0], size[1]) / LATTICE;
  const [nx, ny] = size.map((s) => Math.max(1, Math.ceil(s / step))) as [number, number];
  const near = nearestReading(points);
  const places: Point[] = [];
  let farthest = 0;
  for (let j = 0; j <= ny; j++) {
    for (let i = 0; i <= nx; i++) {
      const place: Point = [at[0] + (size[0] * i) / nx, at[1] + (size[1] * j) / ny];
      const away = near(place);
      farthest = Math.max(farthest, away);
      if (away > SPEAKS_FOR) places.push(place);
    }
  }
  return { share: places.length / ((nx + 1) * (ny + 1)), farthest, places };
}

/** Distance of a place to the nearest reading: exact within what a reading speaks for, and by all of them beyond. */
function nearestReading(points: readonly Reading[]): (p: Point) => number {
  const cells = new Map<string, Point[]>();
  const cell = (v: number): number => Math.floor(v / SPEAKS_FOR);
  for (const [x, y] of points) {
    const key = `${cell(x)} ${cell(y)}`;
    const there = cells.get(key);
    if (there === undefined) cells.set(key, [[x, y]]);
    else there.push([x, y]);
  }
  return (p) => {
    let least = Infinity;
    for (let i = -1; i <= 1; i++) {
      for (let j = -1; j <= 1; j++) {
        for (const q of cells.get(`${cell(p[0]) + i} ${cell(p[1]) + j}`) ?? [])
          least = Math.min(least, distance(p, q));
      }
    }
    if (least <= SPEAKS_FOR) return least;
    return points.reduce((nearest, [x, y]) => Math.min(nearest, distance(p, [x, y])), Infinity);
  };
}

/** The thicknesses written down last (board fitted or skim), mm; empty without a board. */
export function lastThicknesses({ ledger }: Pick<MachineRecord, 'ledger'>): readonly number[] {
  const last = ledger.facts.findLast((f) => f.fact === 'board' || f.fact === 'skim');
  return last?.thickness ?? [];
}

/**
 * How high the board may stand, place by place: the readings of the current map, and where it says nothing the thickest
 * that was last measured by caliper. Without a map, that thickness everywhere. Empty without a board.
 */
export function possibleTops(record: MachineRecord): readonly Reading[] {
  const { machine, heights, state } = record;
  if (state.board === null) return [];
  const thickest = Math.max(state.board.thickness, ...lastThicknesses(record));
  const map = currentHeights(heights, state);
  const points = map?.points ?? [];
  const { places } = unknownBoard(points, machine.board);
  return [...points, ...places.map(([x, y]): Reading => [x, y, thickest])];
}
