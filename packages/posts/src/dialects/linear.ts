import type { DialectRules } from './dialect.ts';
import { feedModeWord, planeWord, unitsWord, workOffsetWord } from './words.ts';

/** Straight lines only: G0, G1, a dwell and M words, as the smallest controllers have them. */
export const linear: DialectRules = {
  start: (c, workOffset) => [
    ...planeWord(c),
    ...unitsWord(c),
    'G90',
    ...feedModeWord(c),
    ...workOffsetWord(c, workOffset),
  ],
  separator: ': ',
  twoDigits: false,
};
