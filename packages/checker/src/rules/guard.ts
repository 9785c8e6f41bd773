import type { RuleTable } from '@bedledger/diagnostics';

/** What somebody else’s job may not do on this bed. */
export const GUARD_RULES = {
  'guard/too-deep': {
    severity: 'stop',
    title: 'the job goes deeper into the board than allowed',
    why: 'The depth that the job may take from the board was stated. Below it the job spends the board, and may reach a screw head.',
    remedy: 'raise the cut, or allow more after looking at what lies beneath',
  },
  'guard/into-bed': {
    severity: 'stop',
    title: 'the job cuts into the bed',
    why: 'A job ends in the board. Below the board lies the permanent bed.',
    remedy: 'check where the job has its Z 0 and how thick the board is',
  },
  'guard/outside-board': {
    severity: 'warn',
    title: 'the job works beside the board',
    why: 'Below the board’s top and off the board there is nothing that the job could be meant to cut.',
    remedy: 'check the origin of the job',
  },
  'guard/divider': {
    severity: 'stop',
    title: 'the job cuts a divider between two vacuum zones',
    why: 'A cut across a divider joins its zones for good: neither holds without the other again.',
    remedy: 'raise the cut where it crosses the divider',
  },
  'guard/no-board': {
    severity: 'warn',
    title: 'the ledger knows no board on this bed',
    why: 'Without a board the job would run over the bare bed; the bed surface is taken as the top of the material.',
    remedy: 'record the fitted board with its measured thickness',
  },
  'guard/screws-unknown': {
    severity: 'stop',
    title: 'nobody recorded which screws stand in the board',
    why: 'How high the heads reach decides what a job may cut. Taken from the profile it would be a wish: the screws of another fixing may still be in the board.',
    remedy: 'look at the screws and record them, then ask again',
  },
  'guard/no-tool': {
    severity: 'stop',
    title: 'the job’s cutter is not known',
    why: 'Nothing in the call, in the job’s header or in its tool word names a cutter of the shared list, so its size is unknown.',
    remedy: 'name the cutter or give its diameter',
  },
} satisfies RuleTable;
