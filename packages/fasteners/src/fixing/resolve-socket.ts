import { catalogue, provenanceOf } from '../catalogue/catalogue.ts';
import { mustFigure } from '../catalogue/table.ts';
import type { Dimension, Provenance, Screw, Socket } from '../model.ts';
import { largest, smallest } from '../stack/dimension.ts';
import type { FixingFindings } from './findings.ts';
import { listedDimension, measuredDimension, usableMeasuring } from './measured.ts';
import { CORNERS } from './resolve-screw.ts';
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

/** Resolves the driving tool: it must fit the head, and its outside must be known. Undefined after a stop. */
export function resolveSocket(
  written: SocketWritten,
  screw: Screw,
  findings: FixingFindings,
): Socket | undefined {
  if (!fitsHead(written, screw, findings)) return undefined;
  const kind = written.kind ?? (screw.drive.kind === 'hex-outside' ? 'socket' : 'bit');
  if (!drivesHead(kind, screw, findings)) return undefined;
  const outside = outsideOf(written, kind, screw, findings);
  if (outside === undefined) return undefined;
  if (screw.drive.kind === 'hex-outside' && largest(outside) <= smallest(screw.headDiameter)) {
    findings.add({
      code: 'fixing/socket-thin',
      path: 'socket.outside',
      message: `a tool ${findings.length(largest(outside))} outside cannot go over a head ${findings.length(smallest(screw.headDiameter))} across corners`,
      facts: { outside: largest(outside), corners: smallest(screw.headDiameter) },
    });
    return undefined;
  }
  const { standard, grade } = outside.from;
  if (grade === 'B' || grade === 'C') {
    findings.add({
      code: 'fixing/socket-unmeasured',
      path: 'socket.measured',
      message: `the tool's outside of ${findings.length(outside.value)} comes from ${standard} (grade ${grade})`,
      facts: { outside: outside.value, grade },
    });
  }
  return { outside };
}

/** Whether the size of the tool is that of the head, where the head is driven by a hexagon; a finding otherwise. */
function fitsHead(written: SocketWritten, screw: Screw, findings: FixingFindings): boolean {
  const { drive } = screw;
  const hexagon = drive.kind === 'hex-outside' || drive.kind === 'hex-socket';
  if (written.size === undefined || !hexagon || Math.abs(written.size - drive.size) <= SAME_SIZE) return true;
  const older = drive.kind === 'hex-outside' ? OLDER_FLATS[screw.thread.designation] : undefined;
  findings.add({
    code: 'fixing/socket-fits',
    path: 'socket.size',
    message: `a tool of ${findings.length(written.size)} does not fit ${screw.head} ${screw.thread.designation}, which takes ${findings.length(drive.size)}`,
    facts: { socket: written.size, head: drive.size, ...(older !== undefined && { older }) },
    help:
      older !== undefined && Math.abs(older - written.size) < SAME_SIZE
        ? `screws to the superseded DIN 931/933 have ${findings.length(older)} across flats: measure your heads and write them under screw.measured`
        : undefined,
  });
  return false;
}

type ToolKind = NonNullable<SocketWritten['kind']>;

function drivesHead(kind: ToolKind, screw: Screw, findings: FixingFindings): boolean {
  const outside = screw.drive.kind === 'hex-outside';
  if (outside !== (kind === 'bit')) return true;
  findings.add({
    code: 'fixing/socket-kind',
    path: 'socket.kind',
    message: `a ${kind} does not drive ${screw.head}`,
    facts: { kind, drive: screw.drive.kind },
    help: outside ? 'use kind socket or ring' : 'use kind bit',
  });
  return false;
}

/** Outside of the tool: measured, else from the maker's list, else published. Undefined after a stop. */
function outsideOf(
  written: SocketWritten,
  kind: ToolKind,
  screw: Screw,
  findings: FixingFindings,
): Dimension | undefined {
  const stated = written.outside;
  if (stated !== undefined && !(Number.isFinite(stated) && stated > 0)) {
    findings.add({
      code: 'fixing/socket-outside',
      path: 'socket.outside',
      message: `the tool's outside is ${findings.length(stated)}, expected a length above 0`,
      facts: { outside: String(stated) },
    });
    return undefined;
  }
  const { measured } = written;
  if (measured !== undefined) {
    if (!usableMeasuring(measured, 'socket.measured', findings)) return undefined;
    return measuredDimension(
      {
        value: measured.outside,
        measuring: measured,
        published: undefined,
        what: "the tool's outside",
        path: 'socket.measured.outside',
      },
      findings,
    );
  }
  if (stated !== undefined) return listedDimension(stated, findings);
  const size = written.size ?? screw.drive.size;
  const published = kind === 'bit' ? bitOutside(screw) : publishedSocket(kind, size);
  if (published === undefined) {
    findings.add({
      code: 'fixing/socket-unknown',
      path: 'socket',
      message: `no outside diameter is published for a ${kind} of ${findings.length(size)}`,
      facts: { kind, size },
    });
  }
  return published;
}

/** A key or blade enters the drive and is no wider than the head; a bit holder is measured. */
function bitOutside(screw: Screw): Dimension {
  const from = (note: string): Provenance => ({ standard: 'derived', grade: 'A', note });
  if (screw.drive.kind === 'hex-socket') {
    return {
      value: screw.drive.size * CORNERS,
      uncertainty: 0,
      from: from('hexagon key, across corners = 2/√3 of its size; measure a bit holder'),
    };
  }
  const { value, uncertainty } = screw.headDiameter;
  return { value, uncertainty, from: from('a driver no wider than the head; measure a bit holder') };
}

/** Width across flats of DIN 931/933 where it differs from ISO 4014/4017, mm. */
const OLDER_FLATS: Readonly<Record<string, number>> = { M10: 17, M12: 19 };
