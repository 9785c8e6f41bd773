import { fromUnits, keyValue, rounded, type Units } from '@bedledger/diagnostics';
import type { Figure, InsertFigures, ScrewFigures } from '@bedledger/fasteners';
import type { FactWritten } from '@bedledger/fleet';
import type { Quantity } from './call.ts';

type Written<K extends FactWritten['fact']> = Extract<FactWritten, { fact: K }>;
export type InsertWritten = NonNullable<Written<'insert'>['figures']>;
export type ScrewsWritten = Omit<Written<'screws'>, 'fact' | 'date' | 'how' | 'sites'>;

type WrittenFigure = Quantity | { value: Quantity; within: Quantity };

/** A dimension and its half width; the value alone where nothing is known of how far off it may be. */
function figure({ value, uncertainty }: Figure, units: Units): WrittenFigure {
  const within = keyValue(uncertainty, units);
  const written = keyValue(value, units);
  return within > 0 ? { value: written, within } : written;
}

/**
 * A length that has a name (`M6 × 16`): exactly, in the unit in which it is short. Rounded to the ledger's unit a screw of
 * 16 mm would be one of 15.9995 mm in a ledger in inches.
 */
export function nominalLength(mm: number, units: Units): Quantity {
  const other: Units = units === 'mm' ? 'in' : 'mm';
  for (const unit of [units, other]) {
    const written = keyValue(mm, unit);
    if (Math.abs(fromUnits(written, unit) - mm) < 1e-9)
      return unit === units ? written : `${written} ${unit}`;
  }
  return keyValue(mm, units);
}

/** The figures of a screw as they stand in a ledger of these units. */
export function writtenScrew(screw: ScrewFigures, units: Units): ScrewsWritten {
  const { head, drive, breaking, washer } = screw;
  return {
    fixing: screw.fixing,
    thread: screw.thread,
    length: nominalLength(screw.length, units),
    material: screw.material,
    head: {
      form: head.form,
      height: figure(head.height, units),
      diameter: figure(head.diameter, units),
      bearing: figure(head.bearing, units),
      ...(head.angle !== undefined && { angle: head.angle }),
    },
    drive: { kind: drive.kind, size: nominalLength(drive.size, units) },
    tensile: short(screw.tensileStrength),
    shear: short(screw.shearStrength),
    ...(breaking && {
      breaking: {
        load: short(breaking.load),
        ...(breaking.torque !== undefined && { torque: short(breaking.torque) }),
      },
    }),
    ...(washer && {
      washer: {
        inside: figure(washer.inside, units),
        outside: figure(washer.outside, units),
        thickness: figure(washer.thickness, units),
        ...(washer.cup && { cup: true }),
      },
    }),
    socket: figure(screw.socket, units),
  };
}

/** The figures of an insert as they stand in a ledger of these units. */
export function writtenInsert(insert: InsertFigures, units: Units): InsertWritten {
  return {
    thread: insert.thread,
    outside: figure(insert.outside, units),
    length: figure(insert.length, units),
    ...(insert.taper !== 0 && { taper: short(insert.taper) }),
    material: insert.material,
    through: insert.through,
    shear: short(insert.shearStrength),
  };
}

/** Strengths, loads and angles to a thousandth: their units are the same in every ledger. */
function short(value: number): number {
  return rounded(value, 3);
}

/** One value where all sites have the same, else one for each site. */
export function alike(
  bySite: ReadonlyMap<string, number>,
  units: Units,
): { readonly all: number } | { readonly sites: Record<string, number> } | null {
  const written = [...bySite].map(([site, mm]) => [site, keyValue(mm, units)] as const);
  const [first] = written;
  if (!first) return null;
  return written.every(([, value]) => value === first[1])
    ? { all: first[1] }
    : { sites: Object.fromEntries(written) };
}
