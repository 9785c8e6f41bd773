import type { Point } from '@bedledger/geometry';
import type { Shape } from '../model/shape.ts';
import type { WrittenPoint, WrittenShape } from '../written/common.ts';
import { type Dimension, toInternal, type Units, type WrittenQuantity } from '../written/quantity.ts';

/** Turns the quantities of one file into the internal units: the file's `units` say what a bare number means. */
export interface Reader {
  readonly units: Units;
  readonly length: (value: WrittenQuantity) => number;
  readonly speed: (value: WrittenQuantity) => number;
  readonly of: (dimension: Dimension, value: WrittenQuantity) => number;
  readonly point: (value: WrittenPoint) => Point;
  readonly range: (value: WrittenPoint) => readonly [number, number];
}

export function readerFor(units: Units): Reader {
  const length = (value: WrittenQuantity) => toInternal(value, 'length', units);
  return {
    units,
    length,
    speed: (value) => toInternal(value, 'speed', units),
    of: (dimension, value) => toInternal(value, dimension, units),
    point: ([x, y]) => [length(x), length(y)],
    range: ([a, b]) => [length(a), length(b)],
  };
}

/** The one shape that is written; the first one when several are (the checks name the others). */
export function readShape(written: WrittenShape, read: Reader): Shape | null {
  if (written.rect)
    return { kind: 'rect', at: read.point(written.rect.at), size: read.point(written.rect.size) };
  if (written.circle) {
    return {
      kind: 'circle',
      at: read.point(written.circle.at),
      diameter: read.length(written.circle.diameter),
    };
  }
  if (written.polygon) return { kind: 'polygon', points: written.polygon.map((p) => read.point(p)) };
  return null;
}
