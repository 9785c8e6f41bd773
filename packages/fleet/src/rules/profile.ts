import type { RuleTable } from '@bedledger/diagnostics';
import { schemaRules } from './schema.ts';

/** What a machine profile that reads well can still get wrong: against itself, its folder and the shared lists. */
export const PROFILE_RULES = {
  ...schemaRules('profile'),

  // The file and what it names.
  'profile/wrong-units': {
    severity: 'stop',
    title: 'the figures of the profile are not in the unit that it states',
    why: 'Every length in the file would be wrong by a factor of 25.4.',
    remedy: 'correct `units`, or the numbers',
  },
  'profile/id-differs': {
    severity: 'stop',
    title: 'the profile and its folder name different machines',
    why: 'A profile copied from another machine would send its programs to the wrong router.',
    remedy: 'give the profile and its folder the same name',
  },
  'profile/unknown-reference': {
    severity: 'stop',
    title: 'the profile names a cutter, board or fixing that the shared lists do not have',
    why: 'Without its dimensions nothing can be computed for it.',
    remedy: 'correct the name, or add the entry to the shared file',
  },
  'profile/repeated-name': {
    severity: 'stop',
    title: 'two things of one kind have the same name',
    why: 'A survey, a nudge or a finding that names one of them could mean the other.',
    remedy: 'give each its own name',
  },
  'profile/range-reversed': {
    severity: 'stop',
    title: 'a range runs from the greater number to the lesser',
    why: 'Nothing lies inside such a range, so that every check against it would be void.',
    remedy: 'exchange the two numbers',
  },
  'profile/not-plausible': {
    severity: 'stop',
    title: 'a figure that no machine of this kind has',
    why: 'It is a slip of the unit or of the decimal point more often than the truth, and programs are computed from it.',
    remedy: 'check the unit',
  },

  // Travel, speeds, spindle.
  'profile/mark-unreachable': {
    severity: 'stop',
    title: 'the spindle cannot reach a datum mark',
    why: 'The zero of every program is found at the marks; a mark beyond the travel runs the machine into its limits.',
    remedy: 'correct the travel, or choose another place for the mark',
  },
  'profile/marks-too-close': {
    severity: 'stop',
    also: [
      { severity: 'warn', when: 'for marks that give a direction, but a poor one for so long a machine' },
    ],
    title: 'the two datum marks are close together',
    why: 'A reading error at the second mark turns the whole layout, the more the shorter their distance is.',
    remedy: 'put the second mark as far from the first as the bed allows',
  },
  'profile/mark-too-deep': {
    severity: 'stop',
    title: 'the datum marks are cut deeper than the cut limit',
    why: 'The cut limit is what the bed can spare: a program may not go below it anywhere.',
    remedy: 'cut the marks shallower',
  },
  'profile/park-unreachable': {
    severity: 'stop',
    title: 'the place where the spindle parks is outside the travel',
    why: 'Every program ends with a move to it, and would run the machine into its limits.',
    remedy: 'choose a place inside the travel',
  },
  'profile/home': {
    severity: 'stop',
    title: 'home is where the machine cannot be, or too low',
    why: 'Programs go home by a rapid and are proven on the strength of where that is. A home below the clear height, or outside the travel, would prove motions that hit something.',
    remedy: 'send the machine home, read the display, and measure the tip of the longest cutter',
  },
  'profile/clear-height': {
    severity: 'stop',
    title: 'the clear height is not clear, or cannot be reached',
    why: 'Cutters move across the bed at this height: whatever stands higher is hit at full rapid.',
    remedy: 'raise `clear_height` above everything that stands on the bed, within the travel of Z',
  },
  'profile/bed-unreachable': {
    severity: 'stop',
    also: [{ severity: 'warn', when: 'for a tip that reaches the bed, but not the cut limit' }],
    title: 'the cutter tip does not get down to where the bed is to be cut',
    why: 'Marks and bores need the tip below the bed surface; Z 0 may not be where the profile says.',
    remedy: 'correct the travel of Z',
  },
  'profile/feed-above-rapid': {
    severity: 'stop',
    title: 'the largest feed is above the rapid',
    why: 'No axis cuts faster than it can travel, so that one of the two figures is wrong.',
    remedy: 'correct one of them',
  },
  'profile/no-spin-up': {
    severity: 'warn',
    title: 'the programs do not wait for the spindle',
    why: 'A cutter that enters the material before it has its speed breaks, or pulls the board up.',
    remedy: 'give the seconds that the spindle needs, or say that the controller waits',
  },
  'profile/controller': {
    severity: 'stop',
    title: 'options of the controller contradict each other, its standard or the machine',
    why: 'No program text can be written that such a controller would read as it is meant.',
    remedy: 'correct one of the options',
  },

  // Shapes on the bed.
  'profile/no-shape': {
    severity: 'stop',
    title: 'an area has no outline',
    why: 'Where it lies cannot be known, and so neither what must keep away from it.',
    remedy: 'give it one shape',
  },
  'profile/two-shapes': {
    severity: 'stop',
    title: 'an area has two outlines',
    why: 'Only one of them can be true.',
    remedy: 'keep one of them',
  },
  'profile/crossed-polygon': {
    severity: 'stop',
    title: 'the edges of an outline cross or touch',
    why: 'What is inside such an outline is not defined, so that a hole could be placed anywhere.',
    remedy: 'write the corners in order, round the outline, each once',
  },
  'profile/flat-polygon': {
    severity: 'stop',
    title: 'an outline encloses next to nothing',
    why: 'Its corners lie on one line or in one point, which is a typing error.',
    remedy: 'correct the corners',
  },
  'profile/two-grooves': {
    severity: 'stop',
    title: 'a zone has a groove grid and channels',
    why: 'A cutter or an insert must stay out of every groove: it has to be known which are there.',
    remedy: 'keep the channels, or the grid',
  },
  'profile/half-grid': {
    severity: 'stop',
    title: 'a groove grid is not complete',
    why: 'Without pitch, width and depth the grooves cannot be kept clear.',
    remedy: 'write `pitch`, `width` and `depth`; leave `grooves` out when there are none',
  },
  'profile/no-groove': {
    severity: 'stop',
    title: 'no groove of the grid lies inside its zone',
    why: 'The grid of the profile is not the one in the bed.',
    remedy: 'correct `pitch` or `offset`, or leave `grooves` out',
  },
  'profile/no-land': {
    severity: 'stop',
    title: 'the grooves leave no land between them',
    why: 'The board would lie on nothing and there would be no place for an insert: width or pitch is wrong.',
    remedy: 'correct `width` or `pitch`',
  },
  'profile/groove-depth': {
    severity: 'stop',
    title: 'a groove goes through the bed',
    why: 'Such a bed would hold no vacuum, so that one of the two figures is wrong.',
    remedy: 'correct the depth of the groove, or the thickness of the bed',
  },
  'profile/groove-outside-zone': {
    severity: 'stop',
    title: 'a groove leaves its zone',
    why: 'The zone would be open to its neighbour or to the air, so that a position is wrong.',
    remedy: 'correct the position of the groove',
  },
  'profile/port-outside-zone': {
    severity: 'stop',
    title: 'a vacuum port is not inside its zone',
    why: 'A port that is kept clear in the wrong place is drilled into in the right one.',
    remedy: 'correct its position or diameter',
  },
  'profile/gasket-depth': {
    severity: 'stop',
    title: 'the gasket channel goes through the bed',
    why: 'Such a channel cannot seal, so that one of the two figures is wrong.',
    remedy: 'correct the depth of the channel',
  },
  'profile/gasket-outside-zone': {
    severity: 'stop',
    title: 'the gasket channel leaves its zone',
    why: 'It would seal another area than the zone, so that a figure is wrong.',
    remedy: 'correct the path or the inset of the channel',
  },
  'profile/cord-too-wide': {
    severity: 'stop',
    title: 'the gasket cord is wider than its channel',
    why: 'It does not go in, and would lift the board.',
    remedy: 'choose a thinner cord',
  },
  'profile/cord-too-thin': {
    severity: 'stop',
    title: 'the gasket cord does not stand out of its channel',
    why: 'A cord that the board does not press cannot seal.',
    remedy: 'choose a thicker cord',
  },
  'profile/cord-overfills': {
    severity: 'stop',
    title: 'the gasket cord has more section than its channel',
    why: 'Pressed rubber does not shrink: the board would lie on the cord instead of the bed, and be skimmed uneven.',
    remedy: 'choose a thinner cord or a wider channel',
  },
  'profile/cut-limit': {
    severity: 'stop',
    title: 'cut limit and floor do not fit the thickness of the bed',
    why: 'Programs and drills could go through the permanent table.',
    remedy: 'correct `cut_limit`, `floor` or `thickness`',
  },
  'profile/zone-outside-bed': {
    severity: 'stop',
    title: 'a zone reaches beyond the bed',
    why: 'Zone or outline is not where the profile says, and with it everything that must be kept clear.',
    remedy: 'correct the zone, or the outline of the bed',
  },
  'profile/zones-overlap': {
    severity: 'stop',
    title: 'two zones overlap',
    why: 'A place belongs to one vacuum zone: one of the two is not where the profile says.',
    remedy: 'correct one of them',
  },
  'profile/keep-out-under-board': {
    severity: 'stop',
    title: 'something stands where the board lies',
    why: 'The board cannot lie there, and surfacing would run the cutter into what stands up.',
    remedy: 'correct its place, or the place of the board',
  },
  'profile/hole-outside-bed': {
    severity: 'stop',
    title: 'a hole of the bed is not inside the bed',
    why: 'A hole that is kept clear in the wrong place is drilled into in the right one.',
    remedy: 'correct its position or diameter',
  },
  'profile/slot-outside-bed': {
    severity: 'stop',
    title: 'a slot of the bed leaves the bed',
    why: 'A slot that is kept clear in the wrong place is drilled into in the right one.',
    remedy: 'correct its ends',
  },
  'profile/mark-outside-bed': {
    severity: 'stop',
    title: 'a datum mark is not on the bed',
    why: 'The marks are cut into the bed: beside it there is nothing to cut, or something that must not be.',
    remedy: 'correct the position of the mark, or the outline of the bed',
  },
  'profile/board-outside-bed': {
    severity: 'stop',
    title: 'a large part of the board lies beside the bed',
    why: 'Board or outline is not where the profile says: sites would be placed in the air.',
    remedy: 'correct `at` or `size` of the board',
  },
  'profile/board-overhangs': {
    severity: 'warn',
    title: 'the board overhangs the bed',
    why: 'Nothing carries or holds the board there, and it bends under the cutter.',
    remedy: 'correct `at` or `size` of the board unless it is meant',
  },

  // Board, fixing, cutters.
  'profile/least-thickness': {
    severity: 'stop',
    title: 'the board would be replaced before it is used',
    why: 'A new board of this stock is thinner than the least thickness, so that no skim is ever possible.',
    remedy: 'lower `least_thickness`, or choose a thicker stock',
  },
  'profile/board-larger-than-sheet': {
    severity: 'stop',
    title: 'the board is larger than the sheet it is cut from',
    why: 'It cannot be bought or made from this stock.',
    remedy: 'correct the size, or choose another stock',
  },
  'profile/board-outside-travel': {
    severity: 'stop',
    title: 'the spindle reaches less than half of the board',
    why: 'Board or travel is not where the profile says.',
    remedy: 'correct the board, or the travel',
  },
  'profile/unreachable-strip': {
    severity: 'warn',
    title: 'a strip of the board cannot be surfaced',
    why: 'It stays as it is while the rest gets lower, and becomes a step that work lies on.',
    remedy: 'use a wider surfacing cutter or a smaller board, or surface that strip by other means',
  },
  'profile/no-sites': {
    severity: 'stop',
    title: 'sites are to be given, but none is written out',
    why: 'Nothing would hold the board.',
    remedy: 'add `sites`, or choose `aligned` or `fewest`',
  },
  'profile/sites-ignored': {
    severity: 'stop',
    title: 'sites are written out, but the layout places its own',
    why: 'Whoever wrote them expects holes at these places; the holes would be somewhere else, for good.',
    remedy: 'write `pattern: given`, or leave `sites` out',
  },
  'profile/site-outside-board': {
    severity: 'stop',
    title: 'a site is not on the board',
    why: 'A hole would be drilled into the bed where no board lies.',
    remedy: 'correct its position',
  },
  'profile/sites-too-close': {
    severity: 'stop',
    title: 'two sites are too close together',
    why: 'Their pockets would run into each other, and neither head would bear.',
    remedy: 'correct one of them',
  },
  'profile/nudge-too-long': {
    severity: 'stop',
    title: 'a nudge moves a site far away',
    why: 'A nudge avoids something small that was found at the site; a long one is a typing error or another site.',
    remedy: 'check the unit, or write the site out with pattern `given`',
  },
  'profile/nudge-zero': {
    severity: 'warn',
    title: 'a nudge moves nothing',
    why: 'Somebody meant to move this site, and it has not moved.',
    remedy: 'leave the nudge out',
  },
  'profile/wrong-cutter': {
    severity: 'stop',
    title: 'a cutter is named for a duty that it cannot do',
    why: 'A cutter that is not made for the cut burns, breaks or leaves the wrong shape.',
    remedy: 'choose another cutter',
  },
  'profile/cutter-too-fast': {
    severity: 'stop',
    title: 'the slowest speed of the spindle is too fast for a cutter',
    why: 'A cutter above the speed marked on it can fly apart.',
    remedy: 'choose another cutter',
  },
  'profile/no-chip-load': {
    severity: 'stop',
    title: 'a cutter has no chip load for the material of the board',
    why: 'Feeds are computed from the chip load; without it there is no safe feed.',
    remedy: "add the material to the cutter's `chip_load` in shared/cutters.yaml",
  },
  'profile/no-tool-number': {
    severity: 'stop',
    title: 'a cutter has no tool number for a controller that changes tools',
    why: 'The tool change could fetch any cutter.',
    remedy: 'give it a number from 1 on in shared/cutters.yaml',
  },
} satisfies RuleTable;
