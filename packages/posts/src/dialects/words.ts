import type { Units } from '@bedledger/diagnostics';
import type { Controller } from '@bedledger/fleet';
import { entryOf } from '../closed-list.ts';

const UNITS_WORDS: Readonly<Record<Controller['unitsWord'], Readonly<Record<Units, readonly string[]>>>> = {
  'G20/G21': { mm: ['G21'], in: ['G20'] },
  'G70/G71': { mm: ['G71'], in: ['G70'] },
  none: { mm: [], in: [] },
};

/** The units word, or none where the controller is set to its unit by hand. */
export function unitsWord(controller: Controller): readonly string[] {
  return entryOf(entryOf(UNITS_WORDS, controller.unitsWord, 'units word'), controller.units, 'unit');
}

/** G54…G59, G59.1…G59.3 for work offsets 1…9. */
export function workOffsetWord(controller: Controller, workOffset: number): readonly string[] {
  const word = workOffset <= 6 ? `G${53 + workOffset}` : `G59.${workOffset - 6}`;
  return entryOf({ none: [], 'G54-G59.3': [word] }, controller.workOffset, 'work offset');
}

export function planeWord(controller: Controller): readonly string[] {
  return entryOf({ none: [], G17: ['G17'] }, controller.plane, 'plane');
}

export function feedModeWord(controller: Controller): readonly string[] {
  return entryOf({ none: [], G94: ['G94'] }, controller.feed.mode, 'feed mode');
}

export function pathModeWord(controller: Controller): readonly string[] {
  return entryOf(
    { none: [], G61: ['G61'], 'G61.1': ['G61.1'], G64: ['G64'] },
    controller.pathMode ?? 'none',
    'path mode',
  );
}

/** G98 only where cycles are used: elsewhere the word means other things. */
export function cycleReturnWord(controller: Controller): readonly string[] {
  const { use, return: back } = controller.cycles;
  const word = entryOf({ none: [], 'G98/G99': ['G98'] }, back, 'return from a cycle');
  return entryOf({ none: [], 'G81-G83': word }, use, 'use of cycles');
}
