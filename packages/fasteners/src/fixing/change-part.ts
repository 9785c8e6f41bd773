import { catalogue, provenanceOf } from '../catalogue/catalogue.ts';
import { parseSize } from '../catalogue/size.ts';
import type { Fixing, Washer } from '../model.ts';
import { FixingFindings } from './findings.ts';
import { publishedHead } from './resolve-screw.ts';
import { resolveSocket } from './resolve-socket.ts';

/** Every head form of the catalogue that exists in the size of a thread. */
export function headsFor(threadDesignation: string): string[] {
  const size = parseSize(threadDesignation)?.size;
  if (size === undefined) return [];
  const book = catalogue();
  return [...book.heads.keys()].filter(
    (id) => book.row(id, size) !== undefined && book.lengths(id, size) !== undefined,
  );
}

/**
 * The same fixing with another published head form, its lengths, and the tool that drives it (kept when it drives
 * the new head too). A flat washer is dropped under a countersunk head. Null when the head does not exist in this
 * size or no tool is published for it.
 */
export function withHead(fixing: Fixing, headId: string): Fixing | null {
  const size = parseSize(fixing.screw.thread.designation)?.size;
  const head = size === undefined ? undefined : publishedHead(headId, size);
  const lengths = size === undefined ? undefined : catalogue().lengths(headId, size);
  if (head === undefined || lengths === undefined) return null;
  const { headAngle: _, ...rest } = fixing.screw;
  const screw = {
    ...rest,
    head: headId,
    headDiameter: head.diameter,
    headHeight: head.height,
    bearing: head.bearing,
    countersunk: head.countersunk,
    ...(head.angle !== undefined && { headAngle: head.angle }),
    drive: head.drive,
    lengths: lengths.lengths,
    lengthsFrom: provenanceOf(lengths.found),
  };
  const sameTool =
    head.drive.kind === fixing.screw.drive.kind && Math.abs(head.drive.size - fixing.screw.drive.size) < 0.01;
  const socket = sameTool ? fixing.socket : resolveSocket({}, screw, new FixingFindings(fixing.id));
  if (socket === undefined) return null;
  const { washer, ...plain } = fixing;
  const keepsWasher = washer !== undefined && screw.countersunk === (washer.cup === true);
  return { ...plain, screw, socket, ...(keepsWasher && { washer }) };
}

/** The same fixing with another washer, or none. */
export function withWasher(fixing: Fixing, washer: Washer | null): Fixing {
  const { washer: _, ...plain } = fixing;
  return washer === null ? plain : { ...plain, washer };
}
