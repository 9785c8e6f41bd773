import type { DialectRules } from './dialect.ts';
import { feedModeWord, planeWord, unitsWord } from './words.ts';

/**
 * EIA RS-274-D: numbers of fixed format without a point, G70/G71, arcs within one quadrant unless G75 is in force
 * (G74 cancels it), and no work offsets: G54…G59 are linear shifts there.
 */
export const rs274d: DialectRules = {
  start: (c) => [
    ...planeWord(c),
    ...unitsWord(c),
    'G40',
    ...(c.arcs.form === 'none' ? [] : [c.arcs.quadrants === 'multi' ? 'G75' : 'G74']),
    'G80',
    'G90',
    ...feedModeWord(c),
  ],
  separator: ': ',
  twoDigits: true,
};
