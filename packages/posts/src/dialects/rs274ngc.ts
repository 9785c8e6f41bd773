import type { DialectRules } from './dialect.ts';
import {
  cycleReturnWord,
  feedModeWord,
  pathModeWord,
  planeWord,
  unitsWord,
  workOffsetWord,
} from './words.ts';

/**
 * RS274/NGC as NISTIR 6556 reports it: G20/G21, a pair of percent lines, no program word, round-bracket comments,
 * up to 256 characters a line, arc centres from the arc's start only. The words of the start belong to different modal
 * groups (Table 4), so they may share a block.
 */
export const rs274ngc: DialectRules = {
  start: (c, workOffset) => [
    ...planeWord(c),
    ...unitsWord(c),
    'G40',
    'G49',
    'G80',
    'G90',
    ...feedModeWord(c),
    ...workOffsetWord(c, workOffset),
    ...cycleReturnWord(c),
    ...pathModeWord(c),
  ],
  contradictions: (c) => [
    ...(c.unitsWord === 'G70/G71' ? ['units words G70/G71 (it has G20/G21)'] : []),
    ...(c.start.programWord !== 'none' ? [`a program word ${c.start.programWord}`] : []),
    ...(c.comments === 'semicolon' ? ['comments after a semicolon'] : []),
    ...(c.numbers.point === 'never' ? ['numbers without a point'] : []),
    ...(c.arcs.form === 'centre-absolute' ? ['arc centres in absolute coordinates'] : []),
    ...(c.arcs.quadrants === 'single' && c.arcs.form !== 'none' ? ['single-quadrant arcs'] : []),
    ...(c.maxLineLength > 256 ? ['lines longer than 256 characters'] : []),
    ...(c.dwell.word !== 'P' && c.dwell.word !== 'none' ? [`a dwell word ${c.dwell.word}`] : []),
    ...(c.start.percent !== c.end.percent ? ['a percent line at one end only'] : []),
    ...(c.lineNumbers.use !== 'off' && (c.lineNumbers.max > 99999 || (c.lineNumbers.width ?? 0) > 5)
      ? ['line numbers of more than five digits']
      : []),
  ],
  separator: ': ',
  twoDigits: false,
};
