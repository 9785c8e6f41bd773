import { circleRing, type Region, regionFromRing } from '@bedledger/geometry';
import type { Scene } from '../scene/scene.ts';
import { HeightField } from '../simulation/height-field.ts';
import { type Layer, layeredSurface } from '../simulation/layered-surface.ts';
import type { SitesOfRecord } from './operation-view.ts';

/** Cells, mm: a rim break is a millimetre wide, and only the surroundings of the pockets come into being. */
const CELL = 0.2;

/**
 * The board with its pockets and holes open, as a cutter meets it that works on their rims. Lengths by the checker's own
 * stacks; sites without one stay closed.
 */
export function openBoard(scene: Scene, { holes, stacks }: SitesOfRecord): HeightField {
  const layers: Layer[] = [...scene.layers];
  for (const { site, x, y } of holes) {
    const stack = stacks.get(site);
    if (!stack) continue;
    const disc = (diameter: number): Region =>
      regionFromRing(circleRing([x, y], diameter / 2, 'circumscribed'));
    layers.push({ region: disc(stack.pocketDiameter), height: stack.web });
    layers.push({ region: disc(stack.clearanceDiameter), height: 0 });
  }
  return new HeightField(scene.box, CELL, layeredSurface(layers));
}
