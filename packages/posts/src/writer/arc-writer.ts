import type { Move } from '@bedledger/bedwork';
import { quantise } from '@bedledger/diagnostics';
import type { Point } from '@bedledger/geometry';
import { centreOfRadius, writtenCentre } from '../motion/arc-centre.ts';
import { arcCuts, chordCuts } from '../motion/arc-cuts.ts';
import { type Arc, arcOf } from '../motion/arc-geometry.ts';
import { insidePoint } from '../motion/inside-point.ts';
import { cosineSine, PI } from '../motion/trig.ts';
import type { CutEnd, MotionWriter } from './motion-writer.ts';

/** An arc whose radius is fewer grid steps than this would be all rounding: it is written as lines. */
const LEAST_RADIUS_STEPS = 10;

/** An arc shorter than this many grid steps is a line: rounding could turn it round into nearly a full circle. */
const SHORT = 3;

type ArcMove = Extract<Move, { kind: 'arc' }>;

/** Part of an arc between two angles travelled from its start, with its end in grid steps. */
interface Piece {
  readonly from: number;
  readonly to: number;
  readonly x: number;
  readonly y: number;
  readonly z: number;
}

function pointAt(arc: Arc, travelled: number): Point {
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
    const at = pointAt(span, cut);
    const [qx, qy] = insidePoint(at, arc, setup.scale);
    part.gridXy(at[0], 'X');
    part.gridXy(at[1], 'Y');
    part.cutTo(qx, qy, part.gridZ(heightAt(arc, piece.from + cut)), feed);
  }
  part.cutTo(piece.x, piece.y, piece.z, feed);
}

/** What one arc block says besides its end: the true centre in mm, the direction and the angle travelled. */
interface Turn {
  readonly centre: Point;
  readonly clockwise: boolean;
  readonly sweep: number;
}

/** One arc block by its centre, when a centre on the grid satisfies the controller. */
function writeCentred(part: MotionWriter, end: CutEnd, { centre, clockwise, sweep }: Turn): boolean {
  const { setup } = part;
  const start: Point = [part.qx, part.qy];
  const to: Point = [end.x, end.y];
  const written = writtenCentre({ start, end: to, centre, clockwise, sweep }, setup.centreRules);
  if (written === null) return false;
  const words = setup.choices.arcs.oneQuadrant ? { i: Math.abs(written.i), j: Math.abs(written.j) } : written;
  part.arcTo(clockwise, end, words);
  part.extents.arc(start, to, [written.x / setup.step, written.y / setup.step], clockwise);
  return true;
}

/** One arc block by its radius. */
function writeByRadius(part: MotionWriter, arc: Arc, end: CutEnd): void {
  const { setup } = part;
  const start: Point = [part.qx, part.qy];
  const to: Point = [end.x, end.y];
  const chordX = (to[0] - start[0]) * setup.step;
  const chordY = (to[1] - start[1]) * setup.step;
  const chord = Math.sqrt(chordX * chordX + chordY * chordY);
  let r = quantise(arc.radius, setup.scale);
  while (2 * r * setup.step < chord) r++;
  part.arcTo(arc.clockwise, end, { r });
  part.extents.arc(start, to, centreOfRadius(start, to, r, arc.clockwise), arc.clockwise);
}

/** One block for a piece of an arc, when the controller's rules and the grid allow one that means the same arc. */
function writePiece(part: MotionWriter, arc: Arc, piece: Piece, feeds: ArcFeeds): boolean {
  const { setup } = part;
  const sweep = piece.to - piece.from;
  const short = sweep * arc.radius < SHORT * setup.step;
  if (short || (piece.x === part.qx && piece.y === part.qy && sweep < PI)) {
    part.cutTo(piece.x, piece.y, piece.z, feeds.line);
    return true;
  }
  const end: CutEnd = { x: piece.x, y: piece.y, z: piece.z, feed: feeds.arc };
  if (setup.choices.arcs.centre === 'by-radius') {
    writeByRadius(part, arc, end);
    return true;
  }
  return writeCentred(part, end, { centre: [arc.cx, arc.cy], clockwise: arc.clockwise, sweep });
}

/** Is a radius in mm one that arc blocks may have? */
function mayBeArc({ setup }: MotionWriter, radius: number): boolean {
  const { minRadius, maxRadius } = setup.controller.arcs;
  return !(radius < Math.max(minRadius, LEAST_RADIUS_STEPS * setup.step) || radius > maxRadius);
}

/**
 * The common case, faster because it needs no angles: one flat arc block about its centre, ends well apart. False, and
 * nothing written, for any other arc.
 */
function writePlainArc(part: MotionWriter, move: ArcMove): boolean {
  const { arcs } = part.setup.choices;
  if (arcs.centre === 'by-radius' || arcs.oneQuadrant) return false;
  const x = part.gridXy(move.x, 'X');
  const y = part.gridXy(move.y, 'Y');
  const z = part.gridZ(move.z);
  if (z !== part.qz || Math.abs(x - part.qx) + Math.abs(y - part.qy) < 2 * SHORT) return false;
  const ax = part.px - move.cx;
  const ay = part.py - move.cy;
  if (!mayBeArc(part, Math.sqrt(ax * ax + ay * ay))) return false;
  const bx = move.x - move.cx;
  const by = move.y - move.cy;
  const { clockwise, feed } = move;
  const cross = clockwise ? ay * bx - ax * by : ax * by - ay * bx;
  const dot = ax * bx + ay * by;
  // Only which side of a half turn counts here; within ten degrees of it the side is left open.
  const sweep = dot < 0 && Math.abs(cross) < -0.17 * dot ? PI : cross > 0 ? PI / 2 : 1.5 * PI;
  return writeCentred(part, { x, y, z, feed }, { centre: [move.cx, move.cy], clockwise, sweep });
}

/** Feeds of an arc: of its arc blocks, and of the lines that stand in for them. mm/min. */
interface ArcFeeds {
  readonly arc: number;
  readonly line: number;
}

/** The feeds of an arc; null for a helix so steep that its projection has no feed word. */
function feedsOf({ setup }: MotionWriter, arc: Arc, helix: boolean, feed: number): ArcFeeds | null {
  let projected = feed;
  if (helix && setup.choices.arcs.projectedFeed) {
    const along = arc.radius * arc.sweep;
    const rise = arc.ez - arc.sz;
    projected *= along / Math.sqrt(along * along + rise * rise);
  }
  const none = projected < setup.controller.feed.min || projected * setup.feedScale < 1;
  return helix && none ? null : { arc: projected, line: feed };
}

/**
 * An arc or helix as the controller can have it: one block, several, or chords. Chords where the controller has no arcs,
 * no helix, not this radius, or where the grid cannot hold the centre within the tolerance.
 */
export function writeArc(part: MotionWriter, move: ArcMove): void {
  const { controller, choices } = part.setup;
  const blocks = choices.arcs.centre !== null;
  if (blocks && writePlainArc(part, move)) return;
  const arc = arcOf(
    [part.px, part.py, part.pz],
    [move.x, move.y, move.z],
    [move.cx, move.cy],
    move.clockwise,
  );
  const x = part.gridXy(move.x, 'X');
  const y = part.gridXy(move.y, 'Y');
  const z = part.gridZ(move.z);
  const whole: Piece = { from: 0, to: arc.sweep, x, y, z };
  const helix = z !== part.qz;
  const feeds = feedsOf(part, arc, helix, move.feed);
  if (!blocks || feeds === null || (helix && !controller.arcs.helix) || !mayBeArc(part, arc.radius)) {
    writeChords(part, arc, whole, move.feed);
    return;
  }
  const closed = x === part.qx && y === part.qy && arc.sweep > PI;
  let from = 0;
  for (const to of [...arcCuts(arc, choices.arcs, closed), arc.sweep]) {
    const piece = to === arc.sweep ? { ...whole, from } : pieceTo(part, arc, from, to);
    if (!writePiece(part, arc, piece, feeds)) writeChords(part, arc, piece, move.feed);
    from = to;
  }
}

function pieceTo(part: MotionWriter, arc: Arc, from: number, to: number): Piece {
  const [x, y] = pointAt(arc, to);
  return { from, to, x: part.gridXy(x, 'X'), y: part.gridXy(y, 'Y'), z: part.gridZ(heightAt(arc, to)) };
}
