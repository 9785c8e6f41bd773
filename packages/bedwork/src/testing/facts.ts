import { type Fixing, screwFigures } from '@bedledger/fasteners';
import type { Fact, FactOf } from '@bedledger/fleet';
import type { Layout } from '../layout/model.ts';
import { m6Fixing } from './records.ts';

/** Facts of a bed's life, made by hand. */
export const bores = (layout: Layout, date: string, diameter = 9.92, depth = 15.5): Fact[] =>
  layout.sites.map((s) => ({ fact: 'bore', date, site: s.id, at: s.actual, diameter, depth }));

export const inserts = (layout: Layout, date: string): Fact[] =>
  layout.sites.map((s) => ({ fact: 'insert', date, site: s.id, at: s.actual, insert: 'bush' }));

export const board = (
  date: string,
  thickness: readonly number[],
  pocketed = false,
  skimmed: 'none' | 'underside' = 'underside',
): Fact => ({
  fact: 'board',
  date,
  stock: 'mdf-18',
  thickness,
  skimmed,
  pocketed,
  ...(pocketed && POCKETED),
});

/** Pockets as a house with a web of 5 mm and a reading good to 0.05 mm cuts them. */
const POCKETED = { screwLength: 16, pocketFloor: 5.05 };

export const pocket = (date: string, floor = POCKETED.pocketFloor): Fact => ({
  fact: 'pocket',
  date,
  ...POCKETED,
  pocketFloor: floor,
});

/** Every screw of the board, driven or swapped. */
export const screws = (
  date: string,
  fixing: Fixing = m6Fixing(),
  length = 16,
  how: FactOf<'screws'>['how'] = 'driven',
): Fact => ({ fact: 'screws', date, how, ...screwFigures(fixing, length) });

export const skim = (date: string, commanded: number, thickness: readonly number[]): Fact => ({
  fact: 'skim',
  date,
  commanded,
  thickness,
});
