import type { Point } from '@bedledger/geometry';
import type { Fact, Ledger } from '../model/ledger.ts';
import type { FactWritten, LedgerWritten } from '../written/ledger.ts';
import type { WrittenQuantity } from '../written/quantity.ts';
import { type Reader, readerFor } from './lengths.ts';

type Reading = WrittenQuantity | { at: [WrittenQuantity, WrittenQuantity]; value: WrittenQuantity };

function readings(list: readonly Reading[], read: Reader) {
  const thickness: number[] = [];
  const places: (Point | null)[] = [];
  for (const r of list) {
    thickness.push(read.length(typeof r === 'object' ? r.value : r));
    places.push(typeof r === 'object' ? read.point(r.at) : null);
  }
  return { thickness, ...(places.some((p) => p !== null) ? { places } : {}) };
}

function fixedBy(
  f: { screw_length?: WrittenQuantity | undefined; pocket_floor?: WrittenQuantity | undefined },
  read: Reader,
) {
  return {
    ...(f.screw_length === undefined ? {} : { screwLength: read.length(f.screw_length) }),
    ...(f.pocket_floor === undefined ? {} : { pocketFloor: read.length(f.pocket_floor) }),
  };
}

/** One written fact in millimetres and pascals. */
export function normaliseFact(f: FactWritten, read: Reader): Fact {
  switch (f.fact) {
    case 'mark':
      return { fact: 'mark', date: f.date, site: f.site, at: read.point(f.at) };
    case 'bore':
      return {
        fact: 'bore',
        date: f.date,
        site: f.site,
        at: read.point(f.at),
        diameter: read.length(f.diameter),
        depth: read.length(f.depth),
      };
    case 'insert':
      return { fact: 'insert', date: f.date, site: f.site, at: read.point(f.at), insert: f.insert };
    case 'board':
      return {
        fact: 'board',
        date: f.date,
        stock: f.stock,
        ...readings(f.thickness, read),
        skimmed: f.skimmed,
        pocketed: f.pocketed,
        ...fixedBy(f, read),
      };
    case 'skim':
      return {
        fact: 'skim',
        date: f.date,
        commanded: read.length(f.commanded),
        ...readings(f.thickness, read),
        ...(f.heights === undefined ? {} : { heights: f.heights }),
      };
    case 'pocket':
      return { fact: 'pocket', date: f.date, ...fixedBy(f, read) };
    case 'vacuum':
      return {
        fact: 'vacuum',
        date: f.date,
        ...(f.zone === undefined ? {} : { zone: f.zone }),
        covered: read.of('pressure', f.covered),
        ...(f.uncovered === undefined ? {} : { uncovered: read.of('pressure', f.uncovered) }),
      };
    case 'datum':
      return { fact: 'datum', date: f.date, mark: read.point(f.mark), second: read.point(f.second) };
    case 'fill':
    case 'heights':
    case 'moisture':
    case 'survey':
    case 'time':
    case 'note':
      return f;
  }
}

export function normaliseLedger(written: LedgerWritten): Ledger {
  const read = readerFor(written.units);
  return { facts: written.facts.map((f) => normaliseFact(f, read)) };
}
