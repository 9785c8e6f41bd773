import type { RuleTable } from '@bedledger/diagnostics';
import { SURVEY_REFUSED } from './survey.ts';

/** Screw, washer, board and bed at one site. */
export const STACK_RULES = {
  'stack/impossible': {
    severity: 'stop',
    title: 'no screw and no pocket fit board and bed together',
    why: 'Two rules ask for opposite things: with any depth of pocket and any screw that is sold, the head stands too high, the web is too thin, or the screw holds too little or bottoms.',
    remedy: 'choose another fixing or board, or change what one of the two rules asks for',
    follows: [...SURVEY_REFUSED, 'stack/thread-differs'],
  },
  'stack/screws-unknown': {
    severity: 'warn',
    title: 'nobody recorded which screws stand in the board',
    why: 'How low the board may be surfaced follows from the heads that stand in it. Taken from the profile they would be a wish: higher heads may still be in the board, and the cutter would meet them.',
    remedy: 'look at the screws and record them',
  },
  'stack/built-short': {
    severity: 'warn',
    title: 'what was made does not keep a rule',
    why: 'The pocket or the screw is other than planned: cut deeper, driven longer or shorter, or the rule changed since. The board holds less than it should.',
    remedy: 'fit another screw, leave the site out, or fit a new board',
  },
  'stack/pocket-unfit': {
    severity: 'warn',
    title: 'no screw of the fixing suits the pockets that are cut',
    why: 'The pockets were cut for another screw, or to another depth: with the screw that the profile asks for the head would stand too high, bottom, or hold too little.',
    remedy: 'drive screws that suit the pockets, or keep the fixing for the next board',
  },
  'stack/held-unknown': {
    severity: 'stop',
    also: [{ severity: 'warn', when: 'the board on the bed is cut already' }],
    title: 'the profile has the board held at a site that it does not have',
    why: 'Every hole is made as wide as the board grows between it and the site that holds it. With that site unknown none of them can be right.',
    remedy: 'name one of the sites of the layout, or leave it to the site nearest the middle',
  },
  'stack/drill-missing': {
    severity: 'warn',
    title: 'the house has no drill for some of the holes',
    why: 'Holes over inserts are opened by hand to their full diameter, and a hand drill comes in sizes. Until the drill is there the holes stay narrow and the board cannot grow.',
    remedy: 'buy the drill that is named and add it to the house rules',
    follows: [...SURVEY_REFUSED, 'stack/thread-differs'],
  },
  'stack/thread-differs': {
    severity: 'stop',
    also: [{ severity: 'warn', when: 'while the board on the bed stands on screws that fit' }],
    title: 'the screw of the fixing does not fit the inserts in the bed',
    why: 'An insert stays in the bed for good. A board pocketed for a screw of another thread could never be fastened.',
    remedy: 'choose a fixing with the thread of the inserts',
  },
  'stack/insert-differs': {
    severity: 'note',
    title: 'the profile asks for other inserts than those in the bed',
    why: 'What is glued into the bed stays there. New sites get the inserts of the profile, old ones keep theirs.',
    remedy: 'nothing: the inserts in the bed count as they were recorded',
  },
  'stack/planned-change': {
    severity: 'warn',
    title: 'the profile asks for another fixing than the one in the board',
    why: 'Until the screws are really swapped the old heads stand in the board. Cover, life and the limit of a skim follow from them, not from the profile.',
    remedy: 'swap the screws and record it, or wait for the next board',
  },
  'stack/worn-out': {
    severity: 'warn',
    title: 'the board is worn out',
    why: 'The surface has come so near to the screw heads that a cutter set to it may meet them. A cutter that meets metal throws chips hot enough to set dust on fire.',
    remedy:
      'fit a new board before anything else is cut here: a cutter that is set to the surface meets the heads',
  },
} as const satisfies RuleTable;
