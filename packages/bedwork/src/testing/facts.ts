import type { Fact } from '@bedledger/fleet';
import type { Layout } from '../layout/model.ts';

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
});

export const skim = (date: string, commanded: number, thickness: readonly number[]): Fact => ({
  fact: 'skim',
  date,
  commanded,
  thickness,
});
