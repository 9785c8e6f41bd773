import { catalogue } from '../catalogue/catalogue.ts';
import { mustFigure } from '../catalogue/table.ts';
import type { Dimension, Screw, Socket } from '../model.ts';
import { largest, smallest } from '../stack/dimension.ts';
import { measuredDimension, usableMeasuring } from './measured.ts';
import { type FixingReport, mm } from './report.ts';
import { provenanceOf } from './resolve-screw.ts';
import type { SocketWritten } from './written.ts';

/** Largest difference at which a tool still counts as the size of the head, mm: 1/4 in is sold as 6.35, 6.3 or 6.4. */
const SAME_SIZE = 0.15;

/** Published outside of a hand tool for a width across flats, mm; undefined where no table has it. */
export function publishedSocket(kind: 'socket' | 'ring', acrossFlats: number): Dimension | undefined {
  const table = catalogue().table(kind === 'socket' ? 'iso-2725-sockets' : 'jis-b-4632-ring-wrenches');
  const row = table.rows.find((r) => Math.abs(mustFigure(table, r, 'acrossFlats') - acrossFlats) < 1e-6);
  if (row === undefined) return undefined;
  return { value: mustFigure(table, row, 'outsideMax'), uncertainty: 0, from: provenanceOf({ table, row }) };
}

/** Resolves the driving tool. Undefined after a stop was reported. */
export function resolveSocket(
  written: SocketWritten,
  screw: Screw,
  report: FixingReport,
): Socket | undefined {
  const { drive } = screw;
  const hexagon = drive.kind === 'hex-outside' || drive.kind === 'hex-socket';
  if (written.size !== undefined && hexagon && Math.abs(written.size - drive.size) > SAME_SIZE) {
    const older = drive.kind === 'hex-outside' ? olderFlats(screw) : undefined;
    report.add(
      'stop',
      'socket-fits',
      'socket.size',
      `a tool of ${mm(written.size)} does not fit ${screw.head} ${screw.thread.designation}, which takes ${mm(drive.size)}`,
      { socket: written.size, head: drive.size, ...(older !== undefined && { older }) },
      older !== undefined && Math.abs(older - written.size) < SAME_SIZE
        ? `screws to the superseded DIN 931/933 have ${older} mm across flats: measure your heads and write them under screw.measured`
        : 'name the tool that fits the head',
    );
    return undefined;
  }
  const kind = written.kind ?? (drive.kind === 'hex-outside' ? 'socket' : 'bit');
  if ((drive.kind === 'hex-outside') === (kind === 'bit')) {
    report.add(
      'stop',
      'socket-kind',
      'socket.kind',
      `a ${kind} does not drive ${screw.head}`,
      { kind, drive: drive.kind },
      drive.kind === 'hex-outside' ? 'use kind socket or ring' : 'use kind bit',
    );
    return undefined;
  }

  let outside = kind === 'bit' ? bitOutside(screw) : publishedSocket(kind, written.size ?? drive.size);
  if (written.outside !== undefined) {
    if (!Number.isFinite(written.outside) || written.outside <= 0) {
      report.add(
        'stop',
        'socket-outside',
        'socket.outside',
        `the tool's outside is ${written.outside}, expected a length above 0`,
        { outside: String(written.outside) },
        'measure it',
      );
      return undefined;
    }
    outside = {
      value: written.outside,
      uncertainty: 0.1,
      from: { standard: "the maker's list", grade: 'B', note: 'not measured: ± 0.1 mm assumed' },
    };
  }
  if (written.measured !== undefined) {
    if (!usableMeasuring(written.measured, 'socket.measured', report)) return undefined;
    outside = measuredDimension(
      written.measured.outside,
      written.measured,
      undefined,
      "the tool's outside",
      'socket.measured.outside',
      report,
    );
    if (outside === undefined) return undefined;
  }
  if (outside === undefined) {
    report.add(
      'stop',
      'socket-unknown',
      'socket',
      `no outside diameter is published for a ${kind} of ${mm(written.size ?? drive.size)}`,
      { kind, size: written.size ?? drive.size },
      'measure yours: `socket: { measured: { outside: 14.6, by: caliper, uncertainty: 0.05 } }`',
    );
    return undefined;
  }
  if (drive.kind === 'hex-outside' && largest(outside) <= smallest(screw.headDiameter)) {
    report.add(
      'stop',
      'socket-thin',
      'socket.outside',
      `a tool ${mm(largest(outside))} outside cannot go over a head ${mm(smallest(screw.headDiameter))} across corners`,
      { outside: largest(outside), corners: smallest(screw.headDiameter) },
      'measure the widest part that enters the pocket',
    );
    return undefined;
  }
  if (outside.from.grade === 'B' || outside.from.grade === 'C') {
    report.add(
      'warn',
      'socket-unmeasured',
      'socket.measured',
      `the tool's outside of ${mm(outside.value)} comes from ${outside.from.standard} (grade ${outside.from.grade})`,
      { outside: outside.value, grade: outside.from.grade },
      'measure yours: sockets differ more than any list says',
    );
  }
  return { outside };
}

/** A key or blade enters the drive and is no wider than the head; a bit holder is measured. */
function bitOutside(screw: Screw): Dimension {
  if (screw.drive.kind === 'hex-socket') {
    return {
      value: screw.drive.size * 1.1547005383792515,
      uncertainty: 0,
      from: {
        standard: 'derived',
        grade: 'A',
        note: 'hexagon key, across corners = 2/√3 of its size; measure a bit holder',
      },
    };
  }
  return {
    value: screw.headDiameter.value,
    uncertainty: screw.headDiameter.uncertainty,
    from: { standard: 'derived', grade: 'A', note: 'a driver no wider than the head; measure a bit holder' },
  };
}

function olderFlats(screw: Screw): number | undefined {
  if (screw.thread.designation === 'M10') return 17;
  if (screw.thread.designation === 'M12') return 19;
  return undefined;
}
