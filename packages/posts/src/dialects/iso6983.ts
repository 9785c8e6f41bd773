import type { DialectRules } from './dialect.ts';
import { cycleReturnWord, feedModeWord, planeWord, unitsWord, workOffsetWord } from './words.ts';

/**
 * ISO 6983-1 and its national relatives: fixed order of words, a percent sign as the program's start, zero shifts
 * G54…G59. G49 only where the controller keeps tool lengths: the older tables of preparatory functions give G45…G52 other
 * meanings.
 */
export const iso6983: DialectRules = {
  start: (c, workOffset) => [
    ...planeWord(c),
    ...unitsWord(c),
    'G40',
    'G80',
    'G90',
    ...(c.toolLength === 'G43' ? ['G49'] : []),
    ...feedModeWord(c),
    ...workOffsetWord(c, workOffset),
    ...cycleReturnWord(c),
  ],
  // A colon is a program mark here.
  separator: ' = ',
  twoDigits: false,
};
