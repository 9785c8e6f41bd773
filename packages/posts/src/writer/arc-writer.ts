import type { Move } from '@bedledger/bedwork';
import { quantise } from '@bedledger/diagnostics';
import { centreOfRadius, writtenCentre } from '../motion/arc-centre.ts';
import { arcCuts, chordCuts } from '../motion/arc-cuts.ts';
import { type Arc, arcOf } from '../motion/arc-geometry.ts';
import { insidePoint } from '../motion/inside-point.ts';
import { cosineSine, PI } from '../motion/trig.ts';
import type { MotionWriter } from './motion-writer.ts';

/** A radius of fewer grid steps than this is all rounding: its arcs are written as lines. */
const GRAINY = 10;

/** An arc shorter than this many grid steps is a line: rounding could turn it round into nearly a full circle. */
const SHORT = 3;

type ArcMove = Extract<Move, { kind: 'arc' }>;

/** Part of an arc between two angles travelled from its start. */
interface Piece {
  readonly from: number;
  readonly to: number;
  readonly x: number;
  readonly y: number;
  readonly z: number;
}

function pointAt(arc: Arc, travelled: number): readonly [number, number] {
  const [cosine, sine] = cosineSine(arc.clockwise ? arc.from - travelled : arc.from + travelled);
  return [arc.cx + arc.radius * cosine, arc.cy + arc.radius * sine];
}

function heightAt(arc: Arc, travelled: number): number {
  return arc.sz + ((arc.ez - arc.sz) * travelled) / arc.sweep;
}

/** Chords from the present grid point, through points of the circle between two angles, to a grid point. */
function writeChords(part: MotionWriter, arc: Arc, piece: Piece, feed: number): void {
  const { setup } = part;
  const span: Arc = {
    ...arc,
    from: arc.clockwise ? arc.from - piece.from : arc.from + piece.from,
    sweep: piece.to - piece.from,
  };
  // Points pulled inside the circle may lie up to a diagonal of the grid further in.
  const { chord } = setup.controller.arcs;
  const tolerance = Math.max(chord - 1.5 * setup.step, chord / 2);
  for (const cut of chordCuts(span, tolerance)) {
    const [x, y] = pointAt(span, cut);
    const [qx, qy] = insidePoint(x, y, arc.cx, arc.cy, arc.radius, setup.scale);
    part.gridXy(x, 'X');
    part.gridXy(y, 'Y');
    part.cutTo(qx, qy, part.gridZ(heightAt(arc, piece.from + cut)), feed);
  }
  part.cutTo(piece.x, piece.y, piece.z, feed);
}

/** One arc block by its centre, when a centre on the grid satisfies the controller. */
function writeCentred(
  part: MotionWriter,
  x: number,
  y: number,
  z: number,
  cx: number,
  cy: number,
  clockwise: boolean,
  sweep: number,
  feed: number,
): boolean {
  const { setup, qx, qy } = part;
  const single = setup.controller.arcs.quadrants === 'single';
  const centre = writtenCentre(qx, qy, x, y, cx, cy, clockwise, sweep, setup.centreRules);
  if (centre === null) return false;
  const words = single ? { i: Math.abs(centre.i), j: Math.abs(centre.j) } : centre;
  part.arcTo(clockwise, x, y, z, words, feed);
  part.extents.arc(qx, qy, x, y, centre.x / setup.step, centre.y / setup.step, clockwise);
  return true;
}

/** One arc block, when the controller's rules and the grid allow one that means the same arc. */
function writeBlock(part: MotionWriter, arc: Arc, piece: Piece, feed: number, lineFeed: number): boolean {
  const { setup } = part;
  const { arcs } = setup.controller;
  const { qx, qy } = part;
  if (
    (piece.to - piece.from) * arc.radius < SHORT * setup.step ||
    (piece.x === qx && piece.y === qy && piece.to - piece.from < PI)
  ) {
    part.cutTo(piece.x, piece.y, piece.z, lineFeed);
    return true;
  }
  if (arcs.form === 'radius') {
    const chordX = (piece.x - qx) * setup.step;
    const chordY = (piece.y - qy) * setup.step;
    const chord = Math.sqrt(chordX * chordX + chordY * chordY);
    let r = quantise(arc.radius, setup.scale);
    while (2 * r * setup.step < chord) r++;
    const [cx, cy] = centreOfRadius(qx, qy, piece.x, piece.y, r, arc.clockwise);
    part.arcTo(arc.clockwise, piece.x, piece.y, piece.z, { r }, feed);
    part.extents.arc(qx, qy, piece.x, piece.y, cx, cy, arc.clockwise);
    return true;
  }
  return writeCentred(
    part,
    piece.x,
    piece.y,
    piece.z,
    arc.cx,
    arc.cy,
    arc.clockwise,
    piece.to - piece.from,
    feed,
  );
}

/**
 * The common case without angles: one flat arc block about its centre, ends well apart. False when anything about the
 * arc asks for more thought.
 */
function writePlainArc(part: MotionWriter, move: ArcMove): boolean {
  const { setup, qx, qy } = part;
  const { arcs } = setup.controller;
  if (arcs.form === 'radius' || arcs.quadrants === 'single') return false;
  const endX = part.gridXy(move.x, 'X');
  const endY = part.gridXy(move.y, 'Y');
  const endZ = part.gridZ(move.z);
  if (endZ !== part.qz || Math.abs(endX - qx) + Math.abs(endY - qy) < 2 * SHORT) return false;
  const ax = part.px - move.cx;
  const ay = part.py - move.cy;
  const radius = Math.sqrt(ax * ax + ay * ay);
  if (radius < Math.max(arcs.minRadius, GRAINY * setup.step) || radius > arcs.maxRadius) return false;
  const bx = move.x - move.cx;
  const by = move.y - move.cy;
  const cross = move.clockwise ? ay * bx - ax * by : ax * by - ay * bx;
  const dot = ax * bx + ay * by;
  // Only which side of a half turn counts here; within ten degrees of it the side is left open.
  const sweep = dot < 0 && Math.abs(cross) < -0.17 * dot ? PI : cross > 0 ? PI / 2 : 1.5 * PI;
  return writeCentred(part, endX, endY, endZ, move.cx, move.cy, move.clockwise, sweep, move.feed);
}

/**
 * An arc or helix as the controller can have it: one block, several, or chords. Chords where the controller has no arcs,
 * no helix, not this radius, or where the grid cannot hold the centre within the tolerance.
 */
export function writeArc(part: MotionWriter, move: ArcMove): void {
  const { setup } = part;
  const { arcs } = setup.controller;
  if (arcs.form !== 'none' && writePlainArc(part, move)) return;
  const arc = arcOf(
    [part.px, part.py, part.pz],
    [move.x, move.y, move.z],
    [move.cx, move.cy],
    move.clockwise,
  );
  const endX = part.gridXy(move.x, 'X');
  const endY = part.gridXy(move.y, 'Y');
  const endZ = part.gridZ(move.z);
  const whole: Piece = { from: 0, to: arc.sweep, x: endX, y: endY, z: endZ };
  const helix = endZ !== part.qz;
  let feed = move.feed;
  if (helix && arcs.helixFeed === 'projection') {
    const along = arc.radius * arc.sweep;
    const rise = arc.ez - arc.sz;
    feed *= along / Math.sqrt(along * along + rise * rise);
  }
  // So steep that its projection has no feed word: lines count along the path.
  const tooSteep = feed < setup.controller.feed.min || feed * setup.feedScale < 1;
  if (
    arcs.form === 'none' ||
    (helix && (!arcs.helix || tooSteep)) ||
    arc.radius < Math.max(arcs.minRadius, GRAINY * setup.step) ||
    arc.radius > arcs.maxRadius
  ) {
    writeChords(part, arc, whole, move.feed);
    return;
  }
  const closed = endX === part.qx && endY === part.qy && arc.sweep > PI;
  const cuts = arcCuts(
    arc,
    { form: arcs.form, quadrants: arcs.quadrants, fullCircle: arcs.fullCircle },
    closed,
  );
  let from = 0;
  for (let k = 0; k <= cuts.length; k++) {
    const to = cuts[k];
    const piece: Piece =
      to === undefined
        ? { ...whole, from }
        : ((): Piece => {
            const [x, y] = pointAt(arc, to);
            return {
              from,
              to,
              x: part.gridXy(x, 'X'),
              y: part.gridXy(y, 'Y'),
              z: part.gridZ(heightAt(arc, to)),
            };
          })();
    if (!writeBlock(part, arc, piece, feed, move.feed)) writeChords(part, arc, piece, move.feed);
    from = piece.to;
  }
}
