import type { RuleTable } from '@bedledger/diagnostics';

/** What may not be issued while the bed stands as the ledger has it. */
export const INTERLOCK_RULES = {
  'interlock/first-fit': {
    severity: 'stop',
    title: 'clearance holes are bored through although inserts are in the bed',
    why: 'The first-fit form goes through the board. Once the ledger has an insert it meets metal, so only the refit form may be issued.',
    remedy: 'use the refit form',
  },
  'interlock/bored-only': {
    severity: 'stop',
    title: 'a first fit passes the bed surface at a site that is not bored',
    why: 'Only where the ledger has a bore is there a hole to run into; elsewhere the cutter would cut the bed.',
    remedy: 'record the bore first, or let the hole end above the bed',
  },
  'interlock/bed-mark': {
    severity: 'stop',
    title: 'the bed is marked at a site that has its insert',
    why: 'The cutter would meet the insert: steel in the bed, at full spindle speed.',
    remedy: 'take the site out of the marking program',
  },
  'interlock/unknown-bed': {
    severity: 'stop',
    title: 'the bed is cut although nobody knows where its features are',
    why: 'Features of a real bed are found 2.5 to 5 mm (0.1 to 0.2 in) from where the drawing has them (common practice). A cut that goes by the drawing may open a groove, and a bed cannot be un-drilled.',
    remedy: 'survey the bed, or let its owner vouch for the drawing, and regenerate',
  },
  'interlock/withheld': {
    severity: 'stop',
    title: 'a program is issued although it must be withheld',
    why: 'The bed as the ledger has it decides which programs may be issued today; this one would meet something, or cut what must stay.',
    remedy: 'remove the program and regenerate',
  },
} satisfies RuleTable;
