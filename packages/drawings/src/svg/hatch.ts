import { INK, NARROW } from './ink.ts';
import { element } from './markup.ts';

/**
 * Section hatching after ISO 128-3: thin parallel lines, neighbours at another angle or pitch, so that the materials stay
 * apart in black and white.
 */
const HATCHES = {
  bed: { angle: 45, pitch: 2.4 },
  board: { angle: 135, pitch: 3.6 },
  insert: { angle: 135, pitch: 1.1 },
  washer: { angle: 45, pitch: 1.1 },
  keepOut: { angle: 45, pitch: 2 },
} as const;

export type HatchName = keyof typeof HATCHES | 'adhesive';

/** Pattern definitions for the ones used. */
export function hatchDefs(names: readonly HatchName[]): string {
  return names
    .map((name) => {
      if (name === 'adhesive') {
        // Dots: a filler, not a solid.
        return element(
          'pattern',
          { id: 'hatch-adhesive', width: 0.8, height: 0.8, patternUnits: 'userSpaceOnUse' },
          [element('circle', { cx: 0.4, cy: 0.4, r: 0.22, fill: INK.ink })],
        );
      }
      const { angle, pitch } = HATCHES[name];
      return element(
        'pattern',
        {
          id: `hatch-${name}`,
          width: pitch,
          height: pitch,
          patternUnits: 'userSpaceOnUse',
          patternTransform: `rotate(${-angle})`,
        },
        [
          element('path', {
            d: `M0 0H${pitch}`,
            stroke: name === 'insert' ? INK.metal : INK.ink,
            'stroke-width': NARROW,
          }),
        ],
      );
    })
    .join('');
}

export function hatch(name: HatchName): string {
  return `url(#hatch-${name})`;
}
