import type { RuleTable } from '@bedledger/diagnostics';

/** Which cutter is in the spindle, and which length the controller reckons with. */
export const TOOL_RULES = {
  'tool/not-loaded': {
    severity: 'stop',
    title: 'the program cuts with a cutter that it never fetched',
    why: 'A T word alone only chooses. Until M6 the cutter of the program before is still in the spindle, with another diameter and another length.',
    remedy: 'write T and M6 before the first motion',
  },
  'tool/empty': {
    severity: 'stop',
    title: 'the program goes to the work with an empty spindle',
    why: 'T0 M6 puts the cutter away. What comes near the board then is the open collet.',
    remedy: 'fetch the cutter of the program before the first motion',
  },
  'tool/wrong': {
    severity: 'stop',
    title: 'another cutter is in the spindle than the program is made for',
    why: 'Path, depth, feed and speed belong to one cutter. With another one the cut is wider or deeper, or the cutter breaks.',
    remedy: 'fetch the cutter that the profile names for this operation',
  },
  'tool/changed-again': {
    severity: 'stop',
    title: 'a program for one cutter changes cutters',
    why: 'Each program is made with one cutter, fetched once at its start. Another change is an edit, and what follows it runs with a cutter that nobody checked it for.',
    remedy: 'fetch the cutter once, before the first motion',
  },
  'tool/unexpected-word': {
    severity: 'stop',
    title: 'a T word or a tool length where no cutter is fetched',
    why: 'On a controller without a changer the operator puts the cutter in, and a program that only looks has none. A T word there may move a changer that is not there, or choose another length.',
    remedy: 'issue the program again',
  },
  'tool/no-stop': {
    severity: 'stop',
    title: 'the program does not stop for its cutter to be put in',
    why: 'On this controller cutters are changed by hand at a stop. Without M0 before the first cut, the cutter of the program before does the work. M1 is no such stop: a switch on the panel decides whether it stops.',
    remedy: 'stop with M0 before the first cut',
  },
  'tool/change-turning': {
    severity: 'stop',
    title: 'the cutter is changed while the spindle turns',
    why: 'Not every controller stops the spindle for M6. A turning cutter in the changer tears its grippers off.',
    remedy: 'write M5 before M6',
  },
  'tool/change-low': {
    severity: 'stop',
    title: 'the cutter is changed low over the bed',
    why: 'The machine goes to its changer from where it stands, and comes back with a cutter that may be longer. Low down it goes through what stands there.',
    remedy: 'lift Z to the clear height or home before M6',
  },
  'tool/length-missing': {
    severity: 'stop',
    title: 'a motion without the length of its cutter',
    why: 'This controller keeps the lengths of its cutters. Without G43 the spindle’s nose goes to the height that is meant for the tip, and the cutter goes into the bed by its whole length.',
    remedy: 'write G43 with the number of the cutter before the first motion in Z',
  },
  'tool/length-wrong': {
    severity: 'stop',
    title: 'the length in force is that of another cutter',
    why: 'The tip then stands off by the difference of the two lengths, which may be the whole thickness of the bed.',
    remedy: 'give H the number of the cutter in the spindle',
  },
  'tool/length-before-change': {
    severity: 'stop',
    title: 'the length is stated before the cutter is changed',
    why: 'Controllers differ on whether a length outlives a change of cutters. Stated after M6 it holds everywhere.',
    remedy: 'write G43 after M6',
  },
  'tool/length-in-cut': {
    severity: 'stop',
    title: 'the length changes while the cutter is low',
    why: 'Some controllers move Z by the difference at once, others with the next motion. Low over the bed either is a plunge.',
    remedy: 'state the length once, before Z goes down',
  },
} satisfies RuleTable;
