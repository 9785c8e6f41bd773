import type { RuleTable } from '@bedledger/diagnostics';

/** Screw, washer, board and bed at one site. */
export const STACK_RULES = {
  'stack/impossible': {
    severity: 'stop',
    title: 'no screw and no pocket fit board and bed together',
    why: 'Two rules ask for opposite things: with any depth of pocket and any screw that is sold, the head stands too high, the web is too thin, or the screw holds too little or bottoms.',
    remedy: 'choose another fixing or board, or change what one of the two rules asks for',
  },
  'stack/worn-out': {
    severity: 'warn',
    title: 'the board is worn out',
    why: 'The surface has come so near to the screw heads that a cutter set to it may meet them. A cutter that meets metal throws chips hot enough to set dust on fire.',
    remedy:
      'fit a new board before anything else is cut here: a cutter that is set to the surface meets the heads',
  },
} as const satisfies RuleTable;
