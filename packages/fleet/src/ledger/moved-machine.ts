import {
  applyTransform,
  IDENTITY,
  invertTransform,
  type Point,
  rectangleRing,
  type Transform,
} from '@bedledger/geometry';
import type { Machine } from '../model/machine.ts';
import type { HeightMap, MachineRecord } from '../model/record.ts';
import type { Shape } from '../model/shape.ts';

/** Positions are kept to the nanometre: a turn there and back is the place it was. */
const GRID = 1e6;

/**
 * A machine whose datum marks were found elsewhere, after it was moved or rehomed: what is fixed to its bed has gone along in
 * the spindle's frame. The board is laid by the marks, so the one on the bed and the next one lie where they lead; a board
 * that lies turned is known by the box around it and by its turn. Park, home and travel are the machine's own and stay.
 *
 * @param t - from where the profile has the marks to where they are now; rigid
 * @param marks - where they are now
 */
export function movedMachine(
  machine: Machine,
  t: Transform,
  [mark, second]: readonly [Point, Point],
): Machine {
  const { datum, board } = machine;
  const corners = rectangleRing(board.at, board.size).map((p) => onGrid(applyTransform(t, p)));
  const xs = corners.map(([x]) => x);
  const ys = corners.map(([, y]) => y);
  const at: Point = [Math.min(...xs), Math.min(...ys)];
  return {
    ...machine,
    datum: {
      ...datum,
      mark,
      second,
      drawn: { mark: datum.mark, second: datum.second, board, clamps: machine.clamps },
    },
    board: {
      ...board,
      at,
      size: onGrid([Math.max(...xs) - at[0], Math.max(...ys) - at[1]]),
      turn: Math.atan2(t.d, t.a),
      patch: board.patch && { ...board.patch, at: movedCorner(board.patch, t) },
    },
    clamps: machine.clamps.map((clamp) => ({ ...clamp, shape: movedShape(clamp.shape, t) })),
  };
}

/** From where the drawing of the bed has a place to where the marks lead to it now; nothing where nothing was moved. Rigid. */
export function throughMarks({ datum: { mark, second, drawn } }: Pick<Machine, 'datum'>): Transform {
  if (drawn === undefined) return IDENTITY;
  const turn =
    Math.atan2(second[1] - mark[1], second[0] - mark[0]) -
    Math.atan2(drawn.second[1] - drawn.mark[1], drawn.second[0] - drawn.mark[0]);
  const [a, d] = [Math.cos(turn), Math.sin(turn)];
  const [x, y] = drawn.mark;
  return { a, b: -d, c: mark[0] - a * x + d * y, d, e: a, f: mark[1] - d * x - a * y };
}

/**
 * The record of a machine that was moved as if it had stayed: marks, board, clamps, survey and sites where they were before.
 * A layout is drawn on the bed, and where the bed went changes nothing of it. The same record where nothing was moved.
 */
export function standingStill(record: MachineRecord): MachineRecord {
  const { machine, state, survey } = record;
  const { drawn } = machine.datum;
  if (drawn === undefined) return record;
  const back = (p: Point): Point => onGrid(applyTransform(invertTransform(throughMarks(machine)), p));
  return {
    ...record,
    machine: {
      ...machine,
      datum: { ...machine.datum, mark: drawn.mark, second: drawn.second },
      board: drawn.board,
      clamps: drawn.clamps,
    },
    survey: survey && {
      ...survey,
      features: survey.features.map((f) => ({ ...f, measured: f.measured && back(f.measured) })),
    },
    state: {
      ...state,
      sites: new Map([...state.sites].map(([id, site]) => [id, { ...site, at: back(site.at) }])),
      inserts: state.inserts.map((insert) => ({ ...insert, at: back(insert.at) })),
    },
  };
}

/** A height map that was read before the marks were found elsewhere. */
export function movedHeights(map: HeightMap, t: Transform): HeightMap {
  const points = map.points.map(([x, y, z]) => [...onGrid(applyTransform(t, [x, y])), z] as const);
  return { ...map, points };
}

/** A patch goes along by its middle and stays along the axes: what it mends is a hand wide. */
function movedCorner({ at, size }: { readonly at: Point; readonly size: Point }, t: Transform): Point {
  const [x, y] = applyTransform(t, [at[0] + size[0] / 2, at[1] + size[1] / 2]);
  return onGrid([x - size[0] / 2, y - size[1] / 2]);
}

function movedShape(shape: Shape, t: Transform): Shape {
  const move = (p: Point): Point => onGrid(applyTransform(t, p));
  switch (shape.kind) {
    case 'circle':
      return { ...shape, at: move(shape.at) };
    case 'rect':
      return { kind: 'polygon', points: rectangleRing(shape.at, shape.size).map(move) };
    case 'polygon':
      return { ...shape, points: shape.points.map(move) };
    default:
      return shape satisfies never;
  }
}

function onGrid([x, y]: Point): Point {
  return [Math.round(x * GRID) / GRID, Math.round(y * GRID) / GRID];
}
