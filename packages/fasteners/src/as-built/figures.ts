import { catalogue } from '../catalogue/catalogue.ts';
import { parseSize } from '../catalogue/size.ts';
import { clearanceHole } from '../fixing/resolve-fixing.ts';
import type { Dimension, Fixing, Insert, Provenance, Screw, Washer } from '../model.ts';

/** A dimension as it was when the thing was made: value and half width, mm. */
export interface Figure {
  readonly value: number;
  readonly uncertainty: number;
}

/** Everything of a screw and its washer that matters once it stands in a board, mm. Kept with the fact that it was driven. */
export interface ScrewFigures {
  /** Name of the fixing that it was taken from. A name only: nothing is looked up by it. */
  readonly fixing: string;
  readonly thread: string;
  readonly length: number;
  readonly material: Screw['material'];
  readonly head: {
    readonly form: string;
    readonly height: Figure;
    readonly diameter: Figure;
    /** Diameter on which the head bears: across flats of a hexagon. */
    readonly bearing: Figure;
    /** Full angle of a countersunk head, degrees; absent for a head that stands on its seat. */
    readonly angle?: number;
  };
  readonly drive: Screw['drive'];
  /** N/mm². */
  readonly tensileStrength: number;
  readonly shearStrength: number;
  /** Published breaking load, N, and the torque printed beside it, N·m, where a list of such screws was at hand. */
  readonly breaking?: { readonly load: number; readonly torque?: number };
  readonly washer: {
    readonly inside: Figure;
    readonly outside: Figure;
    readonly thickness: Figure;
    readonly cup: boolean;
  } | null;
  /** Outside diameter of the socket, wrench or bit holder that must enter the pocket. */
  readonly socket: Figure;
}

/** Everything of an insert that matters once it is in the bed, mm. Kept with the fact that it was set. */
export interface InsertFigures {
  readonly thread: string;
  readonly outside: Figure;
  readonly length: Figure;
  /** Full taper angle, degrees. */
  readonly taper: number;
  readonly material: Insert['material'];
  readonly through: boolean;
  /** N/mm². */
  readonly shearStrength: number;
}

const figureOf = ({ value, uncertainty }: Dimension): Figure => ({ value, uncertainty });

/** The figures of a fixing's screw in one length, to be kept. `length` in mm. */
export function screwFigures(fixing: Fixing, length: number): ScrewFigures {
  const { screw, washer, socket } = fixing;
  return {
    fixing: fixing.id,
    thread: screw.thread.designation,
    length,
    material: screw.material,
    head: {
      form: screw.head,
      height: figureOf(screw.headHeight),
      diameter: figureOf(screw.headDiameter),
      bearing: figureOf(screw.bearing ?? screw.headDiameter),
      ...(screw.countersunk && { angle: screw.headAngle ?? 90 }),
    },
    drive: screw.drive,
    tensileStrength: screw.tensileStrength,
    shearStrength: screw.shearStrength,
    ...(screw.published && {
      breaking: {
        load: screw.published.breakingLoad,
        ...(screw.published.torque !== undefined && { torque: screw.published.torque }),
      },
    }),
    washer: washer
      ? {
          inside: figureOf(washer.inside),
          outside: figureOf(washer.outside),
          thickness: figureOf(washer.thickness),
          cup: washer.cup === true,
        }
      : null,
    socket: figureOf(socket.outside),
  };
}

/** The figures of a fixing's insert, to be kept. */
export function insertFigures(insert: Insert): InsertFigures {
  return {
    thread: insert.thread.designation,
    outside: figureOf(insert.outside),
    length: figureOf(insert.length),
    taper: insert.taper,
    material: insert.material,
    through: insert.through,
    shearStrength: insert.shearStrength,
  };
}

const AS_BUILT: Provenance = {
  standard: 'ledger',
  grade: 'measured',
  note: 'as recorded when it was made',
};

const dimension = (figure: Figure): Dimension => ({ ...figure, from: AS_BUILT });

/** A thread of the catalogue by its designation; undefined for one it does not have. */
function threadBy(designation: string) {
  return catalogue().threads.get(designation);
}

/** An insert from its figures; null when its thread is none of the catalogue. `id` names it for people. */
export function insertFromFigures(id: string, figures: InsertFigures): Insert | null {
  const thread = threadBy(figures.thread);
  if (thread === undefined) return null;
  return {
    id,
    thread,
    outside: dimension(figures.outside),
    length: dimension(figures.length),
    taper: figures.taper,
    material: figures.material,
    shearStrength: figures.shearStrength,
    through: figures.through,
  };
}

/**
 * The fixing that stands at a site: the screw as it was driven, in the insert as it was set. Null when a thread is none
 * of the catalogue. Only the recorded figures count; shared files are not looked at. The clearance hole is the standard's
 * medium series, for where a new hole is reckoned with this screw.
 */
export function fixingFromFigures(screw: ScrewFigures, insert: Insert): Fixing | null {
  const thread = threadBy(screw.thread);
  const size = parseSize(screw.thread);
  const hole = size && clearanceHole(size.size, 'medium');
  const close = size && clearanceHole(size.size, 'close');
  if (thread === undefined || !hole || !close) return null;
  const { breaking, head, washer } = screw;
  return {
    id: screw.fixing,
    title: `${screw.thread} ${head.form}, as driven`,
    screw: {
      thread,
      head: head.form,
      headDiameter: dimension(head.diameter),
      headHeight: dimension(head.height),
      bearing: dimension(head.bearing),
      countersunk: head.angle !== undefined,
      ...(head.angle !== undefined && { headAngle: head.angle }),
      drive: screw.drive,
      material: screw.material,
      tensileStrength: screw.tensileStrength,
      shearStrength: screw.shearStrength,
      lengths: [screw.length],
      strengthFrom: AS_BUILT,
      ...(breaking && {
        published: {
          breakingLoad: breaking.load,
          ...(breaking.torque !== undefined && { torque: breaking.torque }),
          from: AS_BUILT,
        },
      }),
    },
    insert,
    ...(washer && { washer: washerFrom(washer) }),
    socket: { outside: dimension(screw.socket) },
    clearanceHole: hole,
    closeHole: close,
  };
}

function washerFrom(washer: NonNullable<ScrewFigures['washer']>): Washer {
  return {
    inside: dimension(washer.inside),
    outside: dimension(washer.outside),
    thickness: dimension(washer.thickness),
    ...(washer.cup && { cup: true }),
  };
}
