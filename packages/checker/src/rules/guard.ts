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
  'guard/off-bed': {
    severity: 'stop',
    title: 'the job goes below the bed’s surface beside the bed',
    why: 'Beside the bed stand frame, rails and legs of the machine, which the profile does not describe. Below the bed’s surface there is nothing to cut, and much to hit.',
    remedy: 'check the origin of the job, and where it has its Z 0',
  },
  'guard/origin-rewritten': {
    severity: 'stop',
    title: 'the job rewrites a work offset',
    why: 'The operator measured that offset. Every program that is run after the job, the house’s own ones too, goes to another place.',
    remedy: 'take the G10 out and set the offset by hand, with the work in view',
  },
  'guard/offset-unknown': {
    severity: 'stop',
    title: 'the job brings back an axis offset of another program',
    why: 'G92.3 takes the offset that the controller has kept. Nobody can say from the job how far it moves everything that follows.',
    remedy: 'take the G92.3 out, or set the offset in the job',
  },
  'guard/offset-left': {
    severity: 'stop',
    title: 'the job leaves an axis offset in force',
    why: 'The next program on the machine starts with its zero shifted by what this job has left, as does this one when it is run again.',
    remedy: 'cancel the offset with G92.1 before the end',
  },
  'guard/tool-change': {
    severity: 'stop',
    title: 'the job uses several tools in a way that cannot be followed',
    why: 'What is in the spindle decides what is cut. A tool that is selected and not changed, or changed on a machine that takes one cutter a program, leaves both cutter and length open.',
    remedy: 'split the job into one program a cutter',
  },
  'guard/cutter-contradiction': {
    severity: 'stop',
    title: 'call, header and tool word name different cutters',
    why: 'One of them is wrong, and the cutter that is really in the spindle may be the larger or the longer one.',
    remedy: 'look at the cutter, and name it by the job’s tool number',
  },
  'guard/budget': {
    severity: 'stop',
    title: 'the job is more than can be followed',
    why: 'A job is followed for a counted amount of work and no further, so that a damaged one cannot hold the computer. What comes after is not known.',
    remedy: 'split the job, or look for a repeat count, a peck or a radius that cannot be meant',
  },
  'guard/no-tool': {
    severity: 'stop',
    title: 'the job’s cutter is not known',
    why: 'Nothing in the call, in the job’s header or in its tool word names a cutter of the shared list, so its size is unknown.',
    remedy: 'name the cutter or give its diameter',
  },
} satisfies RuleTable;
