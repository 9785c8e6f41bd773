import { MM_PER_INCH, type Units } from '@bedledger/diagnostics';
import type { FixingWritten } from '@bedledger/fasteners';
import type { BoardStock, Cutter, House } from '../model/shared.ts';
import type { FixingEntry, FixingsFile } from '../written/fixings.ts';
import { lengthUnits } from '../written/quantity.ts';
import type { BoardsFile, CuttersFile, HouseFile } from '../written/shared.ts';
import { type Reader, readerFor } from './lengths.ts';

/** Entries of a record in the order of their identifiers, so that nothing depends on how the file is sorted. */
function sorted<T>(record: Readonly<Record<string, T>>): [string, T][] {
  return Object.entries(record).sort(([a], [b]) => (a < b ? -1 : a > b ? 1 : 0));
}

export function normaliseCutters(file: CuttersFile): Map<string, Cutter> {
  const read = readerFor(file.units);
  return new Map(
    sorted(file.cutters).map(([id, c]) => [
      id,
      {
        id,
        title: c.title,
        kind: c.kind,
        diameter: read.length(c.diameter),
        cuttingLength: read.length(c.cutting_length),
        stickOut: c.stick_out === undefined ? null : read.length(c.stick_out),
        shankDiameter: read.length(c.shank_diameter),
        flutes: c.flutes,
        canPlunge: c.can_plunge,
        maxRpm: c.max_rpm ?? null,
        pointAngle: c.point_angle ?? 180,
        chipLoad: Object.fromEntries(
          sorted(c.chip_load).map(([material, load]) => [material, read.range(load)] as const),
        ),
        number: c.number,
      },
    ]),
  );
}

export function normaliseBoards(file: BoardsFile): Map<string, BoardStock> {
  const read = readerFor(file.units);
  return new Map(
    sorted(file.boards).map(([id, b]) => [
      id,
      {
        id,
        title: b.title,
        material: b.material,
        thickness: read.length(b.thickness),
        sheet: read.range(b.sheet),
        modulus: read.of('modulus', b.modulus),
        poisson: b.poisson,
        density: read.of('density', b.density),
        permeability: b.permeability === undefined ? null : read.of('permeability', b.permeability),
      },
    ]),
  );
}

/** Error of a Z zero set with a plate or with paper under the cutter, mm (common practice, no source). */
const Z_ZERO_ERROR = 0.1;
/** Scale that a machine with worn or badly set drives may be off by, parts per million (common practice, no source). */
const STRETCH_PPM = 2000;
/** Deviation from square that a frame may have, mm in a metre (common practice, no source). */
const SKEW_PER_METRE = 2;
/** Unevenness of a bed of laminate or plywood over its length, mm (common practice, no source). */
const BED_UNEVENNESS = 0.2;

/** A boxed set of drills, which every shop has: 1 to 13 mm by 0.5 mm, 1/16 to 1/2 in by 1/64 in (common practice, no source). */
const DRILL_SET: Readonly<Record<Units, readonly number[]>> = {
  mm: Array.from({ length: 25 }, (_, k) => 1 + k / 2),
  in: Array.from({ length: 29 }, (_, k) => ((k + 4) / 64) * MM_PER_INCH),
};

/** The house's drills by the units they are written in; the boxed set for units in which it names none. */
function drillsOf(written: HouseFile['drills'], read: Reader): House['drills'] {
  const kept: Record<Units, number[]> = { mm: [], in: [] };
  for (const size of written ?? []) kept[lengthUnits(size, read.units)].push(read.length(size));
  const sizesOf = (units: Units): readonly number[] =>
    kept[units].length > 0 ? [...new Set(kept[units])].sort((a, b) => a - b) : DRILL_SET[units];
  return { mm: sizesOf('mm'), in: sizesOf('in') };
}

export function normaliseHouse(file: HouseFile): House {
  const read = readerFor(file.units);
  const s = file.stack;
  return {
    stack: {
      webMin: read.length(s.web_min),
      coverMin: read.length(s.cover_min),
      safetyFactor: s.safety_factor,
      boardShear: read.of('stress', s.board_shear),
      pull: read.of('force', s.pull),
      pocketClearance: read.length(s.pocket_clearance),
      boreReserve: read.length(s.bore_reserve),
      adhesiveGap: read.length(s.adhesive_gap),
      adhesiveSpare: s.adhesive_spare,
      entryLoss: read.length(s.entry_loss),
      endGap: read.length(s.end_gap),
      moistureSwing: s.moisture_swing,
      growthPerPercent: s.growth_per_percent,
      bearingMin: read.length(s.bearing_min),
      skim: read.length(s.skim),
      refitSkin: read.length(s.refit_skin),
      ...(s.growth === undefined ? {} : { growth: s.growth }),
    },
    insertWall: file.insert_wall,
    landMargin: read.length(file.land_margin),
    lift: {
      pressure: read.of('pressure', file.lift.pressure),
      deflection: read.length(file.lift.deflection),
    },
    survey: {
      sigma: read.length(file.survey.sigma),
      limit: read.length(file.survey.limit),
      stretch: (file.survey.stretch ?? STRETCH_PPM) / 1e6,
      skew: (file.survey.skew ?? SKEW_PER_METRE) / 1000,
    },
    thicknessUncertainty: read.length(file.thickness_uncertainty),
    zZeroError: file.z_zero_error === undefined ? Z_ZERO_ERROR : read.length(file.z_zero_error),
    bedUnevenness: file.bed_unevenness === undefined ? BED_UNEVENNESS : read.length(file.bed_unevenness),
    drills: drillsOf(file.drills, read),
    feed: {
      plungeShare: file.feed.plunge_share,
      // degrees on paper, radians inside
      rampAngle: (read.of('angle', file.feed.ramp_angle) * Math.PI) / 180,
      powerShare: file.feed.power_share,
      specificForce: read.of('stress', file.feed.specific_force),
    },
    surfacing: { maxTilt: file.surfacing.max_tilt },
    handTime: Object.fromEntries(sorted(file.hand_time)),
    spares: file.spares,
    friction: file.friction,
    raise: Object.fromEntries(sorted(file.raise ?? {})),
  };
}

/** Copy with `undefined` left out, so that what was not written stays absent. */
function present<T extends object>(value: T): T {
  return Object.fromEntries(Object.entries(value).filter(([, v]) => v !== undefined)) as T;
}

function normaliseFixing(f: FixingEntry, read: Reader): FixingWritten {
  const mm = (value: number | string | undefined) => (value === undefined ? undefined : read.length(value));
  const degrees = (value: number | string | undefined) =>
    value === undefined ? undefined : read.of('angle', value);
  const stress = (value: number | string) => read.of('stress', value);
  const { screw, insert, washer, socket } = f;
  return present({
    title: f.title,
    thread: f.thread,
    screw: present({
      head: screw.head,
      material: screw.material,
      lengths: screw.lengths?.map(read.length),
      measured:
        screw.measured &&
        present({
          by: screw.measured.by,
          uncertainty: read.length(screw.measured.uncertainty),
          head_diameter: mm(screw.measured.head_diameter),
          head_height: mm(screw.measured.head_height),
        }),
      strength: screw.strength && {
        tensile: stress(screw.strength.tensile),
        shear: stress(screw.strength.shear),
        source: screw.strength.source,
      },
    }),
    insert: present({
      kind: insert.kind,
      size: insert.size,
      material: insert.material,
      outside: mm(insert.outside),
      length: mm(insert.length),
      taper: degrees(insert.taper),
      through: insert.through,
      measured:
        insert.measured &&
        present({
          by: insert.measured.by,
          uncertainty: read.length(insert.measured.uncertainty),
          outside: mm(insert.measured.outside),
          length: mm(insert.measured.length),
          taper: degrees(insert.measured.taper),
        }),
      strength: insert.strength && { shear: stress(insert.strength.shear), source: insert.strength.source },
    }),
    washer:
      typeof washer === 'object'
        ? present({
            inside: read.length(washer.inside),
            outside: read.length(washer.outside),
            thickness: read.length(washer.thickness),
            uncertainty: mm(washer.uncertainty),
            by: washer.by,
            cup: washer.cup,
          })
        : washer,
    socket: present({
      size: mm(socket.size),
      kind: socket.kind,
      outside: mm(socket.outside),
      measured: socket.measured && {
        by: socket.measured.by,
        uncertainty: read.length(socket.measured.uncertainty),
        outside: read.length(socket.measured.outside),
      },
    }),
    clearance: f.clearance,
  }) as FixingWritten;
}

export function normaliseFixings(file: FixingsFile): Map<string, FixingWritten> {
  const read = readerFor(file.units);
  return new Map(sorted(file.fixings).map(([id, f]) => [id, normaliseFixing(f, read)]));
}
