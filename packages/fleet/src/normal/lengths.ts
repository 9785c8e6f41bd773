import type { Units } from '@bedledger/diagnostics';
import type { Point } from '@bedledger/geometry';
import type { Shape } from '../model/shape.ts';
import type { WrittenPoint, WrittenShape } from '../written/common.ts';
import { type Dimension, toInternal, type WrittenQuantity } from '../written/quantity.ts';

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

/** The one shape that is written. Other numbers of shapes are refused by the checks before anybody sees this one. */
export function shapeOf(written: WrittenShape, read: Reader): Shape {
  const { rect, circle, polygon } = written;
  if (rect) return { kind: 'rect', at: read.point(rect.at), size: read.point(rect.size) };
  if (circle) return { kind: 'circle', at: read.point(circle.at), diameter: read.length(circle.diameter) };
  return { kind: 'polygon', points: (polygon ?? []).map(read.point) };
}
