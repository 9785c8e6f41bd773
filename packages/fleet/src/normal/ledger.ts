import type { Figure, InsertFigures, ScrewFigures } from '@bedledger/fasteners';
import type { Point } from '@bedledger/geometry';
import type { Fact, FactKind, FigureSource, Ledger, PocketFigures } from '../model/ledger.ts';
import type { FactWritten, LedgerWritten } from '../written/ledger.ts';
import type { WrittenQuantity } from '../written/quantity.ts';
import { type Reader, readerFor } from './lengths.ts';

type FactWrittenOf<K extends FactKind> = Extract<FactWritten, { fact: K }>;

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

type WrittenFigure = WrittenQuantity | { value: WrittenQuantity; within: WrittenQuantity };

function figure(written: WrittenFigure, read: Reader): Figure {
  return typeof written === 'object'
    ? { value: read.length(written.value), uncertainty: read.length(written.within) }
    : { value: read.length(written), uncertainty: 0 };
}

function pocketFigures(f: FactWrittenOf<'board' | 'pocket'>, read: Reader): PocketFigures {
  const length = <K extends string>(key: K, value: WrittenQuantity | undefined) =>
    (value === undefined ? {} : { [key]: read.length(value) }) as { readonly [P in K]?: number };
  return {
    ...length('screwLength', f.screw_length),
    ...length('pocketFloor', f.pocket_floor),
    ...(f.floors && { floors: bySite(f.floors, read) }),
    ...(f.floor_from && { floorFrom: f.floor_from }),
    ...length('pocketDiameter', f.pocket_diameter),
    ...length('holeDiameter', f.hole_diameter),
    ...(f.pockets && { pockets: bySite(f.pockets, read) }),
    ...(f.holes && { holes: bySite(f.holes, read) }),
    ...(f.held && { held: f.held }),
  };
}

function bySite(
  written: Readonly<Record<string, WrittenQuantity>>,
  read: Reader,
): Readonly<Record<string, number>> {
  return Object.fromEntries(Object.entries(written).map(([site, d]) => [site, read.length(d)]));
}

function screwFigures(f: FactWrittenOf<'screws'>, read: Reader): ScrewFigures {
  const { head, washer, breaking } = f;
  return {
    fixing: f.fixing,
    thread: f.thread,
    length: read.length(f.length),
    material: f.material,
    head: {
      form: head.form,
      height: figure(head.height, read),
      diameter: figure(head.diameter, read),
      bearing: figure(head.bearing, read),
      ...(head.angle !== undefined && { angle: head.angle }),
    },
    drive: { kind: f.drive.kind, size: read.length(f.drive.size) },
    tensileStrength: read.of('stress', f.tensile),
    shearStrength: read.of('stress', f.shear),
    ...(breaking && {
      breaking: {
        load: read.of('force', breaking.load),
        ...(breaking.torque !== undefined && { torque: breaking.torque }),
      },
    }),
    washer: washer
      ? {
          inside: figure(washer.inside, read),
          outside: figure(washer.outside, read),
          thickness: figure(washer.thickness, read),
          cup: washer.cup === true,
        }
      : null,
    socket: figure(f.socket, read),
  };
}

function insertFigures(f: NonNullable<FactWrittenOf<'insert'>['figures']>, read: Reader): InsertFigures {
  return {
    thread: f.thread,
    outside: figure(f.outside, read),
    length: figure(f.length, read),
    taper: f.taper ?? 0,
    material: f.material,
    through: f.through,
    shearStrength: read.of('stress', f.shear),
  };
}

function atFrom(f: { readonly at_from?: FigureSource | undefined }) {
  return f.at_from ? { atFrom: f.at_from } : {};
}

function sitesOf(f: { readonly sites?: readonly string[] | undefined }) {
  return f.sites ? { sites: f.sites } : {};
}

/** One written fact in millimetres and pascals. */
export function normaliseFact(f: FactWritten, read: Reader): Fact {
  switch (f.fact) {
    case 'mark':
      return { fact: 'mark', date: f.date, site: f.site, at: read.point(f.at), ...atFrom(f) };
    case 'bore':
      return {
        fact: 'bore',
        date: f.date,
        site: f.site,
        at: read.point(f.at),
        ...atFrom(f),
        diameter: read.length(f.diameter),
        depth: read.length(f.depth),
        ...(f.depth_from && { depthFrom: f.depth_from }),
      };
    case 'insert':
      return {
        fact: 'insert',
        date: f.date,
        site: f.site,
        at: read.point(f.at),
        ...atFrom(f),
        insert: f.insert,
        ...(f.figures && { figures: insertFigures(f.figures, read) }),
      };
    case 'board':
      return {
        fact: 'board',
        date: f.date,
        stock: f.stock,
        ...readings(f.thickness, read),
        skimmed: f.skimmed,
        pocketed: f.pocketed,
        ...pocketFigures(f, read),
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
      return { fact: 'pocket', date: f.date, ...sitesOf(f), ...pocketFigures(f, read) };
    case 'screws':
      return { fact: 'screws', date: f.date, how: f.how, ...sitesOf(f), ...screwFigures(f, read) };
    case 'vouch':
      return { ...f, deviation: read.length(f.deviation) };
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
    case 'withdraw':
    case 'note':
      return f;
  }
}

export function normaliseLedger(written: LedgerWritten): Ledger {
  const read = readerFor(written.units);
  return { facts: written.facts.map((f) => normaliseFact(f, read)) };
}
