import type { RuleTable } from '@bedledger/diagnostics';

/** Speeds and feeds that could not be kept. */
export const FEEDS_RULES = {
  'feeds/too-fast': {
    severity: 'stop',
    title: 'the spindle cannot turn as slowly as the cutter must',
    why: 'A cutter that turns faster than the speed marked on it can burst.',
    remedy: 'use another cutter for this duty, or one that may turn faster',
  },
  'feeds/no-speed-code': {
    severity: 'stop',
    title: 'the controller has no code for a speed that the cutter may turn at',
    why: 'The next code turns the cutter faster than the speed marked on it, and it can burst.',
    remedy: 'add a code for a speed that low, or use another cutter',
  },
  'feeds/no-chip-load': {
    severity: 'stop',
    title: 'the cutter has no chip load at all',
    why: 'Without one nobody knows how fast it may be fed: too slow it burns the board, too fast it breaks.',
    remedy: 'give the cutter its `chip_load` for this material in shared/cutters.yaml',
  },
  'feeds/chip-load-guessed': {
    severity: 'warn',
    title: 'the cutter has no chip load for this material',
    why: 'Half of the least load for another material is used. That is safe for the cutter and may rub and burn.',
    remedy: 'give the cutter its `chip_load` for this material in shared/cutters.yaml',
  },
  'feeds/rubs': {
    severity: 'warn',
    title: 'the cutter takes too thin a chip',
    why: 'Teeth that do not bite rub: the board burns, the cutter blunts, and hot dust goes into the collector.',
    remedy: 'use a cutter with fewer teeth, or one that may be fed as slowly as this machine does',
  },
} as const satisfies RuleTable;
