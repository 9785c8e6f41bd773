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
  separator: ': ',
  twoDigits: false,
};
