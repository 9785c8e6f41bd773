import type { RuleTable } from '@bedledger/diagnostics';
import { HOLES_ELSEWHERE } from './layout.ts';
import { SURVEY_REFUSED } from './survey.ts';

/** What keeps an operation from being made, or from reaching every site. */
export const OPERATIONS_RULES = {
  'operations/impossible': {
    severity: 'stop',
    title: 'an operation cannot be made from these figures',
    why: 'A figure of the profile or of the ledger leads to a motion that no program here may contain. A program that is not made is better than a wrong one.',
    remedy: 'correct the figure that is named here',
    follows: [...SURVEY_REFUSED, 'stack/impossible'],
  },
  'operations/no-cutter': {
    severity: 'stop',
    title: 'the profile names a cutter that does not exist',
    why: 'Without its diameter, its length and its speed no program can be made for it.',
    remedy: 'name a cutter of shared/cutters.yaml',
  },
  'operations/clear-height': {
    severity: 'stop',
    title: 'the spindle cannot be lifted over what stands on the bed',
    why: 'Rapids go across at the clear height. Where that is above the travel, the cutter would run into what stands there.',
    remedy: 'lower what stands on the bed, or take it off',
  },
  'operations/out-of-reach': {
    severity: 'warn',
    also: [{ severity: 'note', when: 'it is a feature of the survey' }],
    title: 'a place is beyond the travel',
    why: 'The spindle cannot go there, so the program leaves the place out. What is missing there must be done by hand or left.',
    remedy: 'move it into the travel, or do it by hand',
    follows: SURVEY_REFUSED,
  },
  'operations/cutting-length': {
    severity: 'stop',
    also: [{ severity: 'warn', when: 'the shank is no wider than the flutes and goes in after them' }],
    title: 'the cut is deeper than the flutes are long',
    why: 'Above the flutes the shank rubs on the wall of the cut, or jams in it: the board burns and the cutter breaks.',
    remedy: 'take a longer cutter for this duty',
  },
  'operations/not-flat': {
    severity: 'stop',
    title: 'the surfacing cutter has no flat end',
    why: 'A pointed or round end leaves furrows instead of a surface that a sheet can lie and seal on.',
    remedy: 'name a surfacing cutter for the duty surface',
  },
  'operations/cut-limit': {
    severity: 'warn',
    title: 'a mark is cut shallower than the profile asks for',
    why: 'No program may go below the cut limit of the bed, because what lies under it (ports, channels, the frame) is not known to it. The error of the Z zero and the unevenness of the bed are taken off the limit first.',
    remedy: 'ask for a shallower mark, or raise `bed.cut_limit` if the bed is known to be sound below it',
  },
  'operations/near-insert': {
    severity: 'stop',
    title: 'a bore would be marked over an insert',
    why: 'A cutter that meets a metal insert breaks, and the hot chip can set dust on fire. Two bores that run into each other hold no insert.',
    remedy:
      'keep the site where its insert is: `bedledger explain <machine> --as-given` writes the present places out',
    follows: HOLES_ELSEWHERE,
  },
} as const satisfies RuleTable;
