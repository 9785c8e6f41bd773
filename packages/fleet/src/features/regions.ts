import { circleRing, type Region, rectangleRing, regionFromRing } from '@bedledger/geometry';
import type { Machine, Zone } from '../model/machine.ts';
import type { Shape } from '../model/shape.ts';

/**
 * Region of a shape, nominal bed frame, mm. A circle becomes a polygon that lies outside it (`circumscribed`, for things
 * to stay away from) or inside it (`inscribed`, for room to stay within).
 */
export function shapeRegion(shape: Shape, side: 'inscribed' | 'circumscribed'): Region {
  switch (shape.kind) {
    case 'circle':
      return regionFromRing(circleRing(shape.at, shape.diameter / 2, side));
    case 'rect':
      return regionFromRing(rectangleRing(shape.at, shape.size));
    case 'polygon':
      return regionFromRing(shape.points);
  }
}

/** The bed inside its outline. */
export function bedRegion(machine: Machine): Region {
  return shapeRegion(machine.bed.outline, 'inscribed');
}

/** The board as it lies on the bed. */
export function boardRegion(machine: Machine): Region {
  return regionFromRing(rectangleRing(machine.board.at, machine.board.size));
}

/** A zone inside its outline; its grooves never leave it. */
export function zoneRegion(zone: Zone): Region {
  return shapeRegion(zone.shape, 'circumscribed');
}
