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
  contradictions: (c) => [
    ...(c.workOffset !== 'none' ? ['work offsets G54…G59 (linear shifts in this standard)'] : []),
    ...(c.unitsWord === 'G20/G21' ? ['units words G20/G21 (it has G70/G71)'] : []),
    ...(c.cycles.return !== 'none' && c.cycles.use !== 'none' ? ['return words G98/G99'] : []),
    ...(c.arcs.quadrants === 'single' && c.arcs.form !== 'centre' && c.arcs.form !== 'none'
      ? ['single-quadrant arcs in another form than by centre from the start']
      : []),
    ...((c.pathMode ?? 'none') !== 'none' ? [`a path control word ${c.pathMode}`] : []),
    ...(c.toolLength !== 'none' ? ['G43 as a length offset'] : []),
  ],
  separator: ': ',
  twoDigits: true,
};
