import type { Rule } from './rule.ts';

/** Rules that any program must obey on this machine, whoever wrote it. */
export const MOTION_RULES: readonly Rule[] = [
  {
    id: 'program/travel',
    group: 'D',
    severity: 'stop',
    title: 'A motion leaves the travel of an axis',
    explanation:
      'Every motion, with every quarter point of its arcs, must stay within the travel of the profile. A machine that meets its limit loses its position or its program, often with the cutter in the work.',
    remedy: 'move the work, or correct the travel in the profile when it is measured wrong',
  },
  {
    id: 'program/bed-depth',
    group: 'D',
    severity: 'stop',
    title: 'The cutter goes deeper into the bed than the cut limit',
    explanation:
      'The bed is permanent: no program may go below its surface by more than the profile’s cut limit, wherever it is.',
    remedy: 'raise the cut, or drill the rest by hand to the depth on the run sheet',
  },
  {
    id: 'program/into-bed',
    group: 'D',
    severity: 'stop',
    title: 'The cutter goes below the bed surface where this operation may not',
    explanation:
      'Only marking the bed, and boring the clearance holes of a first fit at sites that are bored already, may pass the bed surface. Everything else ends in the board.',
    remedy: 'check the height of Z 0 and the board’s thickness in the ledger, then regenerate',
  },
  {
    id: 'program/metal',
    group: 'D',
    severity: 'stop',
    title: 'A turning part comes too near to something that must not be met',
    explanation:
      'Inserts, screws and their heads, keep-outs with a height and clamps are solids. The cutter, its shank, the collet nut and the spindle nose are followed along every motion; nearer than the least distance, less the uncertainty of the solid’s place, counts as a hit.',
    remedy: 'look at the named thing on the machine, and change the path or take the thing away',
  },
  {
    id: 'program/rapid-in-stock',
    group: 'D',
    severity: 'stop',
    title: 'A rapid goes through material',
    explanation:
      'A rapid removes material at a feed nobody chose. The cutter is followed through what earlier motions have left standing, so a rapid into a finished hole is fine and one into solid board is not.',
    remedy: 'retract before the rapid, or feed instead',
  },
  {
    id: 'program/rapid-unsure',
    group: 'D',
    severity: 'stop',
    title: 'A rapid of two axes might go through material',
    explanation:
      'This controller does not promise that a rapid runs straight, so the whole box between its ends must be free.',
    remedy: 'retract above everything before the rapid, or move one axis at a time',
  },
  {
    id: 'program/rapid-low',
    group: 'D',
    severity: 'stop',
    title: 'A rapid in X Y runs lower than what stands on the bed',
    explanation:
      'Rapids in X Y belong above the board and above everything that stands on it. Below that height a small mistake of place becomes a crash.',
    remedy: 'retract to the clear height before moving on',
  },
  {
    id: 'program/rapid-combined',
    group: 'D',
    severity: 'stop',
    title: 'A rapid moves Z together with X or Y',
    explanation:
      'A rapid need not be straight: some controllers run each axis at its own speed. Z goes up first or down last, in a block of its own.',
    remedy: 'split the block in two: Z first when going up, last when coming down',
  },
  {
    id: 'program/unknown-place',
    group: 'D',
    severity: 'stop',
    title: 'A motion starts where the program has never been',
    explanation:
      'Until all three axes have been given, nobody knows where the cutter is. The first motion must lift Z to the clear height, the next one must name both X and Y, and nothing may cut before that.',
    remedy: 'begin with Z to the clear height, then X and Y together',
  },
  {
    id: 'program/machine-coordinates',
    group: 'D',
    severity: 'stop',
    title: 'A motion in machine coordinates cannot be placed on the bed',
    explanation:
      'The bed is known in its own frame. Where machine coordinates put the cutter over it is not in the profile, so such a motion cannot be proven safe.',
    remedy: 'use the work offset for every motion, or go there with the spindle off and by hand',
  },
  {
    id: 'program/work-offset',
    group: 'C',
    severity: 'stop',
    title: 'The program works in another offset than the machine’s datum',
    explanation:
      'The datum mark is the origin of one work offset. In any other the same numbers are another place on the bed.',
    remedy: 'use the work offset of the profile’s datum',
  },
  {
    id: 'program/plane',
    group: 'C',
    severity: 'stop',
    title: 'The program works in another plane than X Y',
    explanation: 'Everything here is cut in X Y. In another plane the next arc or cycle goes somewhere else.',
    remedy: 'state the plane X Y at the start of the program',
  },
  {
    id: 'program/first-height',
    group: 'D',
    severity: 'stop',
    title: 'The first motion does not lift Z to the clear height',
    explanation:
      'What the machine did before is not known. The first motion of every program lifts Z to the clear height on the spot.',
    remedy: 'begin with Z to the clear height',
  },
  {
    id: 'program/last-height',
    group: 'C',
    severity: 'stop',
    title: 'The program does not end at the clear height',
    explanation:
      'The last motions lift Z to the clear height and park; the next program and the operator count on it.',
    remedy: 'lift Z to the clear height before the spindle stops',
  },
  {
    id: 'program/park',
    group: 'C',
    severity: 'stop',
    title: 'The program does not end at the park position',
    explanation:
      'The run sheet tells the operator to work on the board after the program; the gantry must be where the profile parks it.',
    remedy: 'move to the park position at the clear height before the end',
  },
  {
    id: 'program/below-clear',
    group: 'D',
    severity: 'stop',
    title: 'A program that only visits goes below the clear height',
    explanation:
      'Air passes, survey visits and marks made by hand run with the spindle off. They never come nearer to the bed than the clear height; only the operator lowers the cutter.',
    remedy: 'keep every motion at the clear height or above',
  },
  {
    id: 'program/spindle-off',
    group: 'C',
    severity: 'stop',
    title: 'The cutter enters material without turning',
    explanation:
      'A start word without a speed, or a speed without a start word, leaves the cutter standing. Pushed into the board it breaks, or lifts the board.',
    remedy: 'start the spindle with its speed, and wait for it, before the first cut',
  },
  {
    id: 'program/spindle-reverse',
    group: 'C',
    severity: 'stop',
    title: 'The spindle turns the wrong way',
    explanation:
      'Every cutter of the shared list cuts clockwise. Turning it backwards burns and can unscrew the collet.',
    remedy: 'start the spindle clockwise',
  },
  {
    id: 'program/spindle-speed',
    group: 'C',
    severity: 'stop',
    title: 'The spindle speed is outside what spindle or cutter allow',
    explanation:
      'The speed must lie in the range of the spindle and below the number marked on the cutter; the mark always wins (EN 847-1 requires it on the tool).',
    remedy: 'choose a speed that both allow',
  },
  {
    id: 'program/rim-speed',
    group: 'C',
    severity: 'warn',
    title: 'The cutter is wide for its spindle speed',
    explanation:
      'Published speed caps by diameter: to 1 in 24 000, to 1¼ in 18 000, to 2¼ in 16 000, to 3½ in 12 000 rpm. A number marked on the cutter wins over the chart; this rule speaks only where the cutter has none.',
    remedy: 'lower the speed, or enter the maximum that is marked on the cutter',
  },
  {
    id: 'program/spindle-changed',
    group: 'C',
    severity: 'warn',
    title: 'The spindle speed changes without a reason',
    explanation: 'One cutter has one speed in a program. A different speed further on is usually a slip.',
    remedy: 'look at both speed words and keep the right one',
  },
  {
    id: 'program/spin-up',
    group: 'C',
    severity: 'stop',
    title: 'The cutter meets material before the spindle is up to speed',
    explanation:
      'The profile says how long the spindle takes. A controller that does not wait for the speed by itself needs a dwell of at least that long between the start and the first contact.',
    remedy: 'dwell for the spin-up time after starting the spindle',
  },
  {
    id: 'program/dwell',
    group: 'C',
    severity: 'stop',
    title: 'A dwell is far too long',
    explanation:
      'A dwell of minutes is nearly always seconds taken for milliseconds. In the cut it burns the board.',
    remedy: 'check the unit of the dwell word in the profile',
  },
  {
    id: 'program/dwell-in-cut',
    group: 'C',
    severity: 'stop',
    title: 'The cutter waits while it is in the material',
    explanation: 'A cutter that turns on the spot in MDF heats up within seconds and can set dust alight.',
    remedy: 'retract before the dwell',
  },
  {
    id: 'program/spindle-left-on',
    group: 'C',
    severity: 'stop',
    title: 'The spindle is not switched off before the end or a stop',
    explanation:
      'After the last retract the spindle stops in a block of its own; an operator who reaches in after a stop counts on a standing cutter. The end word alone is not enough.',
    remedy: 'switch the spindle off after the last retract, in a block of its own',
  },
  {
    id: 'program/spindle-stops-in-cut',
    group: 'C',
    severity: 'stop',
    title: 'The spindle stops while the cutter is in material',
    explanation: 'Retract first, then stop.',
    remedy: 'move the stop behind the retract to the clear height',
  },
  {
    id: 'program/spindle-must-rest',
    group: 'C',
    severity: 'stop',
    title: 'The spindle turns in a program that must run with it off',
    explanation:
      'Air passes, survey visits and marks made by hand bring people’s eyes and hands near the cutter. The spindle stays off from beginning to end.',
    remedy: 'take the spindle start out of the program',
  },
  {
    id: 'program/feed-missing',
    group: 'C',
    severity: 'stop',
    title: 'A feed motion has no feed',
    explanation: 'Without a feed of its own the motion runs at whatever the program before it left behind.',
    remedy: 'give F before the first feed motion, after the units',
  },
  {
    id: 'program/feed-limit',
    group: 'C',
    severity: 'stop',
    title: 'A feed is outside what the machine’s axes or its controller allow',
    explanation:
      'A controller clips a feed that its axes cannot run, or refuses it; either way the cut is not the one that was checked.',
    remedy: 'bring the feed into the range of the profile',
  },
  {
    id: 'program/feed-high',
    group: 'C',
    severity: 'stop',
    title: 'A feed is higher than the cutter’s chip load allows',
    explanation:
      'Feed = speed × flutes × chip load. Above the greatest chip load of the shared list the cutter is overloaded.',
    remedy: 'lower the feed, or correct the chip load of the cutter when it is known better',
  },
  {
    id: 'program/feed-low',
    group: 'C',
    severity: 'warn',
    title: 'A feed is so low that the cutter rubs',
    explanation:
      'Far below the least chip load a cutter rubs instead of cutting, heats up and scorches the board; the cause is usually a lost digit.',
    remedy: 'look at the F word and compare it with the cutter’s chip load',
  },
  {
    id: 'program/plunge-feed',
    group: 'C',
    severity: 'stop',
    title: 'A plunge runs faster than the cutter may plunge',
    explanation:
      'Straight down the cutter’s centre does no cutting: the house allows a share of the cutting feed only.',
    remedy: 'lower the feed of the plunge',
  },
  {
    id: 'program/plunge',
    group: 'D',
    severity: 'stop',
    title: 'A cutter that cannot plunge goes straight down into material',
    explanation:
      'Surfacing cutters and many others have no cutting edge at the centre. They enter from outside or along a ramp.',
    remedy: 'enter from outside the board, or along a ramp',
  },
  {
    id: 'program/ramp',
    group: 'D',
    severity: 'stop',
    title: 'A ramp or helix is steeper than the house allows',
    explanation: 'A ramp that is too steep is a plunge.',
    remedy: 'make the ramp longer or the helix flatter',
  },
  {
    id: 'program/cutting-length',
    group: 'D',
    severity: 'stop',
    title: 'The cut is deeper than the cutter’s cutting length',
    explanation: 'Above its flutes a cutter only rubs; the shank burns and the tool breaks.',
    remedy: 'use a longer cutter, or cut less deep',
  },
  {
    id: 'program/power',
    group: 'D',
    severity: 'stop',
    title: 'A cut needs more power than the spindle may give',
    explanation:
      'Power is the specific cutting force of the board times the volume that a motion really removes in its time.',
    remedy: 'take less depth or a lower feed',
  },
  {
    id: 'program/cutter',
    group: 'F',
    severity: 'stop',
    title: 'The cutter of the program is not in the shared list',
    explanation: 'Without the cutter’s shape nothing can be said about what it cuts.',
    remedy: 'add the cutter to the shared list, or name one that is there',
  },
];
