import type { Rule } from '@bedledger/diagnostics';

/** What the arithmetic of the stack is given. */
export const STACK_INPUT_RULES = {
  'stack/input': {
    severity: 'stop',
    title: 'a figure that the stack is worked out from is not a number of the right sign',
    why: 'Screw, pocket and life all follow from it.',
    remedy: 'correct the figure in the profile or in shared/house.yaml',
  },
} as const satisfies Record<string, Rule>;
